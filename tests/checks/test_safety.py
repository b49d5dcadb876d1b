"""Allergens against the law's own lists, and against the hints a careful bar works by."""

from __future__ import annotations

import pytest

from recipes.loader import load_book
from recipes.model import Book
from recipes.safety import ASKED_FOR, EU_14, US_9, Finding, contains_allergen

EU_SOURCE = "Regulation (EU) No 1169/2011, Annex II"
US_SOURCE = "Food Allergen Labeling and Consumer Protection Act 2004, with the FASTER Act 2021"

# The law's wording, shortened to its head words, and the word this program keeps for it.
EU_LIST = (
    ("Cereals containing gluten", "gluten"),
    ("Crustaceans", "crustaceans"),
    ("Eggs", "egg"),
    ("Fish", "fish"),
    ("Peanuts", "peanuts"),
    ("Soybeans", "soya"),
    ("Milk", "milk"),
    ("Nuts", "nuts"),
    ("Celery", "celery"),
    ("Mustard", "mustard"),
    ("Sesame seeds", "sesame"),
    ("Sulphur dioxide and sulphites above 10 mg/kg or 10 mg/L", "sulphites"),
    ("Lupin", "lupin"),
    ("Molluscs", "molluscs"),
)
US_LIST = (
    ("milk", "milk"),
    ("eggs", "egg"),
    ("fish", "fish"),
    ("Crustacean shellfish", "crustaceans"),
    ("tree nuts", "nuts"),
    ("peanuts", "peanuts"),
    ("wheat", "wheat"),
    ("soybeans", "soya"),
    ("sesame", "sesame"),
)
HINTS = (  # common practice: what usually brings what; a hint that fails is a fault of the book
    ("orgeat", "nuts"),
    ("almond liqueur", "nuts"),
    ("heavy cream", "dairy"),
    ("whole milk", "dairy"),
    ("sweet vermouth", "sulphites"),
    ("dry vermouth", "sulphites"),
    ("fino sherry", "sulphites"),
    ("ruby port", "sulphites"),
    ("sparkling wine", "sulphites"),
    ("white wine", "sulphites"),
    ("egg white", "egg"),
    ("whole egg", "egg"),
    ("egg yolk", "egg"),
    ("worcestershire-style sauce", "fish"),
    ("celery salt", "celery"),
    ("celery stalk", "celery"),
)


@pytest.fixture(scope="module")
def book() -> Book:
    """The book that ships."""
    return load_book()


def test_the_fourteen_of_the_eu_are_all_there() -> None:
    """Every group of Annex II has its word, and no more."""
    assert {word for _, word in EU_LIST} == EU_14, EU_SOURCE


def test_the_nine_of_the_us_are_all_there() -> None:
    """Every major food allergen has its word, and no more."""
    assert {word for _, word in US_LIST} == US_9, US_SOURCE


@pytest.mark.parametrize(("ingredient", "asked"), HINTS)
def test_the_book_agrees_with_the_usual_hints(book: Book, ingredient: str, asked: str) -> None:
    """Common practice: an ingredient that usually brings an allergen says yes in our book."""
    assert contains_allergen([ingredient], asked, book).finding is Finding.YES


@pytest.mark.parametrize("asked", sorted(ASKED_FOR))
def test_what_the_book_does_not_say_is_unknown(book: Book, asked: str) -> None:
    """An ingredient without an allergen entry is never a no, whatever is asked."""
    silent = [i.name for i in book.ingredients.values() if i.allergens is None and i.made is None]
    assert silent, "the book holds at least one generic bottle whose allergens depend on its maker"
    assert {contains_allergen([name], asked, book).finding for name in silent} == {Finding.UNKNOWN}
