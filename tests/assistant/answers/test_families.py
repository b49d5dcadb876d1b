"""What is said of families: which one, why, and what its formula is."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from assistant.answers.families import HANDLERS
from assistant.messages import Bars, Note, Table
from recipes.model import Book
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.made_up import made_up, the_book

BOOK = the_book()


@pytest.fixture
def talk() -> Talk:
    """A conversation about families."""
    return Talk(HANDLERS, BOOK)


class TestOfADrink:
    """'What family is the Sidecar?'"""

    def test_the_reason_is_given_and_the_branch(self, talk: Talk) -> None:
        """In words, with what fills the slots."""
        assert talk.say("family", drink="Margarita") == (
            "The Margarita is a daisy, a branch of the sour: a base, a sweet liqueur and citrus. "
            "Here that is tequila, orange liqueur and lime juice."
        )

    @pytest.mark.parametrize(
        ("family", "begins"),
        [
            ("daisy", "Yes: the Margarita is a daisy because it is a base, a sweet liqueur and citrus."),
            ("sour", "Of a kind: the Margarita is a daisy, a branch of the sour."),
            ("flip", "No: a flip is spirit or fortified wine with sugar and a whole egg, and no milk."),
        ],
    )
    def test_is_it_one_and_why(self, talk: Talk, family: str, begins: str) -> None:
        """Yes, of a kind, or no; and the reason each time."""
        assert talk.say("family", drink="Margarita", family=family, text="why").startswith(begins)

    def test_the_drink_talked_of_can_be_asked_about(self, talk: Talk) -> None:
        """'And why is it a daisy?'"""
        talk.say("family", drink="Margarita")
        assert talk.say("family", family="daisy", text="why").startswith("Yes: the Margarita")
        assert talk.focus.drink == "Margarita"

    def test_the_card_shows_the_slots_and_the_formula(self, talk: Talk) -> None:
        """How this drink fills it, and how others do."""
        card = talk.ask("family", drink="Margarita").reply.card
        assert card is not None
        assert (card.kind, card.title) == ("family", "Margarita: daisy")
        assert isinstance(card.blocks[0], Table)
        assert [row.label for row in card.blocks[0].rows] == ["Base", "Liqueur", "Acid"]

    @pytest.mark.parametrize("drink", BOOK.drinks)
    def test_every_drink_of_the_book_has_an_answer_in_words(self, talk: Talk, drink: str) -> None:
        """A sentence with a stop, and no digit or symbol in it."""
        assert faults_aloud(talk.say("family", drink=drink), drink) == ""


class TestOfNone:
    """A drink that no rule fits."""

    BOOK = replace(
        BOOK.with_drinks([made_up("2 oz white wine", "2 oz whole milk", name="Fog Bank")]),
        families=MappingProxyType({name: BOOK.families[name] for name in ("flip", "eggnog")}),
    )

    def test_it_says_what_it_comes_nearest_to(self) -> None:
        """And what it lacks for that."""
        assert Talk(HANDLERS, self.BOOK).say("family", drink="Fog Bank") == (
            "The Fog Bank fits no family that this book knows. It comes nearest to the eggnog, "
            "but it has no base or fortified and no whole egg or egg yolk."
        )

    def test_asked_whether_it_is_one_it_says_no(self) -> None:
        """Not even of a kind."""
        said = Talk(HANDLERS, self.BOOK).say("family", drink="Fog Bank", family="flip", text="why")
        assert said.startswith("No. The Fog Bank fits no family")

    def test_in_a_book_without_families_it_says_only_that(self) -> None:
        """There is no nearest either."""
        book: Book = replace(self.BOOK, families=MappingProxyType({}))
        assert (
            Talk(HANDLERS, book).say("family", drink="Fog Bank") == "The Fog Bank fits no family that this book knows."
        )


class TestOfAFamily:
    """'What's a daisy?'"""

    def test_its_formula_and_its_drinks_are_told(self, talk: Talk) -> None:
        """What it is, what it usually pours, who is in it."""
        said = talk.say("family", family="daisy")
        assert said.startswith(
            "A daisy, a branch of the sour, is a base, a sweet liqueur and citrus. Usually two ounces"
        )
        assert "In the book: Margarita, Sidecar, White Lady" in said

    def test_a_family_that_grew_from_none_is_told_plainly(self, talk: Talk) -> None:
        """No branch is made up."""
        assert talk.say("family", family="sour").startswith("A sour is spirit, citrus and sugar.")

    def test_the_card_pictures_the_bands(self, talk: Talk) -> None:
        """Each slot between its least and its most, on one scale."""
        card = talk.ask("family", family="sour").reply.card
        assert card is not None
        picture = card.blocks[0]
        assert isinstance(picture, Bars)
        assert len(set(picture.tops)) == 1
        for bar in picture.bars:
            assert bar.low is not None
            assert bar.high is not None
            assert bar.figure.value is not None
            assert bar.low <= bar.figure.value <= bar.high <= picture.tops[0]

    def test_the_card_names_the_branches(self, talk: Talk) -> None:
        """What grew from the sour."""
        card = talk.ask("family", family="sour").reply.card
        assert card is not None
        assert any(isinstance(block, Note) and "daisy" in block.text for block in card.blocks)

    @pytest.mark.parametrize("family", BOOK.families)
    def test_every_family_has_an_answer_in_words(self, talk: Talk, family: str) -> None:
        """A sentence with a stop, and no digit or symbol in it."""
        assert faults_aloud(talk.say("family", family=family), *BOOK.drinks) == ""

    def test_one_drink_alone_is_what_is_talked_of_next(self, talk: Talk) -> None:
        """'What's a julep?' 'How do I make it?'"""
        talk.say("family", family="julep")
        assert talk.focus.drink == "Mint Julep"
