"""Standard drinks against the worked examples that health bodies publish."""

from __future__ import annotations

from decimal import Decimal

from recipes.standard_drinks import alcohol, standard_drinks
from recipes.units import Quantity, quantity
from tests.checks.table import Row, table

NIAAA = "US NIAAA, What Is a Standard Drink?"
NHS = "UK NHS, Alcohol units"
AUSTRALIA = "Australia, Department of Health: litres x % vol x 0.789"
WHO = "WHO, AUDIT manual, 2nd ed. 2001 (WHO/MSD/MSB/01.6a), example drinks"
EXACT = "exact arithmetic at 0.78924 g/mL on the NIAAA examples"


def poured(row: Row, unit: str) -> tuple[Quantity, Quantity]:
    """The volume and the strength that a row gives."""
    volume, percent = row.numbers()
    return quantity(volume, unit), quantity(percent, "percent")


@table(
    Row("beer", ("12", "5"), "1", "0.01", NIAAA),
    Row("wine", ("5", "12"), "1", "0.01", NIAAA),
    Row("spirit", ("1.5", "40"), "1", "0.01", NIAAA),
    Row("malt liquor, middle of 8 to 9", ("8.5", "7"), "1", "0.07", NIAAA, "a range is given"),
    Row("fortified wine, middle of 3 to 4", ("3.5", "17"), "1", "0.15", NIAAA, "a range is given"),
    Row("cordial, middle of 2 to 3", ("2.5", "24"), "1", "0.2", NIAAA, "a range is given"),
)
def test_us_standard_drinks(row: Row) -> None:
    """Each of these is one."""
    assert row.agrees(standard_drinks(*poured(row, "fluid_ounce")).us)


@table(
    Row("beer", ("12", "5"), "14.004", "0.002", EXACT),
    Row("wine", ("5", "12"), "14.004", "0.002", EXACT),
    Row("spirit", ("1.5", "40"), "14.004", "0.002", EXACT),
)
def test_grams_in_a_us_standard_drink(row: Row) -> None:
    """Fourteen grams, and four milligrams."""
    assert row.agrees(alcohol(*poured(row, "fluid_ounce")).m_as("gram"))


@table(
    Row("pint of strong lager", ("568", "5.2"), "2.95", "0.005", NHS),
    Row("single spirit", ("25", "40"), "1", "0.0001", NHS),
    Row("large single spirit", ("35", "40"), "1.4", "0.0001", NHS),
    Row("small wine", ("125", "12"), "1.5", "0.0001", NHS),
    Row("standard wine", ("175", "12"), "2.1", "0.0001", NHS),
    Row("large wine", ("250", "12"), "3", "0.0001", NHS),
    Row("bottle of wine", ("750", "12"), "9", "0.0001", NHS),
    Row("bottle of beer", ("330", "5"), "1.7", "0.05", NHS, "published to one place"),
    Row("can of beer", ("440", "4.5"), "2", "0.05", NHS, "published to one place"),
    Row("pint of weak beer", ("568", "3.6"), "2", "0.05", NHS, "published to one place"),
)
def test_uk_units(row: Row) -> None:
    """Strength times millilitres over a thousand."""
    assert row.agrees(standard_drinks(*poured(row, "milliliter")).uk)


@table(
    Row("stubby", ("375", "5"), "1.5", "0.025", AUSTRALIA, "published to one place"),
    Row("stubby, by the formula", ("375", "5"), "1.479375", "0.000001", AUSTRALIA, "0.375 x 5 x 0.789"),
)
def test_australian_standard_drinks(row: Row) -> None:
    """The worked example of the health department."""
    assert row.agrees(standard_drinks(*poured(row, "milliliter")).au)


@table(
    Row("beer", ("330", "5"), "13.02", "0.05", WHO),
    Row("wine", ("140", "12"), "13.26", "0.05", WHO),
    Row("spirit", ("40", "40"), "12.63", "0.05", WHO),
)
def test_grams_in_the_example_drinks_of_the_world_health_organization(row: Row) -> None:
    """About thirteen grams each."""
    assert row.agrees(alcohol(*poured(row, "milliliter")).m_as("gram"))


def test_no_alcohol_is_no_standard_drink() -> None:
    """A glass of water counts for nothing anywhere."""
    none = standard_drinks(quantity(250, "milliliter"), quantity(0, "percent"))
    assert (none.us, none.uk, none.au) == (0, 0, 0)
    assert alcohol(quantity(250, "milliliter"), quantity(0, "percent")).m_as("gram") == Decimal(0)
