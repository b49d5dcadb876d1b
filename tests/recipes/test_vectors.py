"""The sums on arrays are those of the balance, drink by drink."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from recipes.balance import profile
from recipes.composition import Compositions
from recipes.model import Book, Drink, Ice, Method
from recipes.vectors import Array, Vectors
from tests.known_book import make_known_book
from tests.made_up import made_up, the_book

BOOK = the_book()
WITHIN = 1e-4  # of the value: linear between the steps of the tables


def by_balance(drink: Drink, book: Book) -> Array:
    """The same measures as the balance gives them; NaN where it knows none."""
    found = profile(drink, Compositions(book))
    measures = (found.served_ml, found.abv, found.sugar, found.acid, found.bitterness)
    return np.array([np.nan if value is None else float(value) for value in measures])


@pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
def test_a_drink_weighs_the_same_either_way(drink: Drink) -> None:
    """Volume, strength, sugar, acid and bitterness as served."""
    np.testing.assert_allclose(Vectors(BOOK).drink(drink), by_balance(drink, BOOK), rtol=WITHIN, atol=1e-6)


@pytest.mark.parametrize("method", Method)
@pytest.mark.parametrize("ice", [Ice.NONE, Ice.CUBED])
@pytest.mark.parametrize("base", ["overproof rum", "white wine"])
def test_every_method_dilutes_the_same_either_way(method: Method, ice: Ice, base: str) -> None:
    """Over-proof and feeble drinks, with and without ice in the glass."""
    drink = made_up(f"2 oz {base} as base", "3/4 oz lime juice", method=method.value, ice=ice.value)
    np.testing.assert_allclose(Vectors(BOOK).drink(drink), by_balance(drink, BOOK), rtol=WITHIN, atol=1e-6)


def test_many_drinks_at_once_are_the_same_as_one_by_one() -> None:
    """However they are mixed and whatever they are served on."""
    drinks, vectors = list(BOOK.drinks.values()), Vectors(BOOK)
    np.testing.assert_allclose(vectors.drinks(drinks), [vectors.drink(drink) for drink in drinks])


@pytest.mark.parametrize("unknown", ["abv", "sugar", "acid", "bitterness"])
@pytest.mark.parametrize("name", ["white rum", "lime juice"])
def test_what_the_book_does_not_tell_is_unknown_either_way(unknown: str, name: str) -> None:
    """A value that is missing is never taken for nothing."""
    book = make_known_book()
    lacking = replace(book.ingredients[name], **{unknown: None})  # type: ignore[arg-type]  # each of them may be None
    book = replace(book, ingredients={**book.ingredients, name: lacking})
    found = Vectors(book).drink(book.drinks["Daiquiri"])
    assert np.isnan(found).any()
    np.testing.assert_allclose(found, by_balance(book.drinks["Daiquiri"], book), rtol=WITHIN, atol=1e-6)


def test_a_topping_of_unknown_strength_leaves_sugar_and_acid_known() -> None:
    """What meets the ice is known, so its water is; only the strength of the whole is not."""
    book = make_known_book()
    soda = replace(book.ingredients["soda water"], abv=None)
    book = replace(book, ingredients={**book.ingredients, soda.name: soda})
    drink = book.drinks["Gin Rickey"]
    found = Vectors(book).drink(drink)
    assert list(np.isnan(found)) == list(np.isnan(by_balance(drink, book)))


def test_no_liquid_at_all_has_no_strength() -> None:
    """Leaves alone do not divide by nothing."""
    assert np.isnan(Vectors(BOOK).drink(made_up("8 leaves mint"))[2])
