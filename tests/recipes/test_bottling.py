"""What a batch is kept in, and what its label says."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.bottling import containers, label
from recipes.model import Book
from recipes.units import quantity
from tests.known_book import make_known_book, with_ingredient


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


@pytest.mark.parametrize(
    ("litres", "expected"),
    [
        ("0.75", [("bottle", 1, "1")]),
        ("1.5", [("bottle", 2, "1")]),
        ("1.875", [("bottle", 3, "0.5")]),
        ("9.99", [("bottle", 14, "0.32")]),
        ("19", [("keg", 1, "1"), ("bottle", 26, "0.333")]),
        ("38", [("keg", 2, "1"), ("bottle", 51, "0.667")]),
    ],
)
def test_bottles_for_a_little_and_a_keg_for_a_lot(
    litres: str, expected: list[tuple[str, int, str]], book: Book
) -> None:
    """The last vessel may be part full; a drop over a full one opens no other."""
    found = [(c.kind, int(c.count), c.last) for c in containers(quantity(litres, "liter"), book)]
    assert found == [(kind, count, Decimal(last)) for kind, count, last in expected]


def test_a_drop_more_opens_no_other_bottle(book: Book) -> None:
    """Rounding in the last digit is not a bottle."""
    assert containers(quantity("750.0000001", "milliliter"), book)[0].count == 1


def test_a_mixture_keeps_as_long_as_what_spoils_first(book: Book) -> None:
    """Syrup keeps fourteen days, vermouth thirty: the batch keeps fourteen (Food Code 3-501.17)."""
    found = label(["rye whiskey", "sweet vermouth", "sugar syrup"], book)
    assert found.keeps == quantity(14, "day")
    assert found.first_to_go == ("sugar syrup",)
    assert found.undated == ()


def test_spirits_alone_have_no_date(book: Book) -> None:
    """Nothing in it spoils, by our data."""
    found = label(["gin", "aromatic bitters"], book)
    assert (found.keeps, found.undated) == (None, ())


@pytest.mark.parametrize(
    ("name", "undated"),
    [("sweet vermouth", True), ("violet liqueur", True), ("gin", False), ("white sugar", False)],
)
def test_something_weak_without_a_shelf_life_is_named(name: str, undated: bool, book: Book) -> None:
    """Wine of no date, or a bottle of unknown strength, may spoil; spirits and dry sugar do not."""
    ingredient = replace(book.ingredients[name], shelf_life=None)
    found = label([name], with_ingredient(book, ingredient))
    assert found.undated == ((name,) if undated else ())


def test_water_from_the_tap_sets_no_date(book: Book) -> None:
    """A jug's date is not the batch's."""
    water = replace(book.ingredients["water"], shelf_life=quantity(1, "day"))
    assert label(["water", "sugar syrup"], with_ingredient(book, water)).keeps == quantity(14, "day")


def test_the_label_lists_allergens_and_what_is_not_known(book: Book) -> None:
    """Sulphites from the vermouth; the violet liqueur must be asked about."""
    found = label(["gin", "sweet vermouth", "violet liqueur"], book)
    assert found.contents == ("gin", "sweet vermouth", "violet liqueur")
    assert found.allergens == ("sulphites",)
    assert found.allergens_unknown == ("violet liqueur",)
