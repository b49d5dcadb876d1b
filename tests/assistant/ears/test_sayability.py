"""Whether each name of a book can be heard."""

from __future__ import annotations

import pytest

from assistant.ears.pronunciation import Pronouncer
from assistant.ears.sayability import said, too_alike, unsayable
from assistant.names import names_of
from grammar.names import Name, Names
from recipes.loader import load_book


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    """With the dictionary in the recogniser's wheel."""
    return Pronouncer()


def test_every_name_of_our_book_can_be_heard(pronouncer: Pronouncer) -> None:
    """No drink and no ingredient is beyond the recogniser."""
    assert unsayable(names_of(load_book()), pronouncer) == ()


def test_a_name_in_another_script_is_told(pronouncer: Pronouncer) -> None:
    """A drink that nobody could ask for aloud is found before the shift."""
    (mute,) = unsayable(Names(drink=(Name("водка"), Name("Gimlet"))), pronouncer)
    assert (mute.name, mute.kind, mute.mute) == ("водка", "drink", ("водка",))


def test_a_respelling_makes_it_sayable(pronouncer: Pronouncer) -> None:
    """The book's 'sounds like' is what the recogniser listens for first."""
    (name,) = said(Names(drink=(Name("водка", sounds_like=("mek chew",)),)), pronouncer)
    assert name.is_sayable
    assert name.phones[0].endswith("CH UW")


def test_a_guess_is_told_as_such(pronouncer: Pronouncer) -> None:
    """A manager can see which words were said by their letters, and respell them."""
    falernum, gin = said(Names(ingredient=(Name("falernum"), Name("gin"))), pronouncer)
    assert (falernum.guessed, gin.guessed) == (("falernum",), ())


def test_names_that_sound_alike_are_found(pronouncer: Pronouncer) -> None:
    """Two drinks a phone apart would be taken for each other."""
    names = said(Names(drink=(Name("Gin Sling"), Name("Gin Slang"), Name("Daiquiri"))), pronouncer)
    assert [(one.name, other.name) for one, other in too_alike(names)] == [("Gin Sling", "Gin Slang")]
