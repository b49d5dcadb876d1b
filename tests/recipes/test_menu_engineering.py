"""Menu engineering on the small book: who is popular, who earns, and who is left out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.costing import cost
from recipes.menu_engineering import Quadrant, menu_mix
from recipes.model import Book
from tests.conftest import make_tiny_book

SOLD = {"Gimlet": 50, "Daiquiri": 30, "Manhattan": 12, "Southside": 8}


@pytest.fixture
def book() -> Book:
    """The small book."""
    return make_tiny_book()


def test_the_shares_are_of_all_that_was_sold(book: Book) -> None:
    """Fifty of a hundred are a half; the line lies at seven tenths of a quarter."""
    found = menu_mix(book, SOLD)
    assert found is not None
    assert {one.costing.drink.name: one.share for one in found.standings}["Gimlet"] == Decimal("0.5")
    assert sum(one.share for one in found.standings) == 1
    assert found.popular_from == Decimal("0.175")


def test_a_drink_that_nobody_ordered_is_on_the_menu(book: Book) -> None:
    """It makes the equal share smaller, and is never popular."""
    found = menu_mix(book, SOLD | {"Daiquiri": 0})
    assert found is not None
    idle = next(one for one in found.standings if one.costing.drink.name == "Daiquiri")
    assert idle.quadrant in (Quadrant.DOG, Quadrant.PUZZLE)
    assert found.popular_from == Decimal("0.175")


def test_the_margins_earned_add_up(book: Book) -> None:
    """What all drinks earned is the average margin times all that were sold; the most earned comes first."""
    found = menu_mix(book, SOLD)
    assert found is not None
    earned = [one.earned.magnitude for one in found.standings]
    assert abs(sum(earned) - found.average_margin.magnitude * 100) < Decimal("1e-20")
    assert earned == sorted(earned, reverse=True)
    for one in found.standings:
        assert one.margin == cost(one.costing.drink, book).margin


def test_a_drink_just_at_both_lines_is_a_star(book: Book) -> None:
    """Seven tenths of an equal share and the average margin are enough: 'at least', not 'more than'."""
    twins = [replace(book.drinks["Gimlet"], name=name) for name in ("One", "Two")]
    found = menu_mix(book.with_drinks(twins), {"One": 35, "Two": 65})
    assert found is not None
    assert [one.quadrant for one in found.standings] == [Quadrant.STAR, Quadrant.STAR]


def test_what_has_no_price_or_cost_is_named_and_left_out(book: Book) -> None:
    """The Rickey has no menu price, the Clover Club a syrup of unknown price."""
    found = menu_mix(book, SOLD | {"Gin Rickey": 500, "Clover Club": 500})
    assert found is not None
    assert found.unknown == ("Gin Rickey", "Clover Club")
    assert sum(one.sold for one in found.standings) == 100


def test_nothing_sold_has_no_quadrants(book: Book) -> None:
    """No sale, no share."""
    assert menu_mix(book, {"Gimlet": 0}) is None
    assert menu_mix(book, {}) is None


def test_a_strange_name_is_an_error(book: Book) -> None:
    """Sales of a drink that the book lacks were matched wrongly."""
    with pytest.raises(KeyError):
        menu_mix(book, {"Nightcap": 3})
