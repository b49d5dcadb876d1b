"""Cost arithmetic against worked examples from textbooks of the trade."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

from assistant.answers.figures import percent_figure
from recipes.costing import Costing, cost, price_for
from recipes.model import Book, Drink
from recipes.scaling import scale_to_bottles
from recipes.units import quantity
from tests.checks.table import Row, table
from tests.conftest import make_tiny_book, pack, pours

DITTMER = "Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, 9th ed. 2009, ch. 15"
EXERCISE = "exercise of the kind of Dittmer and Keefe fig. 16.1, numbers from a question site, answers computed"
CATERING = "catering-management text: bottle $15 at 50 % is $30, twelve drinks of $2.50"


def bar(bottle: str, price: str, line: str, menu_price: str | None = None) -> tuple[Drink, Book]:
    """A bar without waste, tax or rounding, with one bottle and a drink poured from it."""
    book = make_tiny_book()
    house = replace(
        book.house,
        waste=Decimal(0),
        sales_tax=Decimal(0),
        price_includes_tax=False,
        price_step=quantity("0.01", "money"),
    )
    gin = replace(book.ingredients["gin"], pack=pack(f"{bottle} milliliter", price))
    shelf = MappingProxyType(dict(book.ingredients) | {"gin": gin})
    drink = replace(
        book.drinks["Gimlet"],
        pours=pours(line),
        garnish=(),
        price=None if menu_price is None else quantity(menu_price, "money"),
    )
    return drink, replace(book, house=house, ingredients=shelf)


def costing(bottle: str, price: str, line: str, menu_price: str | None = None) -> Costing:
    """The cost of that drink."""
    return cost(*bar(bottle, price, line, menu_price))


@table(Row("a bottle at 15 in twelve", ("15.00", "0.50", "12"), "2.50", "0", CATERING))
def test_the_price_of_a_drink_for_a_target(row: Row) -> None:
    """Cost over target, rounded up to the cent."""
    price, target, drinks = row.given
    drink, book = bar("750", price, f"{Decimal(750) / int(drinks)} ml gin")
    found = price_for(drink, book, Decimal(target)).price
    assert found is not None
    assert row.agrees(found.m_as("money"))


@table(
    Row("750 ml at 24.00", ("750", "24.00", "1.5 oz gin"), "0", "0.0001", DITTMER),
    Row("1 l at 31.00", ("1000", "31.00", "45 ml gin"), "0", "0.0001", DITTMER),
)
def test_by_the_bottle_and_by_the_ounce_agree(row: Row) -> None:
    """Method I (bottle over portions) and method II (price per volume times portion) give one cost."""
    drink, book = bar(*row.given)
    by_volume = cost(drink, book).known_money
    by_bottle = Decimal(row.given[1]) / scale_to_bottles(drink, book, 1, "gin").serves
    assert row.agrees(by_volume - by_bottle)


@table(
    Row("A", ("6000", "20000"), "30.0", "0.05", EXERCISE),
    Row("B", ("9939", "41412.50"), "24.0", "0.05", EXERCISE),
    Row("C", ("8349", "29817.85"), "28.0", "0.05", EXERCISE),
    Row("A adjusted", ("6435", "20000"), "32.2", "0.05", EXERCISE),
    Row("B adjusted", ("10709", "41412.50"), "25.9", "0.05", EXERCISE),
    Row("C adjusted", ("8644", "29817.85"), "29.0", "0.05", EXERCISE),
    Row("one period", ("14798", "95786"), "15.45", "0.005", "7,654 + 15,876 - 8,732 over 95,786"),
)
def test_cost_percent_is_cost_over_sales(row: Row) -> None:
    """A bar that pours one bottle a month at that cost and takes that much for it."""
    used, sales = row.given
    share = costing("750", used, "750 ml gin", sales).pour_cost
    assert share is not None
    assert row.agrees(share * 100)


def test_percents_are_rounded_not_cut() -> None:
    """14,798 over 95,786 is 15.449 %, so 15.45 and not the 15.44 that one page prints."""
    share = costing("750", "14798", "750 ml gin", "95786").pour_cost
    assert share is not None
    assert percent_figure(share * 100, 2).text == "15.45 %"
