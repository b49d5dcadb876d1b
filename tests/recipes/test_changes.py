"""What changes between two drinks that are like each other."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from recipes.changes import Changes, changes, near
from recipes.loader import load_book
from recipes.model import Book, Method, Pour
from recipes.units import Amount, Unit


def test_what_goes_out_what_comes_in_and_the_method(tiny_book: Book) -> None:
    """By ingredient; an exchange is one pour that differs."""
    found = changes(tiny_book.drinks["Daiquiri"], tiny_book.drinks["Southside"])
    assert found == Changes(("white rum",), ("gin", "mint"), (), other_method=False)
    assert found.pours == 2


def test_another_amount_is_a_change(tiny_book: Book) -> None:
    """Of what is measured; what tops up is no more and no less."""
    rickey = tiny_book.drinks["Gin Rickey"]
    gin, lime, soda = rickey.pours
    half = Amount(Decimal("0.5"), Unit.OUNCE)
    other = replace(rickey, pours=(replace(gin, amount=half), lime, replace(soda, amount=half)), method=Method.SHAKEN)
    assert changes(rickey, other) == Changes((), (), ("gin",), other_method=True)


def test_a_float_of_what_is_poured_already_is_another_amount(tiny_book: Book) -> None:
    """An ingredient poured twice is not the same as once."""
    daiquiri = tiny_book.drinks["Daiquiri"]
    rum = daiquiri.pours[0]
    floated = replace(daiquiri, pours=(*daiquiri.pours, Pour(rum.ingredient, rum.amount, rum.role)))
    assert changes(daiquiri, floated).other_amount == ("white rum",)


def test_near_is_one_or_two_pours_or_the_method(tiny_book: Book) -> None:
    """The drink itself, one that differs in nothing, and one that shares less than it exchanges are not near."""
    daiquiri = tiny_book.drinks["Daiquiri"]
    same, thrown = replace(daiquiri, name="Same"), replace(daiquiri, name="Thrown", method=Method.THROWN)
    book = tiny_book.with_drinks([same, thrown])
    assert near(book.drinks["Daiquiri"], book) == ("Southside", "Thrown")
    assert near(book.drinks["Manhattan"], book) == ()


def test_near_holds_in_the_book_that_ships() -> None:
    """Every pair shares at least what it exchanges, and differs in no more than two pours."""
    book = load_book()
    pairs = [(book.drinks[other], drink) for drink in book.drinks.values() for other in near(drink, book)]
    assert len(pairs) > 100
    for first, second in pairs:
        found = changes(first, second)
        both = {p.ingredient for p in first.pours} & {p.ingredient for p in second.pours}
        assert found.pours <= 2
        assert len(both) >= max(len(found.out), len(found.comes_in))
        assert found.pours or found.other_method
