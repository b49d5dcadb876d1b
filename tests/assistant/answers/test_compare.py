"""What is said of two drinks side by side."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from assistant.answers.compare import HANDLERS
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.known_book import make_known_book
from tests.made_up import the_book

BOOK = the_book()


@pytest.fixture
def talk() -> Talk:
    """A conversation about two drinks."""
    return Talk(HANDLERS, BOOK)


def test_the_second_is_told_against_the_first(talk: Talk) -> None:
    """In a bartender's words, with what they share."""
    said = talk.say("compare", drink="Negroni", drink_2="Boulevardier")
    assert said.startswith("Against the Negroni, the Boulevardier is ")
    assert "stronger" in said
    assert said.endswith("dearer. It has bourbon where the Negroni has gin.")


def test_where_more_differs_what_they_share_is_told(talk: Talk) -> None:
    """Gin and lemon in both."""
    assert "Both pour gin and lemon juice." in talk.say("compare", drink="Clover Club", drink_2="Gin Fizz")


def test_one_pour_more_and_the_garnish_are_told() -> None:
    """Bitters and an onion are what a guest means by the difference between a martini and a gibson."""
    said = Talk(HANDLERS, BOOK).say("compare", drink="Martini", drink_2="Gibson")
    assert said.endswith(
        "Only the Martini has orange bitters. The Gibson wears a cocktail onion, the Martini a lemon twist."
    )


def test_allergens_are_said_before_anything_else(talk: Talk) -> None:
    """The clover club's egg comes first; what it does without comes last."""
    said = talk.say("compare", drink="Manhattan", drink_2="Clover Club")
    assert said.startswith("The Clover Club brings egg. Against the Manhattan")
    assert said.endswith("By our data the Clover Club does without sulphites.")


def test_the_standing_line_is_there_each_time(talk: Talk) -> None:
    """Labels, codes and licensed practice decide."""
    assert "Labels" in talk.ask("compare", drink="Manhattan", drink_2="Martini").reply.cautions[0]


@pytest.mark.parametrize(
    ("part", "said"),
    [
        ("strength", r"The Negroni is stronger than the Daiquiri: [\w-]+ against \w+ percent\."),
        ("sugar", r"The Negroni is a touch sweeter than the Daiquiri: .* against .* grams of sugar to the litre\."),
        ("acid", r"The Daiquiri is much sharper than the Negroni: point .* against point .* percent acid\."),
        ("bitterness", r"The Negroni is more bitter than the Daiquiri: .* against .* out of five\."),
        ("volume", r"The Daiquiri is longer than the Negroni: .* against .* mil\."),
        ("cost", r"The Negroni costs .* to pour and the Daiquiri .*, so the Negroni is dearer\."),
    ],
)
def test_a_narrow_question_gets_a_narrow_answer(talk: Talk, part: str, said: str) -> None:
    """'Which is stronger?' names the one that is, whichever was named first."""
    assert re.fullmatch(said, talk.say("compare", drink="Negroni", drink_2="Daiquiri", part=part))


def test_what_is_about_as_strong_is_said_to_be(talk: Talk) -> None:
    """No difference is made of nothing."""
    said = talk.say("compare", drink="Sidecar", drink_2="White Lady", part="acid")
    assert said == "The White Lady and the Sidecar are about as sharp as each other."


@pytest.mark.parametrize("part", ["strength", "cost"])
def test_what_cannot_be_told_is_said_to_be_unknown(part: str) -> None:
    """The violet liqueur has neither a strength nor a price."""
    said = Talk(HANDLERS, make_known_book()).say("compare", drink="Daiquiri", drink_2="Aviation", part=part)
    assert said.startswith(
        "The allergens of violet liqueur are unknown, so ask. That I cannot tell: The book does not know"
    )


def test_a_drink_beside_itself_asks_for_another(talk: Talk) -> None:
    """Nothing to compare."""
    assert talk.say("compare", drink="Negroni", drink_2="Negroni") == (
        "That is the Negroni twice. Which other drink should stand beside it?"
    )


def test_both_are_talked_of_afterwards(talk: Talk) -> None:
    """'And the other one?'"""
    talk.ask("compare", drink="Negroni", drink_2="Boulevardier")
    assert (talk.focus.drink, talk.focus.other) == ("Boulevardier", "Negroni")


def test_two_families_are_told_apart(talk: Talk) -> None:
    """What each is, and which grew from which."""
    assert talk.say("compare", family="daisy", family_2="sour") == (
        "A daisy is a base, a sweet liqueur and citrus. A sour is spirit, citrus and sugar. "
        "The daisy is a branch of the sour."
    )


def test_a_family_that_the_book_lacks_is_said_to_be_unknown(talk: Talk) -> None:
    """Nothing is guessed."""
    assert talk.say("compare", family="daisy", family_2="grog").startswith("I know only one of those families.")


def test_any_two_neighbours_of_the_book_can_be_told_in_words(talk: Talk) -> None:
    """Sentences with stops, and no digit or symbol in them."""
    for first, second in pairwise(BOOK.drinks):
        said = talk.say("compare", drink=first, drink_2=second)
        assert (faults_aloud(said, first, second), said) == ("", said)
