"""What is said of how a drink should taste."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers.tastes import HANDLERS
from assistant.messages import Bars, Note
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.made_up import the_book

BOOK = the_book()


def test_balance_comes_first_and_the_base_underneath() -> None:
    """As one would tell a guest."""
    said = Talk(HANDLERS, BOOK).say("taste", drink="Negroni")
    assert said == "The Negroni: bitter and sweet, herbal and orange, juniper underneath."


def test_the_card_has_the_books_own_line_and_the_shares() -> None:
    """The writer's words, then the flavours by weight."""
    card = Talk(HANDLERS, BOOK).ask("taste", drink="Negroni").reply.card
    assert card is not None
    note, bars = card.blocks
    assert isinstance(note, Note)
    assert note.text == BOOK.drinks["Negroni"].taste
    assert isinstance(bars, Bars)
    values = [bar.figure.value for bar in bars.bars if bar.figure.value is not None]
    assert values == sorted(values, reverse=True)


def test_the_cautions_are_there() -> None:
    """Egg foam is told with its egg."""
    assert any("egg" in caution for caution in Talk(HANDLERS, BOOK).ask("taste", drink="Clover Club").reply.cautions)


@pytest.mark.parametrize("drink", BOOK.drinks)
def test_every_drink_can_be_told_in_words(drink: str) -> None:
    """One sentence with a stop."""
    assert faults_aloud(Talk(HANDLERS, BOOK).say("taste", drink=drink), drink) == ""


def test_a_drink_without_words_says_so() -> None:
    """No flavour is made up."""
    dumb = {name: replace(i, flavour=(), abv=None, sugar=None) for name, i in BOOK.ingredients.items()}
    talk = Talk(HANDLERS, replace(BOOK, ingredients=dumb))
    assert talk.say("taste", drink="Gimlet") == (
        "The book has no flavour words for the Gimlet. I do not know how gin and lime cordial tastes."
    )
