"""What is spent on each bottle, and that a rise of its price costs just that much."""

from __future__ import annotations

from decimal import Decimal

import pytest

from recipes.costing import cost
from recipes.menu_costs import what_if
from recipes.model import Book
from recipes.price_moves import spending
from recipes.units import quantity
from tests.conftest import make_tiny_book

SOLD = {"Gimlet": 50, "Daiquiri": 30, "Manhattan": 12, "Southside": 8}
TINY = Decimal("1e-20")


@pytest.fixture
def book() -> Book:
    """The small book."""
    return make_tiny_book()


def test_all_that_is_spent_is_all_that_the_drinks_cost(book: Book) -> None:
    """Nothing is counted twice or lost, not even in a syrup in a cordial."""
    found = spending(book, SOLD)
    total = sum((cost(book.drinks[name], book).known_money * count for name, count in SOLD.items()), Decimal(0))
    assert abs(sum(one.spent.magnitude for one in found) - total) < TINY * 1000
    assert abs(sum(one.share for one in found) - 1) < TINY


@pytest.mark.parametrize("name", ["gin", "lime juice", "white sugar", "mint", "lime wheel"])
def test_a_rise_is_what_the_menu_gets_dearer_by(book: Book, name: str) -> None:
    """Ten percent on a pack is worth what costing every drink again says it is."""
    pack = book.ingredients[name].pack
    assert pack is not None
    dearer = what_if(book, name, quantity(pack.price.magnitude * Decimal("1.1"), "money"))
    expected = sum((s.change.magnitude * SOLD.get(s.after.drink.name, 0) for s in dearer.shifts), Decimal(0))
    one = next(one for one in spending(book, SOLD) if one.ingredient == name)
    assert abs(one.rise(Decimal("0.1")).magnitude - expected) < TINY * 1000


def test_the_most_spent_comes_first_with_its_drinks(book: Book) -> None:
    """Fifty Gimlets make gin the dearest, and the Gimlet the first of its drinks."""
    first = spending(book, SOLD)[0]
    assert first.ingredient == "gin"
    assert first.drinks == ("Gimlet", "Southside")


def test_without_sales_it_is_one_of_each_drink_on_the_menu(book: Book) -> None:
    """The Rickey has no menu price and so is not on it."""
    assert all("Gin Rickey" not in one.drinks for one in spending(book))
    priced = {name: 1 for name, drink in book.drinks.items() if drink.price is not None}
    assert spending(book) == spending(book, priced)


def test_free_water_hurts_nobody(book: Book) -> None:
    """What costs nothing is not on the list; what has no price is not either, since nobody can know."""
    names = {one.ingredient for one in spending(book)}
    assert names.isdisjoint({"water", "raspberry syrup", "violet liqueur", "lime cordial"})
