"""Numbers for the card: value, unit and the text people read. What is None is unknown, and says so."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from assistant.messages import Figure
from recipes.model import House
from recipes.spec import plain, written
from recipes.units import Amount, Quantity, measured

UNKNOWN = "unknown"


def figure(value: Decimal | int | None, unit: str, places: int = 1) -> Figure:
    """Any number in a plain unit, rounded half-up to at most `places`: '22.4 %'."""
    if value is None:
        return Figure(None, unit, UNKNOWN)
    rounded = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP) + 0  # no minus before a zero
    return Figure(rounded, unit, f"{plain(rounded, places)} {unit}".rstrip())


def change_figure(value: Decimal | None, unit: str, places: int = 1) -> Figure:
    """How much more or less of something, with its sign: '+64 g/l', '-3 % vol', '0 % acid'."""
    found = figure(value, unit, places)
    return replace(found, text=f"+{found.text}") if found.value is not None and found.value > 0 else found


def amount_figure(amount: Amount) -> Figure:
    """An amount as a bartender writes it: '3/4 oz', '2 dashes'."""
    return Figure(amount.number, amount.unit.value, written(amount))


def money_figure(value: Quantity | None, house: House) -> Figure:
    """Money in the house's currency, half-up to the cent: '$3.40'."""
    if value is None:
        return Figure(None, house.currency, UNKNOWN)
    cents = value.magnitude.quantize(Decimal("0.01"), ROUND_HALF_UP)
    sign = "-" if cents < 0 else ""
    return Figure(cents, house.currency, f"{sign}{house.symbol}{abs(cents):,.2f}")


def percent_figure(points: Decimal | None, places: int = 1) -> Figure:
    """A share; `points` is 22.4 for 22.4 %."""
    return figure(points, "%", places)


def volume_figure(value: Quantity | None) -> Figure:
    """A volume in millilitres, or in litres from one litre up: '94 ml', '1.62 l'."""
    return _finely(None if value is None else value.m_as("milliliter"), "ml", "l")


def mass_figure(value: Quantity | None) -> Figure:
    """A mass in grams, or in kilograms from one kilogram up: '8.4 g', '1.2 kg'."""
    return _finely(None if value is None else value.m_as("gram"), "g", "kg")


def size_figure(value: Quantity) -> Figure:
    """A volume, a mass or a number of pieces: '94 ml', '8.4 g', '12 pieces'."""
    number, unit = measured(value)
    if unit == "piece":
        return figure(number, "piece" if number == 1 else "pieces", 0)
    return _finely(number, "g", "kg") if unit == "gram" else _finely(number, "ml", "l")


def _finely(value: Decimal | None, unit: str, thousand: str) -> Figure:
    """As finely as a jug or a scale is read, in the thousandfold unit from one of it up."""
    if value is not None and value >= 1000:
        return figure(value / 1000, thousand, 2)
    return figure(value, unit, 0 if value is not None and value >= 100 else 1)
