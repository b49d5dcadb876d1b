"""The units against their legal definitions and against a units library used by others."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple

import pint
import pytest

from recipes.model import Book, Drink
from recipes.scaling import scale_to_bottles, scale_to_count
from recipes.spec import volume_as
from recipes.units import Amount, Unit, quantity
from tests.conftest import make_tiny_book, pack, pours

BOOK = make_tiny_book()
HB44 = "NIST Handbook 44, App. C: 1 US gallon is 231 cubic inches, 1 inch is 25.4 mm exactly"
CUBIC_INCH = Decimal("2.54") ** 3  # mL


class Known(NamedTuple):
    """A volume and where it is published."""

    amount: Amount
    millilitres: Decimal
    source: str


KNOWN = [
    Known(Amount(Decimal(1), Unit.OUNCE), 231 * CUBIC_INCH / 128, HB44),
    Known(Amount(Decimal(1), Unit.TABLESPOON), 231 * CUBIC_INCH / 256, HB44),
    Known(Amount(Decimal(1), Unit.TEASPOON), 231 * CUBIC_INCH / 768, HB44),
    Known(Amount(Decimal("1.5"), Unit.OUNCE), Decimal("44.36029434375"), "GNU Units 3.22: jigger, shot"),
    Known(Amount(Decimal(1), Unit.CENTILITRE), Decimal(10), "SI"),
    Known(Amount(Decimal(1), Unit.LITRE), Decimal(1000), "SI"),
    Known(Amount(Decimal(1), Unit.DASH), Decimal("0.9"), "common practice: 0.6 to 0.95 mL"),
    Known(Amount(Decimal(1), Unit.BARSPOON), Decimal(5), "common practice: 2.5 or 5 mL"),
]


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: f"{known.amount.number} {known.amount.unit}")
def test_a_measure_holds_its_published_volume(known: Known) -> None:
    """Exact to a part in a thousand million."""
    assert known.source
    held = BOOK.house.measures.physical(known.amount).m_as("milliliter")
    assert abs(held / known.millilitres - 1) < Decimal("1e-9")


@pytest.mark.parametrize(
    ("unit", "theirs"),
    [
        (Unit.OUNCE, "US_fluid_ounce"),
        (Unit.TABLESPOON, "tablespoon"),
        (Unit.TEASPOON, "teaspoon"),
        (Unit.CENTILITRE, "centiliter"),
        (Unit.LITRE, "liter"),
        (Unit.KILOGRAM, "kilogram"),
    ],
)
def test_a_measure_agrees_with_a_units_library(unit: Unit, theirs: str) -> None:
    """Pint's own definitions (default_en.txt), read by a registry that shares nothing with ours."""
    ours = BOOK.house.measures.physical(Amount(Decimal(1), unit))
    other = pint.UnitRegistry().Quantity(1.0, theirs).m_as(str(ours.units))
    assert abs(float(ours.magnitude) / other - 1) < 1e-9


@pytest.mark.parametrize(
    ("millilitres", "ounces"), [(750, "25.361"), (700, "23.670"), (1000, "33.814")], ids=["750 ml", "700 ml", "1 l"]
)
def test_bottles_in_ounces(millilitres: int, ounces: str) -> None:
    """27 CFR 5 gives the litre as 33.814 US fl oz; the others by arithmetic."""
    amount = volume_as(quantity(millilitres, "milliliter"), Unit.OUNCE, BOOK.house.measures)
    assert abs(amount.number - Decimal(ounces)) < Decimal("0.001")


def bottle_drink(bottle: int, line: str) -> tuple[Drink, Book]:
    """A drink of one pour and a book whose gin comes in that bottle."""

    gin = replace(BOOK.ingredients["gin"], pack=pack(f"{bottle} milliliter", "20.00"))
    book = replace(BOOK, ingredients=MappingProxyType(dict(BOOK.ingredients) | {"gin": gin}))
    return replace(BOOK.drinks["Gimlet"], pours=pours(line)), book


@pytest.mark.parametrize(
    ("bottle", "line", "serves"),
    [(700, "25 ml gin", "28"), (750, "1.5 oz gin", "16.9"), (1000, "1.5 oz gin", "22.5")],
)
def test_pours_to_a_bottle(bottle: int, line: str, serves: str) -> None:
    """Bottle volume over portion (Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, ch. 15)."""
    drink, book = bottle_drink(bottle, line)
    assert round(scale_to_bottles(drink, book, 1).serves, 1) == Decimal(serves)


def test_twelve_manhattans() -> None:
    """Rye 50, sweet vermouth 20, one dash (International Bartenders Association): 600, 240 and 10.8 ml of bitters."""
    lines = pours("50 ml rye whiskey", "20 ml sweet vermouth", "1 dash aromatic bitters")
    scaled = scale_to_count(replace(BOOK.drinks["Manhattan"], pours=lines), BOOK, 12, "ml")
    assert [line.exact.number for line in scaled.lines] == [Decimal(600), Decimal(240), Decimal("10.8")]
