"""What a manager hears about tonight's prep."""

from __future__ import annotations

import pytest

from assistant.answers.base import Scene
from assistant.answers.prep import tonight
from assistant.messages import Focus, Table
from grammar.command import Command, Intent
from recipes.model import Book
from recipes.units import quantity
from tests.made_up import the_book


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """An afternoon before opening."""
    return Scene(tiny_book, frozenset(), Focus())


class TestPrep:
    """'Prep for eighty covers.'"""

    def test_covers_become_drinks_and_the_first_jobs_are_named(self, scene: Scene) -> None:
        """Eighty covers at one and a half drinks each; syrups are named first, then the fruit to press."""
        say = tonight(Command(Intent.PREP, {"count": 80}), scene).reply.say
        assert say.startswith("Prep for eighty covers, one hundred and twenty drinks. Start with")
        assert "fruit to press:" in say

    def test_the_biggest_job_is_named_first(self) -> None:
        """Nobody starts a shift with half a millilitre of saline."""
        say = tonight(Command(Intent.PREP), Scene(the_book(), frozenset(), Focus())).reply.say
        assert "Start with simple syrup, " in say

    def test_an_ordinary_night_is_meant_when_no_number_is_said(self, scene: Scene) -> None:
        """The house's usual covers: sixty."""
        assert tonight(Command(Intent.PREP), scene).reply.say.startswith("Prep for sixty covers, ninety drinks.")

    def test_the_sheet_goes_from_syrups_to_juices(self, scene: Scene) -> None:
        """The card's tables stand in the order of work."""
        card = tonight(Command(Intent.PREP), scene).reply.card
        assert card is not None
        titles = [block.title for block in card.blocks if isinstance(block, Table)]
        assert [title.split(":")[0] for title in titles[:3]] == ["Make first", "Then cut", "Last"]

    def test_it_says_when_nothing_was_counted(self, scene: Scene) -> None:
        """Whole amounts are shown as whole amounts."""
        card = tonight(Command(Intent.PREP), scene).reply.card
        assert "Nothing on hand was counted" in str(card)

    def test_no_covers_is_a_question(self, scene: Scene) -> None:
        """Prep for nobody is asked about, not worked out."""
        assert tonight(Command(Intent.PREP, {"count": 0}), scene).reply.say.startswith("For how many covers?")

    def test_what_is_on_hand_comes_off(self, tiny_book: Book) -> None:
        """With plenty of everything there is nothing to make."""
        hand = {
            n: quantity(10**6, str(i.pack.usable.value.units) if i.pack else "milliliter")
            for n, i in tiny_book.ingredients.items()
        }
        scene = Scene(tiny_book, frozenset(), Focus(), on_hand=hand)
        assert tonight(Command(Intent.PREP), scene).reply.say.endswith("Nothing to make.")
