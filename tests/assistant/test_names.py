"""The book's names for the grammar: every one of them, with all the ways to say it."""

from __future__ import annotations

from dataclasses import replace

from assistant.names import names_of
from grammar.names import Name
from recipes.loader import load_book
from recipes.model import Book, FamilyRule, Structure


def test_every_name_of_the_book_can_be_said() -> None:
    """No drink, ingredient, family or shelf of the book is missing, and none is there twice."""
    book = load_book()
    names = names_of(book)
    assert [name.canonical for name in names.drink] == list(book.drinks)
    assert [name.canonical for name in names.ingredient] == list(book.ingredients)
    assert [name.canonical for name in names.family] == list(book.families)
    assert [name.canonical for name in names.shelf] == list(book.shelves)


def test_other_wordings_and_respellings_go_along(tiny_book: Book) -> None:
    """What people say instead, and how a recogniser hears it, are kept apart."""
    gimlet = replace(tiny_book.drinks["Gimlet"], spoken=("gin gimlet",), sounds_like=("gim let",))
    names = names_of(tiny_book.with_drinks([gimlet]))
    assert Name("Gimlet", ("gin gimlet",), ("gim let",)) in names.drink


def test_a_family_is_called_by_title_and_in_the_plural(tiny_book: Book) -> None:
    """'Quiz me on the daisies' and 'on highballs' name families by more than their ids."""
    daisy = FamilyRule("daisy", "Daisy", "", Structure(), ())
    high = FamilyRule("highball", "Long drink", "", Structure(), (), spoken=("mixed drink",))
    names = names_of(replace(tiny_book, families={"daisy": daisy, "highball": high}))
    assert names.family == (
        Name("daisy", ("daisies",)),
        Name("highball", ("Long drink", "mixed drink", "highballs", "Long drinks", "mixed drinks")),
    )


def test_a_shelf_is_called_by_title_and_other_names(tiny_book: Book) -> None:
    """The slot holds the shelf's id; people say its title, or what its file says they say."""
    book = replace(tiny_book, shelves={"fogbell": "The Fogbell"}, shelf_names={"fogbell": ("house drinks", "fogbell")})
    assert names_of(book).shelf == (Name("fogbell", ("The Fogbell", "house drinks")),)
