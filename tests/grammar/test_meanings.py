"""Sentences that ask for the same are told from those that do not, by what they ask for."""

from __future__ import annotations

import pytest

from assistant.names import names_of
from grammar.meanings import Meanings
from grammar.names import Name, Names
from recipes.loader import load_book


@pytest.fixture(scope="module")
def meanings() -> Meanings:
    """Those of the house's book."""
    return Meanings(names_of(load_book()))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("batch the slack water for twenty", "batch this slack water for twenty"),
        ("old fashion with mezcal instead of bourbon", "old fashioned with mezcal instead of bourbon"),
        ("what if limes rose to a dollar each", "what if limes go to a dollar each"),
        ("what's in a die curry", "what's in the daiquiri"),
        ("without the egg", "leave out the egg"),
    ],
)
def test_the_same_is_asked(meanings: Meanings, one: str, other: str) -> None:
    """Another name of a drink, another word for the same, a name as it is listened for."""
    assert meanings.meaning(one) == meanings.meaning(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("prep for eighty covers", "prep for eighteen covers"),
        ("we're out of orgeat", "orgeat is back"),
        ("what's in a gimlet", "what does a gimlet cost"),
        ("call it harbour star", "call it harbour storm"),
        ("how balanced is a daiquiri", "how balanced is a bloody mary"),
        ("nothing of the kind", "something of the kind"),
    ],
)
def test_something_else_is_asked(meanings: Meanings, one: str, other: str) -> None:
    """Another number, name or question, and what is no command at all."""
    assert meanings.meaning(one) != meanings.meaning(other)


def test_a_respelled_name_is_the_name() -> None:
    """However falernum is listened for."""
    gist = Meanings(Names(ingredient=(Name("falernum", sounds_like=("full earn um",)),))).gist
    assert gist("we're out of the full earn um") == gist("we're out of falernum")
