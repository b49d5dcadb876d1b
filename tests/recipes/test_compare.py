"""Two drinks side by side: the second less the first, and nothing that is not known."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.balance import balance
from recipes.compare import compare
from recipes.costing import cost
from recipes.model import Book
from tests.known_book import make_known_book
from tests.made_up import made_up, the_book

BOOK = the_book()


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


def test_the_change_is_the_second_less_the_first(book: Book) -> None:
    """Every number of the balance, and the cost to pour."""
    first, second = book.drinks["Daiquiri"], book.drinks["Manhattan"]
    change = compare(first, second, book).change
    old, new = balance(first, book), balance(second, book)
    assert old.abv is not None
    assert new.abv is not None
    assert change.abv == (new.abv - old.abv).m_as("percent")
    old_cost, new_cost = cost(first, book).total, cost(second, book).total
    assert old_cost is not None
    assert new_cost is not None
    assert change.cost == new_cost - old_cost


def test_turned_about_every_number_changes_its_sign(book: Book) -> None:
    """What is stronger one way is lighter the other."""
    first, second = book.drinks["Daiquiri"], book.drinks["Manhattan"]
    there, back = compare(first, second, book).change, compare(second, first, book).change
    for name in ("abv", "sugar", "acid", "bitterness", "served"):
        assert getattr(there, name) == -getattr(back, name)
    assert (there.brings, there.drops) == (back.drops, back.brings)


def test_a_drink_beside_itself_has_no_difference(book: Book) -> None:
    """Not in any number, allergen or cent."""
    change = compare(book.drinks["Daiquiri"], book.drinks["Daiquiri"], book).change
    assert {change.abv, change.sugar, change.acid, change.bitterness, change.served} == {Decimal(0)}
    assert change.cost is not None
    assert change.cost.magnitude == 0
    assert change.brings + change.drops + change.allergens_unknown == ()


def test_allergens_are_told_both_ways(book: Book) -> None:
    """The manhattan brings sulphites, the clover club egg."""
    change = compare(book.drinks["Manhattan"], book.drinks["Clover Club"], book).change
    assert (change.brings, change.drops) == (("egg",), ("sulphites",))


def test_what_is_not_known_has_no_difference(book: Book) -> None:
    """The violet liqueur is a riddle: no strength, no price, no allergens."""
    sides = compare(book.drinks["Daiquiri"], book.drinks["Aviation"], book)
    change = sides.change
    assert (change.abv, change.sugar, change.cost) == (None, None, None)
    assert change.allergens_unknown == ("violet liqueur",)
    assert compare(sides.second, sides.second, book).change.allergens_unknown == ()


def test_what_both_pour_and_what_only_one_pours_is_told() -> None:
    """The negroni and the boulevardier differ in their base alone."""
    sides = compare(BOOK.drinks["Negroni"], BOOK.drinks["Boulevardier"], BOOK)
    assert set(sides.shared) == {"bitter red aperitif", "sweet vermouth"}
    assert sides.only == (("gin",), ("bourbon",))


def test_an_ingredient_the_book_lacks_is_refused(book: Book) -> None:
    """Nothing can be said of what nobody has written down."""
    stranger = replace(made_up("2 oz gin"), pours=(replace(made_up("2 oz gin").pours[0], ingredient="moonshine"),))
    with pytest.raises(KeyError):
        compare(book.drinks["Daiquiri"], stranger, book)
