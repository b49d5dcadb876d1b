"""What is heard of the drinks of a shelf, a method or a glass."""

from __future__ import annotations

import pytest

from assistant.answers import lists
from assistant.answers.base import Scene
from assistant.answers.lists import listed
from assistant.messages import Focus, Table
from grammar.command import Command, Intent, SlotValue
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.made_up import the_book

BOOK = the_book()


@pytest.fixture
def talk() -> Talk:
    """A fresh conversation on the book that ships."""
    return Talk(lists.HANDLERS, BOOK)


@pytest.mark.parametrize(
    ("slots", "expected"),
    [
        ({"shelf": "fogbell"}, "The Fogbell, seventeen drinks: Tidewrack, Fogbell Sour, Lantern Room, Slack Water, "),
        ({"part": "method", "text": "swizzled"}, "Swizzled, two drinks: Rum Swizzle and Bellrope Swizzle."),
        ({"part": "method", "text": "thrown"}, "Thrown: the book has no such drink."),
        ({"part": "glass", "text": "flute"}, "In a flute, three drinks: Champagne Cocktail, French 75 and Air Mail."),
        ({"part": "glass", "text": "copper mug"}, "In a mule mug, one drink: Moscow Mule."),
        ({"part": "glass", "text": "bucket"}, "The book has no bucket. Ask what glass a drink goes in."),
        ({}, "On the menu: Classics with seventy-six drinks and The Fogbell with seventeen drinks. Among them "),
    ],
    ids=["a shelf", "a method", "a method nobody uses", "a glass", "a glass by its other name", "no glass", "all"],
)
def test_how_many_and_the_first_of_them(slots: dict[str, SlotValue], expected: str, talk: Talk) -> None:
    """The voice reads a few; the card has the rest."""
    say = talk.say("list", **slots)
    assert say.startswith(expected)
    assert not faults_aloud(say, *BOOK.drinks)


def test_the_card_has_all_with_what_they_are_made_of(talk: Talk) -> None:
    """The whole menu fits, each drink once."""
    card = talk.ask("list").reply.card
    assert card is not None
    table = card.blocks[0]
    assert isinstance(table, Table)
    assert [row.label for row in table.rows] == list(BOOK.drinks)
    assert "gin" in str(table.rows[1].cells[0])


def test_what_is_off_tonight_is_told() -> None:
    """Without sparkling wine nothing goes in a flute."""
    scene = Scene(BOOK, frozenset({"sparkling wine"}), Focus())
    reply = listed(Command(Intent.LIST, {"part": "glass", "text": "flute"}), scene).reply
    assert reply.say.endswith(" Off tonight: Champagne Cocktail, French 75 and Air Mail.")
    assert reply.card is not None
    table = reply.card.blocks[0]
    assert isinstance(table, Table)
    assert {row.note for row in table.rows} == {"off tonight: no sparkling wine"}


def test_one_alone_is_what_the_talk_goes_on_with(talk: Talk) -> None:
    """'What goes in a mule mug?', 'what's in it?'"""
    assert talk.ask("list", part="glass", text="mule mug").focus.drink == "Moscow Mule"


@pytest.mark.parametrize(
    ("drink", "expected"),
    [
        ("Negroni", "Like the Negroni, of the equal-part aperitif family, five drinks: Boulevardier, Old Pal, "),
        ("Moscow Mule", "Like the Moscow Mule, of the buck family, one drink: Gin Buck."),
        ("Copper Daisy", "Like the Copper Daisy, of the daisy family, "),
    ],
)
def test_what_is_like_a_drink_is_its_family(drink: str, expected: str, talk: Talk) -> None:
    """'What else is like a Negroni?', never the drink itself."""
    say = talk.say("list", drink=drink)
    assert say.startswith(expected)
    assert say.count(drink) == 1
