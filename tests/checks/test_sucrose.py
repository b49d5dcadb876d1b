"""Sugar in water against the national tables, a chemists' handbook and USDA's portions."""

from __future__ import annotations

from decimal import Decimal

import pytest

from recipes.errors import BrixError
from recipes.loader import load_book
from recipes.sucrose import (
    BULK_G_ML,
    brix_of,
    density,
    may_crystallise,
    soluble,
    sugar,
    syrup,
    syrup_by_volume,
)
from recipes.units import quantity
from tests.checks.table import Row, table

BOOK = load_book()
C440 = "NBS Circular C440 (1942), table 114, brought to true density"
CRC = "CRC Handbook of Chemistry and Physics, aqueous sucrose, separate transcription"
MOHOS = "Mohos, Confectionery and Chocolate Engineering (2010), tables A2.2-A2.3"
USDA = "USDA 19335 at 200 g a cup, worked out on table 114"

FROM_C440 = [  # degrees Brix, g/mL, g/L
    ("10", "1.03814", "103.8"),
    ("20", "1.08095", "216.2"),
    ("30", "1.12698", "338.1"),
    ("40", "1.17644", "470.6"),
    ("50", "1.22956", "614.8"),
    ("60", "1.28646", "771.9"),
    ("66", "1.32242", "872.8"),
    ("66.667", "1.32650", "884.3"),
    ("70", "1.34716", "943.0"),
]
FROM_CRC = [
    ("10", "1.0381", "103.8"),
    ("20", "1.0810", "216.2"),
    ("30", "1.1270", "338.1"),
    ("40", "1.1765", "470.6"),
    ("50", "1.2295", "614.8"),
    ("60", "1.2864", "771.9"),
    ("66", "1.3224", "872.8"),
    ("70", "1.3472", "943.1"),
]


@table(
    *(Row(f"{brix} Brix, C440", (brix,), rho, "0.0002", C440) for brix, rho, _ in FROM_C440),
    *(Row(f"{brix} Brix, CRC", (brix,), rho, "0.0002", CRC) for brix, rho, _ in FROM_CRC),
)
def test_density_of_a_sugar_solution(row: Row) -> None:
    """To 0.0002 g/mL in two transcriptions; 66 and 66.667 were not used to make the fit."""
    assert row.agrees(density(row.numbers()[0]).m_as("gram/milliliter"))


@table(
    *(Row(f"{brix} Brix, C440", (brix,), held, "0.3", C440) for brix, _, held in FROM_C440),
    *(Row(f"{brix} Brix, CRC", (brix,), held, "0.3", CRC) for brix, _, held in FROM_CRC),
)
def test_sugar_in_a_litre_of_solution(row: Row) -> None:
    """To 0.3 g/L, and the strength read back from it."""
    (brix,) = row.numbers()
    held = sugar(brix)
    assert row.agrees(held.m_as("gram/liter"))
    assert abs(brix_of(held) - brix) < Decimal("0.001")


@table(
    Row("1:1, Brix", ("1000", "1000", "brix"), "50", "0.001", C440),
    Row("1:1, g/L", ("1000", "1000", "sugar"), "614.8", "0.3", C440),
    Row("1:1, litres", ("1000", "1000", "makes"), "1.627", "0.001", C440),
    Row("2:1, Brix", ("1000", "500", "brix"), "66.67", "0.01", C440),
    Row("2:1, g/L", ("1000", "500", "sugar"), "884.3", "0.3", C440),
    Row("2:1, litres", ("1000", "500", "makes"), "1.131", "0.001", C440),
)
def test_a_syrup_by_weight(row: Row) -> None:
    """One kilo of sugar with as much, or half as much, water."""
    grams, water, what = Decimal(row.given[0]), Decimal(row.given[1]), row.given[2]
    made = syrup(quantity(grams, "gram"), quantity(water, "gram"))
    found = {"brix": made.brix, "sugar": made.sugar.m_as("gram/liter"), "makes": made.makes.m_as("liter")}
    assert row.agrees(found[what])


@table(
    Row("simple, 30 mL", ("1000", "1000"), "18.44", "0.01", C440),
    Row("rich, 30 mL", ("1000", "500"), "26.53", "0.01", C440),
)
def test_the_sugar_in_an_ounce_of_syrup(row: Row) -> None:
    """A metric ounce of simple and of rich syrup."""
    grams, water = row.numbers()
    made = syrup(quantity(grams, "gram"), quantity(water, "gram"))
    assert row.agrees((made.sugar * quantity(30, "milliliter")).m_as("gram"))


def test_rich_syrup_is_not_twice_as_sweet() -> None:
    """Two to one carries 1.44 times the sugar of one to one, spoon for spoon (from table 114)."""
    rich, simple = sugar(Decimal(200) / 3), sugar(Decimal(50))
    assert abs((rich / simple).m_as("dimensionless") - Decimal("1.44")) < Decimal("0.005")


@table(
    Row("1:1 by volume, Brix", ("1", "1", "brix"), "45.9", "0.92", USDA),
    Row("1:1 by volume, g/L", ("1", "1", "sugar"), "553", "11", USDA),
    Row("2:1 by volume, Brix", ("2", "1", "brix"), "62.9", "1.26", USDA),
    Row("2:1 by volume, g/L", ("2", "1", "sugar"), "820", "16.4", USDA),
)
def test_a_syrup_by_volume(row: Row) -> None:
    """Scooped sugar is weaker than weighed sugar; 2 % either way, as packing varies."""
    scoops, water, what = Decimal(row.given[0]), Decimal(row.given[1]), row.given[2]
    made = syrup_by_volume(quantity(scoops, "liter"), quantity(water, "liter"))
    assert row.agrees({"brix": made.brix, "sugar": made.sugar.m_as("gram/liter")}[what])


@table(Row("a US cup", ("236.588",), "200", "0.1", "USDA 19335: one cup is 200 g"))
def test_scooped_sugar_weighs_what_usda_says(row: Row) -> None:
    """Two hundred grams a cup."""
    assert row.agrees(row.numbers()[0] * BULK_G_ML)


@table(
    Row("0 C", ("0",), "64.18", "0.001", MOHOS),
    Row("10 C", ("10",), "65.58", "0.001", MOHOS),
    Row("20 C", ("20",), "67.09", "0.001", MOHOS),
    Row("30 C", ("30",), "68.7", "0.001", MOHOS),
    Row("20 C, ICUMSA", ("20",), "66.7", "0.5", "ICUMSA, from memory"),
)
def test_how_much_sugar_stays_dissolved(row: Row) -> None:
    """Degrees Brix at saturation."""
    assert row.agrees(soluble(row.numbers()[0]))


def test_rich_syrup_crystallises_in_the_fridge_and_simple_syrup_does_not() -> None:
    """Two to one by weight lies above saturation at 4 degrees and just below it at 20 (Mohos)."""
    rich = Decimal(200) / 3
    assert may_crystallise(rich)
    assert not may_crystallise(rich, Decimal(20))
    assert not may_crystallise(Decimal(50))


@pytest.mark.parametrize(("name", "sugar_g", "water_g"), [("simple syrup", 500, 500), ("rich syrup", 1000, 500)])
def test_the_shipped_syrups_make_the_volume_of_the_table(name: str, sugar_g: int, water_g: int) -> None:
    """The book's recipes are by weight, and say what table 114 makes of them, to a millilitre."""
    made = BOOK.ingredients[name].made
    assert made is not None
    assert [pour.amount.number for pour in made.pours] == [sugar_g, water_g]
    by_table = syrup(quantity(sugar_g, "gram"), quantity(water_g, "gram")).makes
    assert abs((made.makes - by_table).m_as("milliliter")) < 1


def test_shipped_syrups_that_may_crystallise_say_so() -> None:
    """Every house syrup above saturation at fridge temperature carries the caution."""
    syrups = [i for i in BOOK.ingredients.values() if i.made and i.kind == "syrup" and i.sugar]
    over = [i for i in syrups if i.sugar and may_crystallise(brix_of(i.sugar.value))]
    assert over
    assert [i.name for i in over if "crystal" not in i.caution] == []


@pytest.mark.parametrize("brix", ["-1", "95.1"])
def test_no_syrup_lies_beyond_the_table(brix: str) -> None:
    """The table ends at 95 degrees Brix."""
    with pytest.raises(BrixError):
        density(Decimal(brix))
    with pytest.raises(BrixError):
        brix_of(quantity(1500, "gram/liter"))
