"""What is said of a drink's spec: SPEC and its parts, AMOUNT of one ingredient, UNITS."""

from __future__ import annotations

from dataclasses import replace

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.measured import (
    DO,
    ICE,
    called,
    drink_meant,
    facts,
    finish,
    garnish_now,
    lines_now,
    lines_table,
    out_tonight,
    roundings,
    said,
    said_pour,
)
from assistant.answers.safety import caution_lines
from assistant.answers.speech import article, counted, integer, joined, plural, sentence
from assistant.messages import Card, Reply
from grammar.command import Command, Intent
from recipes.model import Book, Drink, Ice, Ingredient, Pour, Role

SPOKEN_UNITS = {"oz": "ounces", "ml": "millilitres", "part": "parts"}
_SAME = {"cl": "ml", "l": "ml", "parts": "part"}  # other unit words and what they come to


def spec(command: Command, scene: Scene) -> Answer:
    """'Gimlet spec', 'the garnish on a gimlet': the whole of it, or the one part asked for."""
    drink = drink_meant(command, scene)
    focus = replace(scene.focus, drink=drink.name, ingredient=None)
    if "part" in command.slots:
        say = _part(str(command.slots["part"]), drink, replace(scene, focus=focus))
        return Answer(Reply(say, _card(drink, replace(scene, focus=focus))), focus)
    if "unit" in command.slots:
        focus = replace(focus, unit=_unit(str(command.slots["unit"])) or focus.unit)
    return _whole(drink, replace(scene, focus=focus))


def units(command: Command, scene: Scene) -> Answer:
    """'In mil': what was said last, in that unit, and all that follows too."""
    unit = _unit(str(command.slots.get("unit", "")))
    if unit is None:
        return Answer(Reply("I can give amounts in ounces, in millilitres or in parts. Which?"), scene.focus)
    focus = replace(scene.focus, unit=unit)
    drink = scene.book.drinks.get(str(command.slots.get("drink") or focus.drink))
    if drink is None:
        return Answer(Reply(f"From here on I give amounts in {SPOKEN_UNITS[unit]}."), focus)
    scene = replace(scene, focus=replace(focus, drink=drink.name))
    asked = drink.pour_of(focus.ingredient or "")
    return _whole(drink, scene) if asked is None else _amounts(drink, (asked,), scene)


def amount(command: Command, scene: Scene) -> Answer:
    """'How much lime in a gimlet?': one ingredient, times the count that is talked of."""
    drink = drink_meant(command, scene)
    scene = replace(scene, focus=replace(scene.focus, drink=drink.name))
    name = str(command.slots.get("ingredient") or scene.focus.ingredient or "")
    role = str(command.slots.get("role", ""))
    pours = pours_meant(drink, name, role, scene.book)
    if pours:
        return _amounts(drink, pours, scene, instead_of=name if pours[0].ingredient != name else "")
    if name in drink.garnish:
        return Answer(Reply(_part("garnish", drink, scene), _card(drink, scene)), scene.focus)
    if not name and not role:
        return _whole(drink, scene)
    return Answer(Reply(not_in(name or role, drink), _card(drink, scene)), scene.focus)


def pours_meant(drink: Drink, name: str, role: str, book: Book) -> tuple[Pour, ...]:
    """The pours that a name or a role means in this drink; else its kin, as 'rum' means the rum that is in it."""
    named = tuple(pour for pour in drink.pours if pour.ingredient == name)
    if named or name not in book.ingredients:
        return named or tuple(pour for pour in drink.pours if role and pour.role == role)
    asked = book.ingredients[name]
    kin = tuple(pour for pour in drink.pours if _kin(asked, book.ingredients[pour.ingredient]))
    return kin or tuple(pour for pour in drink.pours if _word_within(asked, pour.ingredient))


def _kin(asked: Ingredient, poured: Ingredient) -> bool:
    """Whether one word may have meant the other: two rums, an egg and its white, but never lime and lemon."""
    if asked.role is Role.EGG or poured.role is Role.EGG:
        return asked.role is poured.role
    return asked.kind != "" and asked.kind == poured.kind and asked.role not in (Role.ACID, Role.JUICE)


def _word_within(asked: Ingredient, poured: str) -> bool:
    """Whether people call the one by a word of the other: 'lime', for lime juice, is in lime cordial."""
    return any(f" {word} " in f" {poured} " for word in asked.spoken)


def not_in(what: str, drink: Drink) -> str:
    """What is said when a drink does not have it."""
    has = joined(list(dict.fromkeys(pour.ingredient for pour in drink.pours)))
    return f"There is no {what} in the {drink.name}. It has {has}."


def _whole(drink: Drink, scene: Scene) -> Answer:
    lines = lines_now(drink, scene.focus, scene.book)
    say = f"{called(drink, scene.focus)}: {said(lines)}. {finish(drink, scene.focus)}"
    more = [text for text in (roundings(lines), out_tonight(drink, scene.out)) if text]
    reply = Reply(sentence(" ".join([say, *more])), _card(drink, scene), caution_lines(drink, scene.book))
    return Answer(reply, scene.focus)


def _amounts(drink: Drink, pours: tuple[Pour, ...], scene: Scene, instead_of: str = "") -> Answer:
    focus = replace(scene.focus, ingredient=pours[0].ingredient)
    unabridged = replace(focus, without=())  # asked by name, so told even when it is left out
    lines = [line for line in lines_now(drink, unabridged, scene.book) if line.pour in pours]
    many = f" for {integer(focus.count)}" if focus.count > 1 and focus.unit != "part" else ""
    head = f"No {instead_of} in the {drink.name}, but " if instead_of else ""
    say = sentence(f"{head}{joined([said_pour(line, of=True) for line in lines])}{many}")
    card = Card("amount", called(drink, unabridged), facts(drink), (lines_table(lines, out=scene.out),))
    return Answer(Reply(" ".join(filter(None, (say, roundings(lines)))), card), focus)


def _part(part: str, drink: Drink, scene: Scene) -> str:
    match part:
        case "garnish":
            return _garnish(drink, scene)
        case "glass":
            return f"The {drink.name} goes in {article(drink.glass)}."
        case "ice":
            return _ice(drink)
    return f"{sentence(DO[drink.method])[:-1]} the {drink.name}."


def _garnish(drink: Drink, scene: Scene) -> str:
    count, names = scene.focus.count, garnish_now(drink, scene.focus)
    if not names:
        return f"No garnish on the {drink.name}."
    if count == 1:
        return sentence(f"{joined(names)} on the {drink.name}")
    each = joined([counted(count, name) for name in names])
    return sentence(f"{each} for {integer(count)} {plural(drink.name)}")


def _ice(drink: Drink) -> str:
    if drink.ice is Ice.NONE:
        return f"No ice in the glass: the {drink.name} is served up."
    return f"The {drink.name} is served on {article(ICE[drink.ice]) if drink.ice is Ice.LARGE else ICE[drink.ice]}."


def _card(drink: Drink, scene: Scene) -> Card:
    lines = lines_now(drink, scene.focus, scene.book)
    table = lines_table(lines, garnish_now(drink, scene.focus), scene.out)
    return Card("spec", sentence(called(drink, scene.focus))[:-1], facts(drink), (table,))


def _unit(word: str) -> str | None:
    unit = _SAME.get(word, word)
    return unit if unit in SPOKEN_UNITS else None


HANDLERS: dict[Intent, Handler] = {Intent.SPEC: spec, Intent.UNITS: units, Intent.AMOUNT: amount}
