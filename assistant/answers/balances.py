"""What is said of a drink's balance: BALANCE. How strong, sweet, sour and bitter it is, its water, and how it fills."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from assistant.answers.balance_card import card
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.meant import drink_meant
from assistant.answers.measured import called
from assistant.answers.safety import caution_lines
from assistant.answers.speech import capital, counted, decimal, joined, mass, number, percent, volume
from assistant.messages import Focus, Reply
from grammar.command import Command, Intent
from recipes.balance import Balance, balance
from recipes.model import Book, Drink, Ice
from recipes.spec import to_step, volume_as
from recipes.units import Quantity, Unit
from recipes.washline import Fill, WashLine

Scale = tuple[tuple[Decimal, str], ...]  # each word holds up to its number; the words are this house's

BEYOND = Decimal("Infinity")
STRENGTH: Scale = (
    (Decimal("0.5"), "all but free of alcohol"),
    (Decimal(8), "light"),
    (Decimal(15), "easy"),
    (Decimal(22), "middling strong"),
    (Decimal(30), "strong"),
    (BEYOND, "very strong"),
)  # % vol as served
SWEETNESS: Scale = (
    (Decimal(20), "dry"),
    (Decimal(40), "barely sweet"),
    (Decimal(80), "sweet"),
    (BEYOND, "very sweet"),
)  # g/L, for a drink with no acid to speak of
SOURNESS: Scale = (
    (Decimal(4), "sharp"),
    (Decimal("7.5"), "tart"),
    (Decimal("12.5"), "balanced"),
    (BEYOND, "sweeter than sour"),
)  # grams of sugar to one of acid
BITTERNESS: Scale = (
    (Decimal("0.2"), "not bitter"),
    (Decimal("0.7"), "a little bitter"),
    (Decimal(2), "bitter"),
    (BEYOND, "very bitter"),
)  # house scale 0..5
SOUR_FROM = Decimal("0.45")  # % acid as served: below it a drink is dry or sweet, not sour
SHARES: Scale = (
    (Decimal("0.14"), "a tenth"),
    (Decimal("0.22"), "a fifth"),
    (Decimal("0.29"), "a quarter"),
    (Decimal("0.37"), "a third"),
    (Decimal("0.45"), "two fifths"),
    (BEYOND, "half"),
)  # of what is in the glass
OUNCE_STEP = Decimal("0.25")  # finer than this nobody hears


def balance_of(command: Command, scene: Scene) -> Answer:
    """'How is the Daiquiri balanced?', 'how strong is it?': in words for the ear, in bars for the eye."""
    drink = as_talked(drink_meant(command, scene), scene.focus)
    found = balance(drink, scene.book)
    say = ASPECTS.get(str(command.slots.get("part", "")), _whole)(drink, found, scene)
    reply = Reply(say, card(drink, found, scene.book), caution_lines(drink, scene.book))
    return Answer(reply, scene.focus)


def as_talked(drink: Drink, focus: Focus) -> Drink:
    """The drink without what the talk leaves out of it, and called so."""
    pours = tuple(pour for pour in drink.pours if pour.ingredient not in focus.without)
    return replace(drink, name=called(drink, replace(focus, count=1)), pours=pours)


def word_for(value: Decimal, scale: Scale) -> str:
    """The word that holds at a value."""
    return next(word for limit, word in scale if value <= limit)


# The whole of it


def _whole(drink: Drink, found: Balance, scene: Scene) -> str:
    words = [word for word in (_strength_word(found), _sweet_or_sour(found), _bitter_if_at_all(found)) if word]
    taste = f"The {drink.name} is {joined(words)}." if words else ""
    said = (taste, _in_the_glass(drink, found, scene), _wash(found.wash, drink), _standard(found), _unknown(found))
    return " ".join(part for part in said if part)


def _strength_word(found: Balance) -> str:
    if found.abv is None:
        return ""
    points = found.abv.m_as("percent")
    word = word_for(points, STRENGTH)
    return word if points <= STRENGTH[0][0] else f"{word} at about {percent(points, 0)}"


def _sweet_or_sour(found: Balance) -> str:
    if found.sugar is None or found.acid is None:
        return ""
    if found.ratio is None or found.acid.m_as("gram/deciliter") < SOUR_FROM:
        return word_for(found.sugar.m_as("gram/liter"), SWEETNESS)
    return word_for(found.ratio, SOURNESS)


def _bitter_if_at_all(found: Balance) -> str:
    if found.bitterness is None or found.bitterness <= BITTERNESS[0][0]:
        return ""
    return word_for(found.bitterness, BITTERNESS)


def _in_the_glass(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.served is None or found.water is None:
        return ""
    size = capital(measured_aloud(found.served, scene.focus, scene.book))
    if not found.water.magnitude:
        return f"{size} in the {drink.glass}, with no water from ice."
    return f"{size} in the {drink.glass}, {_share(found.water, found.served)} of it water from ice."


def _share(water: Quantity, served: Quantity) -> str:
    return word_for(water.m_as("milliliter") / served.m_as("milliliter"), SHARES)


def measured_aloud(size: Quantity, focus: Focus, book: Book) -> str:
    """A volume in the unit of the talk: ounces to the nearest quarter, or millilitres."""
    if focus.unit == "ml":
        return volume(size)
    ounces = volume_as(size, Unit.OUNCE, book.house.measures).number
    return counted(max(OUNCE_STEP, to_step(ounces, OUNCE_STEP)), "ounce")


def _wash(wash: WashLine | None, drink: Drink) -> str:
    with_ice = "" if drink.ice is Ice.NONE else " with its ice"
    words = {
        Fill.SHORT: f"It sits low in the {drink.glass}.",
        Fill.FULL: f"It fills the {drink.glass} to the lip.",
        Fill.OVER: f"That is more than the {drink.glass} takes{with_ice}.",
    }
    return words.get(wash.fill, "") if wash else ""


def _standard(found: Balance) -> str:
    if found.standard is None:
        return ""
    halves = (found.standard.us * 2).to_integral_value(ROUND_HALF_UP) / 2
    return f"US standard drinks: about {number(halves)}." if halves else ""


def _unknown(found: Balance) -> str:
    if not found.unknown:
        return ""
    what = "I cannot tell how strong it is" if found.abv is None else "The rest is unknown"
    return f"{what}: I lack numbers for {joined(found.unknown)}. Read the label."


# One aspect of it


def _strength(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.abv is None or found.start_abv is None:
        return _no_number(drink, "strength", found)
    weakened = _watered(found) and found.start_abv.magnitude > 0
    before = f", from {percent(found.start_abv.m_as('percent'), 0)} before the ice" if weakened else ""
    return f"The {drink.name} is {_strength_word(found)}{before}. {_standard(found)}".strip()


def _sugar(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.sugar is None or found.served is None:
        return _no_number(drink, "sugar", found)
    word = _sweet_or_sour(found) or word_for(found.sugar.m_as("gram/liter"), SWEETNESS)
    return f"The {drink.name} is {word}: {mass((found.sugar * found.served).to('gram'))} of sugar in the glass."


def _acid(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.acid is None or found.sugar is None:
        return _no_number(drink, "acid", found)
    if not found.acid.magnitude or found.ratio is None:
        return f"The {drink.name} has no acid to speak of."
    points = percent(found.acid.m_as("gram/deciliter"), 2)
    return f"The {drink.name} is {_sweet_or_sour(found)}: {points} acid, {decimal(found.ratio, 0)} of sugar to one."


def _dilution(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.water is None or found.served is None:
        return _no_number(drink, "dilution", found)
    if not _watered(found):
        return f"The {drink.name} takes no water from ice."
    size = measured_aloud(found.water, scene.focus, scene.book)
    share = _share(found.water, found.served)
    return f"The {drink.name} takes about {size} of water from the ice, {share} of what is in the glass."


def _bitterness(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.bitterness is None:
        return _no_number(drink, "bitterness", found)
    return f"The {drink.name} is {word_for(found.bitterness, BITTERNESS)}: {decimal(found.bitterness, 1)} of five."


def _volume(drink: Drink, found: Balance, scene: Scene) -> str:
    if found.served is None or found.wash is None:
        return _no_number(drink, "volume", found)
    size = measured_aloud(found.served, scene.focus, scene.book)
    way_up = f"{percent(found.wash.line * 100, 0)} of the way up"
    return f"The {drink.name} comes to {size} in the {drink.glass}, {way_up}. {_wash(found.wash, drink)}".strip()


def _no_number(drink: Drink, what: str, found: Balance) -> str:
    return f"The {what} of the {drink.name} is unknown: I lack numbers for {joined(found.unknown)}. Read the label."


def _watered(found: Balance) -> bool:
    return found.water is not None and bool(found.water.magnitude)


ASPECTS: dict[str, Callable[[Drink, Balance, Scene], str]] = {
    "strength": _strength,
    "sugar": _sugar,
    "acid": _acid,
    "dilution": _dilution,
    "bitterness": _bitterness,
    "volume": _volume,
}

HANDLERS: dict[Intent, Handler] = {Intent.BALANCE: balance_of}
