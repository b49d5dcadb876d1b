"""A drink's spec as it is read out: in ounces, in millilitres on the house's step, or in parts.

Converting is honest: each line keeps the exact amount beside the one to pour, and a line that no fraction or step fits
stays as the book writes it. Dashes, barspoons, leaves and the like are the same in every unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

from recipes.model import Book, Drink, Pour
from recipes.units import COUNTED, US_JUGS, Amount, Measures, Quantity, Unit

SpecUnit = Literal["oz", "ml", "part"]

JIGGERED = frozenset({Unit.OUNCE, Unit.MILLILITRE, Unit.CENTILITRE, Unit.LITRE})  # read off a jigger
SPOONED = frozenset({Unit.TEASPOON, Unit.TABLESPOON})  # by the spoon in ounces, off the jigger in millilitres
METRIC = frozenset({Unit.MILLILITRE, Unit.CENTILITRE, Unit.LITRE})
EIGHTHS_WITHIN = Decimal("0.05")  # an eighth of an ounce this near is written; else a third may be nearer
FITS_WITHIN = Decimal("0.10")  # a conversion further off than this is not offered
PARTS_WITHIN = Decimal("0.02")  # parts this near to whole numbers are called whole
MOST_PARTS = 16  # of the smallest pour; beyond this a ratio is no help at the bar

_VULGAR = frozenset({1, 2, 3, 4, 8})
_AS_FRACTION = COUNTED | SPOONED | US_JUGS | {Unit.OUNCE, Unit.BARSPOON, Unit.DASH, Unit.DROP, Unit.PINCH, Unit.PART}
_PLURAL = {Unit.DASH: "dashes", Unit.LEAF: "leaves", Unit.PINCH: "pinches"}
_UNCHANGING = frozenset({Unit.OUNCE, Unit.TEASPOON, Unit.TABLESPOON, Unit.GRAM, Unit.KILOGRAM}) | METRIC


@dataclass(frozen=True)
class SpecLine:
    """One line of a spec: what the book pours, what to pour in the unit asked for, and what that would be exactly."""

    pour: Pour
    amount: Amount
    exact: Amount

    @property
    def change(self) -> Decimal:
        """How far the amount lies from exact, as a fraction: 0.014 is 1.4 % over."""
        return shift(self.exact, self.amount)


def shift(exact: Amount, rounded: Amount) -> Decimal:
    """By what fraction of `exact` the rounded amount is more (or, below zero, less); both in one unit."""
    return (rounded.number - exact.number) / exact.number


def vulgar(number: Decimal) -> Fraction | None:
    """The number in halves, thirds, quarters or eighths when it is exactly that, else None."""
    fraction = Fraction(number).limit_denominator(8)
    near = abs(fraction - Fraction(number)) < Fraction(1, 10**6)
    return fraction if near and fraction.denominator in _VULGAR else None


def written(amount: Amount) -> str:
    """The amount as a bartender writes it: '1 1/2 oz', '22.5 ml', '2 dashes', '8 leaves'."""
    number = _written_number(amount)
    if amount.unit is Unit.PIECE:
        return number
    return f"{number} {_unit_word(amount)}"


def spec_lines(drink: Drink, book: Book, unit: SpecUnit) -> tuple[SpecLine, ...]:
    """Every pour of the drink in ounces, in millilitres on the house's step, or in parts."""
    if unit == "part":
        return _in_parts(drink.pours, book.house.measures)
    convert = _to_ounces if unit == "oz" else _to_millilitres
    return tuple(convert(pour, book) for pour in drink.pours)


def to_step(number: Decimal, step: Decimal) -> Decimal:
    """The multiple of `step` nearest to the number, halves up."""
    return (number / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def volume_as(volume: Quantity, unit: Unit, measures: Measures) -> Amount:
    """A volume as an exact amount of ounces or millilitres of this house."""
    if unit is Unit.OUNCE:
        return Amount((volume / measures.ounce).to("dimensionless").magnitude, unit)
    return Amount(volume.to("milliliter").magnitude, Unit.MILLILITRE)


def _to_ounces(pour: Pour, book: Book) -> SpecLine:
    if pour.amount.unit not in METRIC:
        return _as_written(pour)
    measures = book.house.measures
    exact = volume_as(measures.physical(pour.amount), Unit.OUNCE, measures)
    eighth = Amount(to_step(exact.number, Decimal("0.125")), Unit.OUNCE)
    third = Amount(to_step(exact.number * 3, Decimal(1)) / 3, Unit.OUNCE)
    near = abs(shift(exact, eighth)) <= EIGHTHS_WITHIN
    nearest = eighth if near else min(eighth, third, key=lambda amount: abs(shift(exact, amount)))
    return _if_it_fits(pour, nearest, exact)


def _to_millilitres(pour: Pour, book: Book) -> SpecLine:
    if pour.amount.unit not in JIGGERED | SPOONED or pour.amount.unit is Unit.MILLILITRE:
        return _as_written(pour)
    exact = volume_as(book.house.measures.physical(pour.amount), Unit.MILLILITRE, book.house.measures)
    if pour.amount.unit in METRIC:
        return SpecLine(pour, exact, exact)
    steps = (book.house.metric_step.number, Decimal(1))
    tries = [Amount(to_step(exact.number, step), Unit.MILLILITRE) for step in steps]
    fitting = (amount for amount in tries if abs(shift(exact, amount)) <= FITS_WITHIN)
    return _if_it_fits(pour, next(fitting, tries[-1]), exact)


def _if_it_fits(pour: Pour, amount: Amount, exact: Amount) -> SpecLine:
    if abs(shift(exact, amount)) > FITS_WITHIN:
        return _as_written(pour)
    return SpecLine(pour, amount, exact)


def _in_parts(pours: tuple[Pour, ...], measures: Measures) -> tuple[SpecLine, ...]:
    """The pours as small whole numbers of parts; what a jigger does not measure stays as written."""
    volumes = [measures.physical(pour.amount).magnitude for pour in pours if _is_jiggered(pour)]
    parts = iter(_small_parts(volumes))
    return tuple(_parts_line(pour, next(parts)) if _is_jiggered(pour) else _as_written(pour) for pour in pours)


def _is_jiggered(pour: Pour) -> bool:
    return pour.amount.unit in JIGGERED | SPOONED


def _small_parts(volumes: list[Decimal]) -> list[Decimal]:
    """The volumes in the fewest parts that are nearly whole, or as nearly as any within reach."""

    def furthest(parts: list[Decimal]) -> Decimal:
        return max(abs(to_step(part, Decimal(1)) / part - 1) for part in parts)

    if not volumes:
        return []
    tries = [[volume / min(volumes) * times for volume in volumes] for times in range(1, MOST_PARTS + 1)]
    return next((parts for parts in tries if furthest(parts) <= PARTS_WITHIN), min(tries, key=furthest))


def _parts_line(pour: Pour, parts: Decimal) -> SpecLine:
    return SpecLine(pour, Amount(to_step(parts, Decimal(1)), Unit.PART), Amount(parts, Unit.PART))


def _as_written(pour: Pour) -> SpecLine:
    return SpecLine(pour, pour.amount, pour.amount)


def _written_number(amount: Amount) -> str:
    fraction = vulgar(amount.number) if amount.unit in _AS_FRACTION else None
    if fraction is None:
        return plain(amount.number)
    whole, rest = divmod(fraction, 1)
    return " ".join(filter(None, (f"{whole:,}" if whole or not rest else "", str(rest) if rest else "")))


def plain(number: Decimal, places: int = 2) -> str:
    """The number in digits, rounded to at most `places`, with no idle zeros: '22.5', '1,500'."""
    rounded = number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{rounded:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _unit_word(amount: Amount) -> str:
    if amount.number <= 1 or amount.unit in _UNCHANGING:
        return amount.unit.value
    return _PLURAL.get(amount.unit, f"{amount.unit.value}s")
