"""Menu engineering against a worksheet set in class, and against the rule as its author states it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

from recipes.menu_engineering import MenuMix, Quadrant, menu_mix
from recipes.units import quantity
from tests.checks.table import Row, table
from tests.conftest import make_tiny_book, pack, pours

EXERCISE = (
    "a four-item worksheet in the columns of Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, "
    "9th ed. 2009, ch. 11: items sold, costs and prices from a question site (SolutionInn 5600499), which prints the "
    "popularity line of 17.5 %; the other answers worked by hand"
)
AUTHOR = "Kasavana, The Power of Menu Engineering, part two (AHLEI, 2025): at least 70 % of an equal share is high"
ITEMS = {"One": (481, "4.90", "12.50"), "Two": (190, "6.50", "14.75"), "Three": (205, "5.20", "10.60")}
ITEMS |= {"Four": (340, "7.00", "16.80")}


def worksheet(items: dict[str, tuple[int, str, str]] = ITEMS) -> MenuMix:
    """The mix of items that each pour one bottle of their own cost, without waste or tax."""
    book = make_tiny_book()
    house = replace(book.house, waste=Decimal(0), sales_tax=Decimal(0), price_includes_tax=False)
    shelf, drinks = dict(book.ingredients), {}
    for name, (_, cost, price) in items.items():
        shelf[f"{name} itself"] = replace(shelf["gin"], name=f"{name} itself", pack=pack("750 milliliter", cost))
        pour = replace(pours("750 ml gin")[0], ingredient=f"{name} itself")
        drinks[name] = replace(
            book.drinks["Gimlet"], name=name, pours=(pour,), garnish=(), price=quantity(price, "money")
        )
    book = replace(book, house=house, ingredients=MappingProxyType(shelf), drinks=MappingProxyType(drinks))
    found = menu_mix(book, {name: sold for name, (sold, _, _) in items.items()})
    assert found is not None
    return found


def standing(name: str) -> tuple[Decimal, Decimal, Decimal, str]:
    """Share in percent, margin, margin of all that were sold, and quadrant."""
    one = next(one for one in worksheet().standings if one.costing.drink.name == name)
    return one.share * 100, one.margin.magnitude, one.earned.magnitude, one.quadrant


@table(
    Row("One", ("One", "7.60", "3655.60", "plowhorse"), "39.56", "0.005", EXERCISE),
    Row("Two", ("Two", "8.25", "1567.50", "puzzle"), "15.63", "0.005", EXERCISE),
    Row("Three", ("Three", "5.40", "1107.00", "dog"), "16.86", "0.005", EXERCISE),
    Row("Four", ("Four", "9.80", "3332.00", "star"), "27.96", "0.005", EXERCISE),
)
def test_the_worksheet(row: Row) -> None:
    """Each item's menu mix, margin, earnings and quadrant."""
    name, margin, earned, quadrant = row.given
    share, *rest = standing(name)
    assert row.agrees(share)
    assert rest == [Decimal(margin), Decimal(earned), quadrant]


@table(
    Row("popularity line of four", ("popular",), "17.5", "0", EXERCISE),
    Row("average margin", ("margin",), "7.9458", "0.00005", EXERCISE),
)
def test_the_lines_of_the_worksheet(row: Row) -> None:
    """9,662.10 earned by 1,216 sales; a quarter times seven tenths."""
    found = worksheet()
    lines = {"popular": found.popular_from * 100, "margin": found.average_margin.magnitude}
    assert row.agrees(lines[row.given[0]])


@table(
    Row("just on the line", ("35", "65"), "2", "0", AUTHOR),
    Row("just under it", ("349", "651"), "1", "0", AUTHOR),
)
def test_seven_tenths_of_an_equal_share_are_popular(row: Row) -> None:
    """How many of two items alike are popular."""
    first, second = row.given
    found = worksheet({"One": (int(first), "3.00", "10.00"), "Two": (int(second), "3.00", "10.00")})
    assert row.agrees(Decimal(sum(one.share >= found.popular_from for one in found.standings)))
    assert sum(one.quadrant is Quadrant.STAR for one in found.standings) == int(row.expected)
