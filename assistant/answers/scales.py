"""What is said when a drink is made larger, or without something: SCALE and WITHOUT."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import figure, volume_figure
from assistant.answers.meant import drink_meant, not_in, pours_meant
from assistant.answers.measured import (
    called,
    drink_now,
    facts,
    garnish_now,
    lines_left,
    lines_now,
    lines_table,
    out_tonight,
    roundings,
    said,
)
from assistant.answers.safety import STANDING, caution_lines
from assistant.answers.speech import amount, capital, counted, joined, sentence
from assistant.messages import Block, Card, Focus, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Book, Drink, Role
from recipes.portions import portion
from recipes.safety import contents
from recipes.scaling import (
    JiggerUnit,
    Scaled,
    poured_volume,
    scale_to_bottles,
    scale_to_count,
    scale_to_use_up,
    scale_to_volume,
    whole_serves,
)
from recipes.units import POURED, US_JUGS, Amount, Quantity, Unit

UNSAFE = "That does not make it safe for an allergy."
NOT_SAFE = (
    "Leaving out {} does not make the drink safe for an allergic guest: tins, spoons and hands have touched it. "
    "Read the labels and follow your local code."
)
HOW_MANY = "How many? Say a number of drinks, a volume in litres, or a number of bottles."
MISSED = {
    Role.BASE: "Expect a far weaker drink.",
    Role.FORTIFIED: "Expect it drier and stronger.",
    Role.LIQUEUR: "Expect it drier, with less perfume.",
    Role.BITTER_LIQUEUR: "Expect it less bitter, and less sweet.",
    Role.ACID: "Expect it sweet and flat.",
    Role.JUICE: "Expect it shorter and less fruity.",
    Role.SWEETENER: "Expect it sharp and dry.",
    Role.LENGTHENER: "Expect it short and strong.",
    Role.BITTERS: "Expect it simpler, with less of a dry end.",
    Role.EGG: "Expect no foam and a thinner drink.",
    Role.DAIRY: "Expect it thinner and sharper.",
    Role.HERB: "Expect less of a scent.",
    Role.SALT: "Expect it duller.",
    Role.GARNISH: "It goes out bare.",
}  # common practice, as a bartender would warn a guest


def scale(command: Command, scene: Scene) -> Answer:
    """'Make it three', 'a gallon of negroni' (filled), 'what do two bottles of gin make?': every line, rounded."""
    drink = drink_meant(command, scene)
    slots = command.slots
    number, unit = Decimal(slots.get("amount", 0)), slots.get("unit")
    if number > 0 and (unit in POURED or unit == Unit.BOTTLE):
        asked = Amount(number, Unit(str(unit)))
        if "ingredient" in slots:
            return _using_up(drink, asked, str(slots["ingredient"]), scene)
        return _by_volume(drink, asked, scene)
    count = int(slots.get("count", 0))
    return _by_count(drink, count, scene) if count > 0 else Answer(Reply(HOW_MANY), scene.focus)


def without(command: Command, scene: Scene) -> Answer:
    """'Without the egg': the lines that are left, what the drink loses, and that it is not safe for an allergy."""
    drink = drink_meant(command, scene)
    name, word = (str(command.slots.get(slot, "")) for slot in ("ingredient", "role"))
    names = _left_out(drink, name, word, scene.book)
    if not names:
        reply = Reply(f"{not_in(name or word, drink)} Nothing changes.", cautions=(STANDING,))
        return Answer(reply, scene.focus)
    focus = replace(scene.focus, drink=drink.name, without=tuple(dict.fromkeys((*scene.focus.without, *names))))
    return _shortened(drink, names, focus, scene)


def _by_count(drink: Drink, count: int, scene: Scene) -> Answer:
    unit = _jigger(scene.focus)  # parts are the same for any count
    focus = replace(scene.focus, drink=drink.name, count=count, unit=unit, ingredient=None)
    head = f"One {called(drink, focus)}" if count == 1 else called(drink, focus)
    return _answer(head, scale_to_count(drink, scene.book, count, unit), focus, scene)


def _by_volume(drink: Drink, target: Amount, scene: Scene) -> Answer:
    house = scene.book.house
    size = house.bottle * target.number if target.unit is Unit.BOTTLE else house.measures.physical(target)
    unit = _jigger_for(target)
    scaled = scale_to_volume(drink, scene.book, size, unit)
    focus = _for_serves(drink, scaled, replace(scene.focus, unit=unit))
    return _answer(f"{amount(target)} of {drink.name} before ice, {_in_full(scaled, 'serve')}", scaled, focus, scene)


def _using_up(drink: Drink, asked: Amount, ingredient: str, scene: Scene) -> Answer:
    pours = pours_meant(drink, ingredient, "", scene.book)
    if not pours or portion(pours[0], scene.book).ml is None:
        return Answer(Reply(f"{not_in(ingredient, drink)} {HOW_MANY}"), scene.focus)
    name = pours[0].ingredient
    scaled = _all_used(drink, asked, name, scene.book)
    focus = _for_serves(drink, scaled, replace(scene.focus, unit=_jigger_for(asked)))
    makes = "makes" if asked.number <= 1 else "make"
    head = f"{amount(asked)} of {name} {makes} {_in_full(scaled, drink.name)}"
    return _answer(head, scaled, focus, scene)


def _all_used(drink: Drink, asked: Amount, name: str, book: Book) -> Scaled:
    if asked.unit is Unit.BOTTLE:
        return scale_to_bottles(drink, book, asked.number, name)
    return scale_to_use_up(drink, book, book.house.measures.physical(asked), name, _jigger_for(asked))


def _jigger_for(asked: Amount) -> JiggerUnit:
    return "oz" if asked.unit in {Unit.OUNCE, *US_JUGS} else "ml"


def _for_serves(drink: Drink, scaled: Scaled, focus: Focus) -> Focus:
    return replace(focus, drink=drink.name, count=max(1, whole_serves(scaled)), ingredient=None)


def _jigger(focus: Focus) -> JiggerUnit:
    return "ml" if focus.unit == "ml" else "oz"


def _in_full(scaled: Scaled, noun: str) -> str:
    """How many of it can be served whole: 'thirty-three Manhattans'."""
    whole = whole_serves(scaled)
    return counted(whole, noun) if whole else f"less than one {noun}"


def _answer(head: str, scaled: Scaled, focus: Focus, scene: Scene) -> Answer:
    lines = lines_left(scaled.lines, focus)
    say = sentence(f"{head}: {said(lines)}")
    more = [text for text in (roundings(lines), out_tonight(scaled.drink, scene.out)) if text]
    card = Card("scale", capital(called(scaled.drink, focus)), facts(scaled.drink), _blocks(scaled, focus, scene))
    return Answer(Reply(" ".join([say, *more]), card, caution_lines(scaled.drink, scene.book)), focus)


def _blocks(scaled: Scaled, focus: Focus, scene: Scene) -> tuple[Block, ...]:
    lines = lines_left(scaled.lines, focus)
    totals = Table(
        (
            Row("Serves", (figure(scaled.serves, "", 2),)),
            Row("Poured, before ice", (volume_figure(_poured(scaled, focus, scene.book)),)),
        )
    )
    notes = [Note(f"The book has no volume for {joined(scaled.unsized)}; it comes on top.")] if scaled.unsized else []
    return lines_table(lines, garnish_now(scaled.drink, focus), scene.out), totals, *notes


def _poured(scaled: Scaled, focus: Focus, book: Book) -> Quantity:
    volume: Quantity = poured_volume(drink_now(scaled.drink, focus), book)[0] * scaled.serves
    return volume


def _left_out(drink: Drink, name: str, word: str, book: Book) -> tuple[str, ...]:
    if word == Role.GARNISH:
        return drink.garnish
    if name in drink.garnish:
        return (name,)
    return tuple(dict.fromkeys(pour.ingredient for pour in pours_meant(drink, name, word, book)))


def _shortened(drink: Drink, names: tuple[str, ...], focus: Focus, scene: Scene) -> Answer:
    """The drink as it is left, and what is to be told with it."""
    lines = lines_now(drink, focus, scene.book)
    if not lines:
        return Answer(Reply(f"Without {joined(names, 'or')} there is nothing left of the {drink.name}."), scene.focus)
    lost = MISSED[scene.book.ingredients[names[0]].role]
    safe = UNSAFE if _may_matter(names, scene.book) else ""
    say = [f"{called(drink, focus)}: {said(lines)}.", lost, safe, out_tonight(drink, scene.out)]
    left = drink_now(drink, focus)
    cautions = (NOT_SAFE.format(joined(names)), *caution_lines(left, scene.book))
    card = Card("without", capital(called(drink, focus)), facts(drink), _before_and_after(drink, left, focus, scene))
    return Answer(Reply(sentence(" ".join(filter(None, say))), card, cautions), focus)


def _may_matter(names: tuple[str, ...], book: Book) -> bool:
    """Whether somebody may leave it out for an allergy: it holds an allergen, or nobody knows."""
    inside = contents(names, book)
    return bool(inside.by_allergen or inside.unknown)


def _before_and_after(drink: Drink, left: Drink, focus: Focus, scene: Scene) -> tuple[Block, ...]:
    before, after = (poured_volume(each, scene.book)[0] * focus.count for each in (drink, left))
    rows = (
        Row("Poured, before ice", (volume_figure(after),), tone="strong"),
        Row("With everything", (volume_figure(before),), tone="muted"),
    )
    lines = lines_table(lines_now(drink, focus, scene.book), left.garnish, scene.out)
    return lines, Table(rows), Note(UNSAFE, "warn")


HANDLERS: dict[Intent, Handler] = {Intent.SCALE: scale, Intent.WITHOUT: without}
