"""What is worked out of a book stays with it, goes on where that is honest, and nowhere else."""

from __future__ import annotations

from dataclasses import replace

from recipes.balance import balance
from recipes.costing import cost
from recipes.families import formula
from recipes.model import Book, Drink
from recipes.units import quantity
from recipes.vectors import VOLUME, Vectors
from tests.known_book import make_known_book, sourced, with_ingredient
from tests.made_up import the_book


def stronger(book: Book) -> Book:
    """The book with a rum of 57 % in place of its own."""
    return with_ingredient(book, replace(book.ingredients["white rum"], abv=sourced("57", "percent")))


def daiquiri(book: Book) -> Drink:
    """Its Daiquiri."""
    return book.drinks["Daiquiri"]


def test_work_is_done_once() -> None:
    """The same book asked twice gives the very same thing."""
    book, books = make_known_book(), list[Book]()
    book.once(books.append)
    book.once(books.append)
    assert books == [book]


def test_another_strength_is_measured_anew() -> None:
    """A shelf that holds another rum shares nothing with the old one, whatever was asked of that."""
    book = make_known_book()
    before = balance(daiquiri(book), book).abv
    Vectors(book).drink(daiquiri(book))
    other = stronger(book)
    assert balance(daiquiri(other), other).abv != before
    assert (Vectors(other).drink(daiquiri(other)) != Vectors(book).drink(daiquiri(book))).any()


def test_a_price_is_no_other_shelf() -> None:
    """What was measured of the ingredients goes on when only a price has changed; what things cost does not."""
    book = make_known_book()
    costs = cost(daiquiri(book), book).known
    dearer = book.with_prices({"white rum": quantity(60, "money")})
    assert dearer.measured is book.measured
    assert cost(daiquiri(dearer), dearer).known > costs
    assert balance(daiquiri(dearer), dearer) == balance(daiquiri(book), book)


def test_a_drink_more_is_in_the_family_at_once() -> None:
    """A formula that was asked for before does not hide a drink that was kept since."""
    before = formula("sour", the_book()).drinks
    more = the_book().with_drinks([replace(daiquiri(the_book()), name="Harbour Daiquiri")])
    assert formula("sour", more).drinks == (*before, "Harbour Daiquiri")


def test_rows_grow_with_the_pour() -> None:
    """Two ounces are twice one, though only one was ever reckoned."""
    book = make_known_book()
    pour = daiquiri(book).pours[0]
    twice = replace(pour, amount=pour.amount.times(2))
    vectors = Vectors(book)
    assert (vectors.of(twice) == 2 * vectors.of(pour)).all()
    assert vectors.drink(daiquiri(book))[VOLUME] > 0
