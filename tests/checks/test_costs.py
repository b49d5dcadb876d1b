"""Cost arithmetic against worked examples from textbooks of the trade."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple

import pytest

from assistant.answers.figures import percent_figure
from recipes.costing import Costing, cost, price_for
from recipes.model import Book, Drink
from recipes.scaling import scale_to_bottles
from recipes.units import quantity
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


def test_a_twelfth_of_a_fifteen_dollar_bottle_at_fifty_percent() -> None:
    """A bottle at $15 and a target of 50 % sells for $30; twelve drinks, $2.50 each."""
    assert CATERING
    drink, book = bar("750", "15.00", "62.5 ml gin")
    found = price_for(drink, book, Decimal("0.50"))
    assert scale_to_bottles(drink, book, 1).serves == 12
    assert found.price == quantity("2.50", "money")
    assert found.price is not None
    assert found.price * 12 == quantity("30.00", "money")


@pytest.mark.parametrize(("bottle", "price", "line"), [("750", "24.00", "1.5 oz gin"), ("1000", "31.00", "45 ml gin")])
def test_by_the_bottle_and_by_the_ounce_agree(bottle: str, price: str, line: str) -> None:
    """Method I (bottle over portions) and method II (price per volume times portion) give one cost."""
    assert DITTMER
    drink, book = bar(bottle, price, line)
    by_volume = cost(drink, book).total
    portions = scale_to_bottles(drink, book, 1).serves
    assert by_volume is not None
    assert abs(by_volume.m_as("money") - Decimal(price) / portions) < Decimal("0.0001")


class Period(NamedTuple):
    """What a bar used and took in a period."""

    cost: str
    sales: str
    percent: str
    source: str


PERIODS = [
    Period("6000", "20000", "30 %", EXERCISE),
    Period("9939", "41412.50", "24 %", EXERCISE),
    Period("8349", "29817.85", "28 %", EXERCISE),
    Period("6435", "20000", "32.2 %", EXERCISE),
    Period("10709", "41412.50", "25.9 %", EXERCISE),
    Period("8644", "29817.85", "29 %", EXERCISE),
    Period("14798", "95786", "15.4 %", "7,654 + 15,876 - 8,732 over 95,786; the page cuts 15.449 to 15.44"),
]


@pytest.mark.parametrize("period", PERIODS, ids=lambda period: period.cost)
def test_cost_percent_is_cost_over_sales(period: Period) -> None:
    """A bar that pours one bottle a month at that cost and takes that much for it."""
    assert period.source
    share = costing("750", period.cost, "750 ml gin", period.sales).pour_cost
    assert share is not None
    assert percent_figure(share * 100).text == period.percent


def test_percents_are_rounded_not_cut() -> None:
    """14,798 over 95,786 is 15.449 %, so 15.45 and not the 15.44 that one page prints."""
    share = costing("750", "14798", "750 ml gin", "95786").pour_cost
    assert share is not None
    assert percent_figure(share * 100, 2).text == "15.45 %"
