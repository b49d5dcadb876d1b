"""What a trainee hears, a step at a time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers import builds
from assistant.messages import Steps
from recipes.model import Book
from tests.assistant.answers.talking import Talk


@pytest.fixture
def talk(tiny_book: Book) -> Talk:
    """A fresh conversation."""
    return Talk(builds.HANDLERS, tiny_book)


def test_building_reads_on_step_by_step(talk: Talk) -> None:
    """First, next, last, and then no more."""
    assert [talk.say("build", drink="Gimlet"), *(talk.say("next_step") for _ in range(3))] == [
        "Gimlet, three steps. Step one: Measure into the tin. Say next for the next one.",
        "Step two of three: Shake hard with ice.",
        "Last step: Fine strain into the glass.",
        "That was the last step of the Gimlet.",
    ]


def test_back_a_step(talk: Talk) -> None:
    """From the second to the first, and no further."""
    talk.ask("build", drink="Gimlet")
    talk.ask("next_step")
    assert talk.say("previous_step") == "Step one of three: Measure into the tin."
    assert talk.say("previous_step") == "That is the first step: Measure into the tin."


def test_next_without_a_beginning_begins(talk: Talk) -> None:
    """'Next' for a drink of which nothing was read is its first step."""
    assert talk.say("next_step", drink="Gimlet") == "Step one of three: Measure into the tin."


def test_another_drink_starts_at_its_first_step(talk: Talk) -> None:
    """The steps of one drink are not counted on into another."""
    talk.ask("build", drink="Gimlet")
    talk.ask("next_step")
    assert talk.say("next_step", drink="Daiquiri") == "Step one of three: Measure into the tin."


def test_the_card_marks_the_step(talk: Talk) -> None:
    """All steps are there to see, the one being read is marked."""
    talk.ask("build", drink="Gimlet")
    card = talk.ask("next_step").reply.card
    assert card is not None
    assert isinstance(card.blocks[0], Steps)
    assert (len(card.blocks[0].items), card.blocks[0].current) == (3, 1)


@pytest.mark.parametrize("intent", ["build", "next_step", "previous_step"])
def test_a_drink_without_steps_says_how_it_is_mixed(intent: str, talk: Talk) -> None:
    """A riff that was kept has no steps of its own."""
    bare = replace(talk.book.drinks["Gimlet"], steps=())
    talk.book = talk.book.with_drinks([bare])
    assert talk.say(intent, drink="Gimlet") == "The book has no steps for the Gimlet: it is shaken, in the coupe."


def test_a_syrup_is_read_in_one_go(talk: Talk) -> None:
    """Nobody stands over a pot saying 'next'."""
    assert talk.say("build", ingredient="lime cordial") == "Lime cordial, two steps. Step one: Stir. Step two: Chill."
    assert talk.say("build", ingredient="gin") == "Gin is not made in the house, so there is no recipe for it."


def test_a_syrup_without_steps_is_told_by_its_parts(talk: Talk) -> None:
    """What the book has is told."""
    syrup = talk.book.ingredients["sugar syrup"]
    assert syrup.made is not None
    bare = replace(syrup, made=replace(syrup.made, steps=()))
    talk.book = replace(talk.book, ingredients={**talk.book.ingredients, "sugar syrup": bare})
    assert talk.say("build", ingredient="sugar syrup").startswith("Sugar syrup: five hundred grams white sugar")
