"""What is said of two drinks side by side: COMPARE."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.differences import (
    NOTHING,
    allergen_warnings,
    allergens_dropped,
    difference_word,
    difference_words,
    side_by_side,
    unknown_differences,
)
from assistant.answers.families import families_compared
from assistant.answers.safety import STANDING
from assistant.answers.speech import article, decimal, joined, money
from assistant.messages import Block, Card, Reply
from grammar.command import Command, Intent
from recipes.balance import Profile
from recipes.compare import Comparison, compare
from recipes.model import Drink, House

ASKED = {
    "strength": ("abv", "strong"),
    "sugar": ("sugar", "sweet"),
    "acid": ("acid", "sharp"),
    "bitterness": ("bitterness", "bitter"),
    "volume": ("served", "long"),
}  # what a question narrows to, the field of a Change, and the word for 'as ... as'
SHARED = 3  # ingredients named aloud
NUMBERS = {
    "strength": ("abv", "percent", 0),
    "sugar": ("sugar", "grams of sugar to the litre", 0),
    "acid": ("acid", "percent acid", 2),
    "bitterness": ("bitterness", "out of five", 1),
    "volume": ("served_ml", "mil", 0),
}  # the field of a Profile, its unit aloud, and how finely it is told


def compared(command: Command, scene: Scene) -> Answer:
    """'Compare the Negroni and the Boulevardier', 'which is stronger', 'a daisy versus a sour'."""
    slots = command.slots
    if "family_2" in slots:
        return families_compared(str(slots["family"]), str(slots["family_2"]), scene)
    first, second = (scene.book.drinks[str(slots[slot])] for slot in ("drink", "drink_2"))
    if first.name == second.name:
        return Answer(Reply(f"That is the {first.name} twice. Which other drink should stand beside it?"), scene.focus)
    sides = compare(first, second, scene.book)
    part = str(slots.get("part", ""))
    narrowed = _narrowed(part, sides, scene.book.house)
    said = [*allergen_warnings(sides.change, second.name), narrowed or _in_all(sides, scene)]
    said += [] if narrowed else allergens_dropped(sides.change, second.name)
    card = Card("compare", f"{first.name} and {second.name}", blocks=_blocks(sides, scene))
    reply = Reply(" ".join(said), card, (STANDING,))
    return Answer(reply, replace(scene.focus, drink=second.name, other=first.name))


def _in_all(sides: Comparison, scene: Scene) -> str:
    first, second = sides.first.name, sides.second.name
    words = difference_words(sides.change, scene.book.house, scene.costs_shown)
    said = f"Against the {first}, the {second} is {joined(words) if words else NOTHING}."
    unknown = unknown_differences(sides.change, scene.costs_shown)
    return " ".join(part for part in (said, _poured(sides), unknown) if part)


def _blocks(sides: Comparison, scene: Scene) -> tuple[Block, ...]:
    return side_by_side(sides, scene.book.house, (sides.first.name, sides.second.name), scene.costs_shown)


def _poured(sides: Comparison) -> str:
    """What they share; where one pour alone tells them apart, which, and how they are garnished."""
    mine, theirs = sides.only
    if len(mine) == len(theirs) == 1:
        return f"It has {theirs[0]} where the {sides.first.name} has {mine[0]}."
    if len(mine) + len(theirs) == 1:
        fuller, pour = (sides.first, mine[0]) if mine else (sides.second, theirs[0])
        return f"Only the {fuller.name} has {pour}. {_garnished(sides)}".strip()
    return f"Both pour {joined(sides.shared[:SHARED])}." if sides.shared else ""


def _garnished(sides: Comparison) -> str:
    mine, theirs = (joined([article(name) for name in d.garnish]) for d in (sides.first, sides.second))
    if mine == theirs:
        return ""
    return f"The {sides.second.name} wears {theirs or 'no garnish'}, the {sides.first.name} {mine or 'none'}."


def _narrowed(part: str, sides: Comparison, house: House) -> str:
    """The answer to 'which is stronger'; empty when nothing that can be told was asked."""
    if part == "cost":
        return _dearer(sides, house)
    if part not in ASKED:
        return ""
    field, as_much = ASKED[part]
    difference: Decimal | None = getattr(sides.change, field)
    if difference is None:
        return f"That I cannot tell: {unknown_differences(sides.change, priced=False)}"
    word = difference_word(field, abs(difference))
    if not word:
        return f"The {sides.second.name} and the {sides.first.name} are about as {as_much} as each other."
    number, unit, places = NUMBERS[part]
    told = [(drink.name, decimal(getattr(p, number), places)) for drink, p in _less_first(sides, difference)]
    (less, low), (more, high) = told
    return f"The {more} is {word} than the {less}: {high} against {low} {unit}."


def _less_first(sides: Comparison, difference: Decimal) -> list[tuple[Drink, Profile]]:
    pairs = [(sides.first, sides.before), (sides.second, sides.after)]
    return pairs if difference > 0 else pairs[::-1]


def _dearer(sides: Comparison, house: House) -> str:
    one, two = sides.costs
    if one is None or two is None:
        return f"That I cannot tell: {unknown_differences(sides.change)}"
    said = [money(cost, house.currency) for cost in (one, two)]
    dearer = sides.second if two > one else sides.first
    return (
        f"The {sides.first.name} costs {said[0]} to pour and the {sides.second.name} {said[1]}, "
        f"so the {dearer.name} is dearer."
    )


HANDLERS: dict[Intent, Handler] = {Intent.COMPARE: compared}
