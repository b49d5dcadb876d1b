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


@pytest.mark.parametrize(
    ("slots", "said"),
    [
        ({"ingredient": "falernum"}, "Falernum: clove, lime, almond and ginger."),
        ({"ingredient": "lime juice", "text": "keeps"}, "Lime juice keeps one day once it is open or made."),
        ({"ingredient": "gin", "text": "keeps"}, "Gin keeps three years once it is open or made."),
        ({"ingredient": "orgeat", "text": "keeps"}, "Orgeat keeps seven days once it is open or made."),
    ],
)
def test_a_thing_on_the_shelf_is_told_of_too(slots: dict[str, str], said: str) -> None:
    """What a trainee asks of a bottle that no guest orders by itself."""
    assert Talk(HANDLERS, BOOK).say("taste", **slots) == said


def test_how_long_things_keep_defers_to_the_local_code() -> None:
    """It is the usual caution, and an allergen of the thing is told beside it."""
    cautions = Talk(HANDLERS, BOOK).ask("taste", ingredient="orgeat", text="keeps").reply.cautions
    assert any("local food code" in caution for caution in cautions)
    assert any("Allergens by our data: nuts" in caution for caution in cautions)


def test_what_is_not_known_of_a_thing_is_said_to_be_unknown() -> None:
    """No flavour and no shelf life is made up."""
    dumb = {name: replace(i, flavour=(), shelf_life=None) for name, i in BOOK.ingredients.items()}
    talk = Talk(HANDLERS, replace(BOOK, ingredients=dumb))
    assert talk.say("taste", ingredient="gin") == "The book has no flavour words for gin."
    assert talk.say("taste", ingredient="gin", text="keeps") == "How long gin keeps is unknown, so read its label."


@pytest.mark.parametrize("name", BOOK.ingredients)
def test_every_thing_can_be_told_in_words(name: str) -> None:
    """One sentence with a stop, whatever is asked."""
    for slots in ({"ingredient": name}, {"ingredient": name, "text": "keeps"}):
        assert faults_aloud(Talk(HANDLERS, BOOK).say("taste", **slots), name) == ""


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        (
            "falernum",
            "Falernum is a liqueur made in the house that tastes of clove, lime, almond and ginger. "
            "It goes in Rum Swizzle and Bellrope Swizzle.",
        ),
        (
            "gentian liqueur",
            "Gentian liqueur is a bitter liqueur that tastes of bitter, earthy, citrus and floral. "
            "It goes in Tidewrack.",
        ),
    ],
)
def test_what_a_thing_is(name: str, expected: str) -> None:
    """'What is falernum?': what it does in a drink, what it tastes of, and where it goes."""
    assert Talk(HANDLERS, BOOK).say("taste", ingredient=name, text="what") == expected


def test_of_every_thing_it_can_be_said_what_it_is() -> None:
    """In one sentence that can be read aloud."""
    talk = Talk(HANDLERS, BOOK)
    said = {name: talk.say("taste", ingredient=name, text="what") for name in BOOK.ingredients}
    assert {name: say for name, say in said.items() if faults_aloud(say, *BOOK.drinks)} == {}
