"""Makes more (or less) of a drink: by count, to a target volume, or from whole bottles.

Every line keeps its exact amount beside the one a jigger can pour, and says when the rounding is more than a guest
might taste. What is dashed, spooned or counted stays so until there is too much of it to count.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from types import MappingProxyType
from typing import Literal

from recipes.model import Book, Drink, Pour
from recipes.portions import bottle_of, portion
from recipes.spec import JIGGERED, shift, spec_lines, to_step, volume_as
from recipes.units import Amount, Quantity, Unit, quantity

JiggerUnit = Literal["oz", "ml"]

TASTED = Decimal("0.05")  # a line that rounding moves further than this carries a warning (house choice)
DASHES_BY_HAND = Decimal(8)  # more than this are measured in millilitres (common practice)
BY_HAND = MappingProxyType(
    {
        Unit.DASH: DASHES_BY_HAND,
        Unit.DROP: Decimal(20),
        Unit.PINCH: Decimal(8),
        Unit.BARSPOON: Decimal(4),
        Unit.TEASPOON: Decimal(4),
        Unit.TABLESPOON: Decimal(4),
    }
)  # up to so many are counted out; above, measured
JUGS = ((Decimal(1000), Decimal(10)), (Decimal(100), Decimal(5)))  # mL: from this much, a jug is read to that
WHOLE, HALF, QUARTER, TENTH = Decimal(1), Decimal("0.5"), Decimal("0.25"), Decimal("0.1")
HALVES_UNDER = Decimal(4)  # from this many, nobody halves an egg
_HALVED = frozenset({Unit.PIECE, Unit.BARSPOON, Unit.TEASPOON, Unit.TABLESPOON, Unit.PINCH})
_BY_THE_MILLILITRE = frozenset({Unit.DASH, Unit.DROP})  # never by the jigger: 12 dashes are 11 ml, not 10


@dataclass(frozen=True)
class ScaledLine:
    """One pour of a scaled drink, exactly and as it can be measured."""

    pour: Pour
    exact: Amount
    rounded: Amount

    @property
    def change(self) -> Decimal:
        """How far rounding moves the line, as a fraction of exact: -0.03 is 3 % less."""
        return shift(self.exact, self.rounded)

    @property
    def warning(self) -> bool:
        """Whether rounding moves the line further than may be tasted."""
        return abs(self.change) > TASTED


@dataclass(frozen=True)
class Scaled:
    """A drink made larger or smaller."""

    drink: Drink
    serves: Decimal
    lines: tuple[ScaledLine, ...]
    volume: Quantity  # mL of all that is poured, exactly, before any ice melts
    unsized: tuple[str, ...] = ()  # ingredients whose volume the book does not tell; `volume` is without them


def scale_to_count(drink: Drink, book: Book, count: Decimal | int, unit: JiggerUnit = "oz") -> Scaled:
    """So many of a drink, measured in ounces or millilitres; one of it is the spec itself."""
    serves = Decimal(count)
    volume, unsized = poured_volume(drink, book)
    return Scaled(drink, serves, lines_for(drink, book, serves, unit), volume * serves, unsized)


def lines_for(drink: Drink, book: Book, serves: Decimal, unit: JiggerUnit) -> tuple[ScaledLine, ...]:
    """The lines of so many of a drink."""
    if serves == 1:
        return tuple(ScaledLine(line.pour, line.exact, line.amount) for line in spec_lines(drink, book, unit))
    return tuple(_line(pour, serves, book, unit) for pour in drink.pours)


def scale_to_volume(drink: Drink, book: Book, target: Quantity, unit: JiggerUnit = "ml") -> Scaled:
    """As much of a drink as comes to the target volume before any ice melts.

    Raises ValueError for a drink of which nothing has a volume.
    """
    volume, _ = poured_volume(drink, book)
    if volume.magnitude == 0:
        raise ValueError(f"nothing in {drink.name} has a volume")
    return scale_to_count(drink, book, (target / volume).to("dimensionless").magnitude, unit)


def scale_to_bottles(drink: Drink, book: Book, bottles: Decimal | int, ingredient: str) -> Scaled:
    """What whole bottles of an ingredient make, to the last drop, in millilitres.

    `serves` is seldom whole: see `whole_serves`. Raises ValueError when the drink does not pour that ingredient.
    """
    bottle = bottle_of(book.ingredients[ingredient], book)
    return scale_to_use_up(drink, book, quantity(bottle.m_as("milliliter") * bottles, "milliliter"), ingredient)


def scale_to_use_up(drink: Drink, book: Book, size: Quantity, ingredient: str, unit: JiggerUnit = "ml") -> Scaled:
    """What so much (a volume) of an ingredient makes, to the last drop; ValueError as for bottles."""
    pour = drink.pour_of(ingredient)
    each = portion(pour, book).ml if pour else None
    if pour is None or not each:
        raise ValueError(f"{drink.name} pours no {ingredient}")
    return scale_to_count(drink, book, size.m_as("milliliter") / each, unit)


def whole_serves(scaled: Scaled) -> int:
    """The drinks that can be served in full."""
    return int(scaled.serves.to_integral_value(ROUND_FLOOR))


def poured_volume(drink: Drink, book: Book) -> tuple[Quantity, tuple[str, ...]]:
    """The volume (mL) of one drink before ice, and the ingredients whose volume the book does not tell."""
    sizes = [(pour.ingredient, portion(pour, book).ml) for pour in drink.pours]
    total = sum((ml for _, ml in sizes if ml is not None), Decimal(0))
    return quantity(total, "milliliter"), tuple(name for name, ml in sizes if ml is None)


def _line(pour: Pour, factor: Decimal, book: Book, unit: JiggerUnit) -> ScaledLine:
    amount = pour.amount.times(factor)
    if amount.unit in JIGGERED:
        return _jiggered(pour, amount, book, unit)
    if amount.number > BY_HAND.get(amount.unit, amount.number):
        return _measured(pour, amount, book, unit)
    return _counted(pour, amount)


def _jiggered(pour: Pour, amount: Amount, book: Book, unit: JiggerUnit) -> ScaledLine:
    """On the jigger's step, or on the jug's lines from 100 mL up; what is less than one step stays exact."""
    house = book.house
    step = house.jigger_step if unit == "oz" else house.metric_step
    exact = volume_as(house.measures.physical(amount), step.unit, house.measures)
    if exact.number < step.number:
        return ScaledLine(pour, amount, amount)
    return ScaledLine(pour, exact, Amount(to_step(exact.number, _read_to(exact, step.number)), step.unit))


def _read_to(exact: Amount, step: Decimal) -> Decimal:
    if exact.unit is Unit.OUNCE:
        return step
    return next((to_step(line, step) for size, line in JUGS if exact.number >= size), step)


def _measured(pour: Pour, amount: Amount, book: Book, unit: JiggerUnit) -> ScaledLine:
    """Too many to count out: by the jigger, by the millilitre or by the gram."""
    size = book.house.measures.physical(amount)
    if size.check("[mass]"):
        grams = Amount(size.m_as("gram"), Unit.GRAM)
        return ScaledLine(pour, grams, _to_step(grams, _gram_step(grams)))
    millilitres = Amount(size.m_as("milliliter"), Unit.MILLILITRE)
    if amount.unit in _BY_THE_MILLILITRE:
        return ScaledLine(pour, millilitres, _to_step(millilitres, WHOLE))
    return _jiggered(pour, millilitres, book, unit)


def _counted(pour: Pour, amount: Amount) -> ScaledLine:
    """To the whole or half that a hand can count, or that a scale can weigh."""
    if amount.unit is Unit.KILOGRAM:
        amount = Amount(amount.number * 1000, Unit.GRAM)
    if amount.unit is Unit.GRAM:
        return ScaledLine(pour, amount, _to_step(amount, _gram_step(amount)))
    halved = amount.unit in _HALVED and amount.number < HALVES_UNDER
    step = HALF if halved else QUARTER if amount.unit is Unit.BOTTLE else WHOLE
    return ScaledLine(pour, amount, _to_step(amount, step))


def _gram_step(grams: Amount) -> Decimal:
    return TENTH if grams.number < 10 else WHOLE


def _to_step(amount: Amount, step: Decimal) -> Amount:
    """On the step, but never down to none at all."""
    return Amount(max(to_step(amount.number, step), step), amount.unit)
