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


@pytest.mark.parametrize(
    ("one", "other", "sounds"),
    [
        (Name("Gin Sling"), Name("Gin Slang"), ("JH IH N S L IH NG", "JH IH N S L AE NG")),
        (Name("Bee's Knees"), Name("Bees Nees"), ("B IY Z N IY Z", "B IY Z N IY Z")),
        (
            Name("Pilot Boat Punch", spoken=("pilot boat",)),
            Name("Pilot's Bowl", sounds_like=("pie lot bode",)),
            ("P AY L AH T B OW T", "P AY L AA T B OW D"),
        ),
    ],
    ids=["a vowel apart", "the same", "by another of its names"],
)
def test_names_that_sound_alike_are_found(
    pronouncer: Pronouncer, one: Name, other: Name, sounds: tuple[str, str]
) -> None:
    """Two drinks that would be taken for each other, and by which of their sounds."""
    (alike,) = too_alike(said(Names(drink=(one, other, Name("Daiquiri"))), pronouncer))
    assert (alike.one.name, alike.other.name) == (one.canonical, other.canonical)
    assert alike.sounds == sounds


@pytest.mark.parametrize(("one", "other"), [("lime peel", "lime wheel"), ("raspberry syrup", "raspberry shrub")])
def test_names_that_are_told_apart_are_left_alone(pronouncer: Pronouncer, one: str, other: str) -> None:
    """A recogniser did not take one for the other; nor does it matter that a drink sounds like an ingredient."""
    assert not list(too_alike(said(Names(ingredient=(Name(one), Name(other))), pronouncer)))
    assert not list(too_alike(said(Names(drink=(Name(one),), ingredient=(Name(one),)), pronouncer)))


def test_each_wording_stands_beside_its_sound(pronouncer: Pronouncer) -> None:
    """Wordings that sound the same are told once."""
    name = Name("Bee's Knees", spoken=("bees knees", "honey gin sour"), sounds_like=("be's knees",))
    (only,) = said(Names(drink=(name,)), pronouncer)
    assert len(only.wordings) == len(only.phones) == 2
    assert only.wordings[1] == "honey gin sour"
