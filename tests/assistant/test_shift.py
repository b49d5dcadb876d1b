"""Three talks of one evening through the real grammar and the real book: what is said, and what comes back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.services import Services

BARTENDER = [
    ("spec for a gimlet", "Gimlet: two ounces gin, three quarters of an ounce lime cordial."),
    ("and the garnish", "Lime wheel on the Gimlet."),
    ("make it three", "Three Gimlets: six ounces gin,"),
    ("in mil", "Three Gimlets: one hundred and seventy-five mil gin,"),
    ("what about a clover club", "Clover Club: "),
    ("in ounces", "Clover Club: one and a half ounces gin,"),
    ("without the egg", "Clover Club without egg white: "),
    ("any allergens in the orgeat", "The orgeat holds nuts"),
    ("are there nuts in it", "No nuts in the Clover Club by our data."),
    ("what about the other one", "Gimlet: two ounces gin,"),
    ("how do I make it", "Gimlet, four steps. Step one: Chill a coupe."),
    ("next", "Step two of four: "),
    ("say that again", "Step two of four: "),
    ("go back", "Step one of four: "),
    ("how much lemon in a cosmopolitan", "I have no cosmopolitan in the book. The nearest I have is "),
    ("no", "All right, not that."),
    ("we're out of orgeat", "Noted: orgeat is out."),
    ("undo", "Undone. Orgeat is in again."),
    ("riff on the gimlet", "For a riff on the Gimlet from what we have: "),
    ("the first one", ""),
    ("call it harbour storm", "Kept as Harbour Storm: "),
    ("spec for a harbour storm", "Harbour Storm: two ounces"),
    ("undo", "Undone. The Harbour Storm is out of the book."),
    ("spec for a harbour storm", "I "),
    ("what's the weather like", "I "),
]
MANAGER = [
    ("what does it cost", "Which drink? Name it, and I will tell you what it costs."),
    ("the gimlet", "The Gimlet costs "),
    ("what should I charge for it at twenty percent", "At twenty percent the Gimlet should be "),
    ("gin is forty dollars now", "Gin is now forty dollars"),
    ("undo that", "Undone. Gin is back at the price in the book."),
    ("batch a manhattan", "How many serves of the Manhattan"),
    ("thirty", "Thirty Manhattans, batched"),
    ("compare it with a negroni", ""),
    ("and the other one", "Manhattan: "),
    ("prep for eighty covers", "Prep for eighty covers"),
]
TRAINEE = [
    ("how am I doing", "You have no marks yet."),
    ("quiz me on the daiquiri", "Ten questions on the Daiquiri. How is the Daiquiri built?"),
    (
        "two ounces white rum, an ounce of lime and three quarters simple syrup",
        "Eight of nine points. Lime juice is close:",
    ),
    ("I don't know", "The Daiquiri has "),
    ("say that again", "The Daiquiri has "),
    ("what do I still miss", "Two questions, eight of twelve points. You still miss most in the Daiquiri."),
    ("undo", "Undone. That mark does not count."),
    ("stop", "All right. The quiz is over."),
    ("stirred", "There is no quiz question open."),
]


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """The assistant on the book that ships."""
    services = Services(None, f"sqlite:///{tmp_path / 'shift.db'}")
    yield services
    services.close()


@pytest.mark.parametrize("talk", [BARTENDER, MANAGER, TRAINEE], ids=["bartender", "manager", "trainee"])
def test_a_talk_goes_as_it_should(services: Services, talk: list[tuple[str, str]]) -> None:
    """Line by line, each follow-up is taken for what a person would mean by it."""
    came = [(said, services.ask(said, "bar").say, expected) for said, expected in talk]
    assert [(said, say) for said, say, expected in came if not say.startswith(expected)] == []


def test_the_three_do_not_get_in_each_others_way(services: Services) -> None:
    """The same talks, a line of each in turn, go just the same, but for what was changed in the memory."""
    turns = [
        (conversation, *talk[place])
        for place in range(10)
        for conversation, talk in (("bar", BARTENDER), ("office", MANAGER), ("tablet", TRAINEE))
        if place < len(talk)
    ]
    came = [(said, services.ask(said, name).say, expected) for name, said, expected in turns]
    assert [(said, say) for said, say, expected in came if not say.startswith(expected)] == []


@pytest.mark.parametrize("said", ["mute", "be quiet", "stop talking", "voice off", "turn off the sound", "Hush!"])
def test_told_to_be_quiet_it_is(services: Services, said: str) -> None:
    """Whatever else is going on goes on: the drink, the question of a quiz, and what 'say that again' is about."""
    services.ask("spec for a gimlet", "bar")
    quiet = services.ask(said, "bar")
    assert (quiet.voice, quiet.say) == ("off", "Voice off. Say voice on to hear me again.")
    assert services.ask("voice on", "bar").voice == "on"
    again = services.ask("say that again", "bar")
    assert again.say.startswith("Gimlet: two ounces gin")
    assert again.voice == ""
    question = services.ask("quiz me on the daiquiri", "bar").say
    assert services.ask(said, "bar").voice == "off"
    assert services.ask("say that again", "bar").say == question


def test_stop_drops_what_goes_on_and_leaves_the_voice(services: Services) -> None:
    """'Stop' is no 'stop talking'."""
    assert services.ask("stop", "bar").voice == ""
