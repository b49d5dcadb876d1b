"""Every way to say a name, and what it stands for."""

from __future__ import annotations

import pytest

from grammar.names import Name, Names
from grammar.wordings import Wordings, plural

BOOK = Wordings(
    Names(
        drink=(Name("Bee's Knees", ("honey sour",), ("bee sneeze",)), Name("French 75"), Name("The Hawser")),
        ingredient=(Name("sweet vermouth"), Name("dry vermouth")),
        family=(Name("daisy"),),
        shelf=(Name("classics"),),
    )
)


def meant(text: str) -> set[str]:
    """What the names that begin a text stand for."""
    return {wording.canonical for wording in BOOK.at(text.split(), 0)}


@pytest.mark.parametrize(
    ("said", "canonical"),
    [
        ("bees knees", "Bee's Knees"),
        ("honey sour", "Bee's Knees"),
        ("bee sneeze", "Bee's Knees"),
        ("honey sours", "Bee's Knees"),
        ("french seventy five", "French 75"),
        ("hawser", "The Hawser"),
        ("daisies", "daisy"),
        ("dry vermouths", "dry vermouth"),
    ],
)
def test_a_name_can_be_said_in_several_ways(said: str, canonical: str) -> None:
    """As written, as people say it, as it sounds, and more than one of it; an article is left to the phrases."""
    assert canonical in meant(f"{said} and more")


def test_a_name_is_all_of_its_words() -> None:
    """Half a name is found as a beginning or an end, not as the name."""
    assert not meant("french seventy")
    assert {w.canonical for w in BOOK.beginning(("french",))} == {"French 75"}
    assert {w.canonical for w in BOOK.ending(("vermouth",))} == {"sweet vermouth", "dry vermouth"}
    assert not BOOK.beginning(("vermouth",))


def test_the_network_takes_one_or_several() -> None:
    """Several drinks have a rule of their own; of the rest, more than one is said as one is."""
    rules = BOOK.by_rule()
    assert ("honey", "sour") in rules["names.drink"]
    assert ("honey", "sours") in rules["names.drinks"]
    assert ("honey", "sours") not in rules["names.drink"]
    assert set(rules["names.ingredient"]) == {("sweet", "vermouth"), ("dry", "vermouth")}


def test_a_book_may_be_empty() -> None:
    """Without names there are no wordings, and nothing breaks."""
    nothing = Wordings(Names())
    assert nothing.all == ()
    assert not list(nothing.at(["gin"], 0))


@pytest.mark.parametrize(
    ("one", "several"),
    [
        ("gimlet", "gimlets"),
        ("daisy", "daisies"),
        ("toddy", "toddies"),
        ("dash", "dashes"),
        ("fizz", "fizzes"),
        ("knees", "knees"),
        ("day", "days"),
        ("box", "boxes"),
        ("punch", "punches"),
    ],
)
def test_more_than_one(one: str, several: str) -> None:
    """As English has it."""
    assert plural(one) == several
