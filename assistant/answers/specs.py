"""What is said of a drink's spec: SPEC and its parts, AMOUNT of one ingredient, UNITS."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from assistant.answers import house_made
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.meant import drink_meant, not_in, pours_meant
from assistant.answers.measured import (
    DO,
    ICE,
    called,
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
from assistant.answers.measures import converted
from assistant.answers.safety import caution_lines, poured_cautions
from assistant.answers.speech import amount as amount_said
from assistant.answers.speech import article, capital, counted, integer, joined, plural, pour, sentence
from assistant.messages import Card, Focus, Reply
from grammar.command import Command, Intent
from recipes.model import Drink, Ice, Pour
from recipes.scaling import ScaledLine
from recipes.stocktake import is_pressed
from recipes.units import Amount, Unit

PRESSED_AHEAD = 20  # from so many drinks, somebody counts fruit (house choice)
SPOKEN_UNITS = {"oz": "ounces", "ml": "millilitres", "part": "parts"}
DASHED = frozenset({Unit.DASH, Unit.DROP})
_SAME = {"cl": "ml", "l": "ml", "parts": "part"}  # other unit words and what they come to


def spec(command: Command, scene: Scene) -> Answer:
    """'Gimlet spec', 'the garnish on a gimlet': the whole of it, or the one part asked for; a syrup's own recipe."""
    if "drink" not in command.slots:
        return house_made.recipe(str(command.slots["ingredient"]), scene, _so_much(command))
    drink = drink_meant(command, scene)
    focus = replace(scene.focus, drink=drink.name, ingredient=None)
    if "part" in command.slots:
        say = _part(str(command.slots["part"]), drink, replace(scene, focus=focus))
        return Answer(Reply(say, _card(drink, replace(scene, focus=focus))), focus)
    return _whole(drink, replace(scene, focus=_asked_for(command, focus)))


def units(command: Command, scene: Scene) -> Answer:
    """'In mil': what was said last, in that unit, and all that follows too. 'How many mils in a barspoon?'"""
    if "text" in command.slots:
        return converted(str(command.slots["text"]), str(command.slots["unit"]), scene)
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
    scene = replace(scene, focus=_asked_for(command, replace(scene.focus, drink=drink.name)))
    role = str(command.slots.get("role", ""))
    name = str(command.slots.get("ingredient") or ("" if role else scene.focus.ingredient) or "")
    pours = pours_meant(drink, name, role, scene.book)
    if pours:
        return _amounts(drink, pours, scene, instead_of=name if name not in (pours[0].ingredient, "") else "")
    if name in drink.garnish:
        return Answer(Reply(_part("garnish", drink, scene), _card(drink, scene)), scene.focus)
    if not name and not role:
        return _whole(drink, scene)
    return Answer(Reply(not_in(name or role, drink), _card(drink, scene)), scene.focus)


def _asked_for(command: Command, focus: Focus) -> Focus:
    """The focus with the count and the unit that the question names."""
    unit = _unit(str(command.slots.get("unit", ""))) or focus.unit
    return replace(focus, unit=unit, count=max(1, int(command.slots.get("count", focus.count))))


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
    say = sentence(f"{head}{joined([_as_asked(line, focus) for line in lines])}{many}")
    card = Card("amount", called(drink, unabridged), facts(drink), (lines_table(lines, out=scene.out),))
    told = " ".join(filter(None, (say, _fruit(lines, scene), roundings(lines))))
    return Answer(Reply(told, card, poured_cautions(drink, pours, scene.book)), focus)


def _fruit(lines: Sequence[ScaledLine], scene: Scene) -> str:
    """How many to press, for more than are pressed as they are ordered."""
    if scene.focus.count < PRESSED_AHEAD or len(lines) != 1:
        return ""
    pack = scene.book.ingredients[lines[0].pour.ingredient].pack
    if pack is None or not is_pressed(scene.book.ingredients[lines[0].pour.ingredient]):
        return ""
    juice = scene.book.house.measures.physical(lines[0].exact)
    fruit = (juice / pack.usable.value).to("dimensionless").magnitude * pack.size.m_as("piece")
    return f"Press about {integer(int(fruit.to_integral_value(ROUND_CEILING)))} fruit."


def _as_asked(line: ScaledLine, focus: Focus) -> str:
    """A line for the ear; what the book dashes is told in dashes too, where that many are measured."""
    dashed = line.pour.amount.unit in DASHED and line.rounded.unit not in DASHED
    if not dashed or focus.unit != "oz":
        return said_pour(line, of=True)
    dashes = line.pour.amount.times(focus.count)
    return f"{pour(dashes, line.pour.ingredient, of=True)}, {amount_said(line.rounded)},"


def _part(part: str, drink: Drink, scene: Scene) -> str:
    match part:
        case "garnish":
            return _garnish(drink, scene)
        case "glass":
            return f"The {drink.name} goes in {article(drink.glass)}."
        case "ice":
            return _ice(drink)
    return f"{capital(DO[drink.method])} the {drink.name}."


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
    return Card("spec", capital(called(drink, scene.focus)), facts(drink), (table,))


def _unit(word: str) -> str | None:
    unit = _SAME.get(word, word)
    return unit if unit in SPOKEN_UNITS else None


def _so_much(command: Command) -> Amount | None:
    """The amount that a command names, if it has a size."""
    number, unit = Decimal(command.slots.get("amount", 0)), command.slots.get("unit", Unit.PART)
    return Amount(number, Unit(str(unit))) if number > 0 and unit != Unit.PART else None


HANDLERS: dict[Intent, Handler] = {Intent.SPEC: spec, Intent.UNITS: units, Intent.AMOUNT: amount}
