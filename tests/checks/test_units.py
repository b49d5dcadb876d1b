"""The units against their legal definitions and against a units library used by others."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pint
import pytest

from recipes.model import Book, Drink
from recipes.scaling import scale_to_bottles, scale_to_count
from recipes.spec import volume_as
from recipes.units import Amount, Unit, quantity
from tests.checks.table import Row, table
from tests.conftest import make_tiny_book, pack, pours

BOOK = make_tiny_book()
HB44 = "NIST Handbook 44, App. C: 1 US gallon is 231 cubic inches, 1 inch is 25.4 mm exactly"
DITTMER = "Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, ch. 15, method I"
CUBIC_INCH = Decimal("2.54") ** 3  # mL


def inches(cubic: str, share: int) -> str:
    """So many cubic inches over a whole number, in mL."""
    return str(Decimal(cubic) * CUBIC_INCH / share)


@table(
    Row("1 oz", ("1", "oz"), inches("231", 128), "1e-8", HB44),
    Row("1 tbsp", ("1", "tbsp"), inches("231", 256), "1e-8", HB44),
    Row("1 tsp", ("1", "tsp"), inches("231", 768), "1e-8", HB44),
    Row("1 gallon", ("1", "gallon"), inches("231", 1), "1e-8", HB44),
    Row("1 quart", ("1", "quart"), inches("231", 4), "1e-8", HB44),
    Row("1 pint", ("1", "pint"), inches("231", 8), "1e-8", HB44),
    Row("a pint on a label", ("1", "pint"), "473", "0.5", "NIST SP 430, Metric Household, table 1"),
    Row("a quart on a label", ("1", "quart"), "946", "0.5", "NIST SP 430, Metric Household, table 1"),
    Row("a jigger", ("1.5", "oz"), "44.36029434375", "1e-8", "GNU Units 3.22: jigger, shot"),
    Row("1 cl", ("1", "cl"), "10", "0", "SI"),
    Row("1 l", ("1", "l"), "1000", "0", "SI"),
    Row("1 dash", ("1", "dash"), "0.9", "0", "common practice: 0.6 to 0.95 mL"),
    Row("1 barspoon", ("1", "barspoon"), "5", "0", "common practice: 2.5 or 5 mL"),
)
def test_a_measure_holds_its_published_volume(row: Row) -> None:
    """The book's units against their definitions, in mL."""
    number, unit = row.given
    assert row.agrees(BOOK.house.measures.physical(Amount(Decimal(number), Unit(unit))).m_as("milliliter"))


@pytest.mark.parametrize(
    ("unit", "theirs"),
    [
        (Unit.OUNCE, "US_fluid_ounce"),
        (Unit.TABLESPOON, "tablespoon"),
        (Unit.TEASPOON, "teaspoon"),
        (Unit.PINT, "pint"),
        (Unit.QUART, "quart"),
        (Unit.GALLON, "gallon"),
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


@table(
    Row("1 l", ("1000",), "33.814", "0.001", "27 CFR 5: the litre as 33.814 US fl oz"),
    Row("750 ml", ("750",), "25.361", "0.001", "arithmetic on the same"),
    Row("700 ml", ("700",), "23.670", "0.001", "arithmetic on the same"),
)
def test_bottles_in_ounces(row: Row) -> None:
    """What a bottle holds."""
    volume = quantity(row.numbers()[0], "milliliter")
    assert row.agrees(volume_as(volume, Unit.OUNCE, BOOK.house.measures).number)


def bottle_drink(bottle: int, line: str) -> tuple[Drink, Book]:
    """A drink of one pour and a book whose gin comes in that bottle."""

    gin = replace(BOOK.ingredients["gin"], pack=pack(f"{bottle} milliliter", "20.00"))
    book = replace(BOOK, ingredients=MappingProxyType(dict(BOOK.ingredients) | {"gin": gin}))
    return replace(BOOK.drinks["Gimlet"], pours=pours(line)), book


@table(
    Row("700 ml by 25 ml", ("700", "25 ml gin"), "28", "0.05", DITTMER),
    Row("750 ml by 1.5 oz", ("750", "1.5 oz gin"), "16.9", "0.05", DITTMER),
    Row("1 l by 1.5 oz", ("1000", "1.5 oz gin"), "22.5", "0.05", DITTMER),
)
def test_pours_to_a_bottle(row: Row) -> None:
    """Bottle over portion."""
    drink, book = bottle_drink(int(row.given[0]), row.given[1])
    assert row.agrees(scale_to_bottles(drink, book, 1, "gin").serves)


def test_twelve_manhattans() -> None:
    """Rye 50, sweet vermouth 20, one dash (International Bartenders Association): 600, 240 and 10.8 ml of bitters."""
    lines = pours("50 ml rye whiskey", "20 ml sweet vermouth", "1 dash aromatic bitters")
    scaled = scale_to_count(replace(BOOK.drinks["Manhattan"], pours=lines), BOOK, 12, "ml")
    assert [line.exact.number for line in scaled.lines] == [Decimal(600), Decimal(240), Decimal("10.8")]
