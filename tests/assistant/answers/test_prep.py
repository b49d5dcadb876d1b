"""What a manager hears about tonight's prep."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from assistant.answers.base import Counted, Scene
from assistant.answers.prep import tonight
from assistant.messages import Card, Figure, Focus, Row, Table
from grammar.command import Command, Intent
from recipes.model import Book
from recipes.stocktake import OnHand
from recipes.units import quantity
from tests.made_up import the_book

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """An afternoon before opening."""
    return Scene(tiny_book, frozenset(), Focus())


class TestPrep:
    """'Prep for eighty covers.'"""

    def test_covers_become_drinks_and_the_first_jobs_are_named(self, scene: Scene) -> None:
        """Eighty covers at one and a half drinks each; syrups are named first, then the fruit to press."""
        say = tonight(Command(Intent.PREP, {"count": 80}), scene).reply.say
        assert say.startswith("Prep for eighty covers, one hundred and twenty drinks shared equally. Start with")
        assert "fruit to press:" in say

    def test_the_biggest_job_is_named_first(self) -> None:
        """Nobody starts a shift with half a millilitre of saline."""
        say = tonight(Command(Intent.PREP), Scene(the_book(), frozenset(), Focus())).reply.say
        assert "Start with simple syrup, " in say

    def test_an_ordinary_night_is_meant_when_no_number_is_said(self, scene: Scene) -> None:
        """The house's usual covers: sixty."""
        assert tonight(Command(Intent.PREP), scene).reply.say.startswith(
            "Prep for sixty covers, ninety drinks shared equally."
        )

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
        """With plenty of everything there is nothing to make, and the sheet says of what there is enough."""
        hand = {
            n: quantity(10**6, str(i.pack.usable.value.units) if i.pack else "milliliter")
            for n, i in tiny_book.ingredients.items()
        }
        counts = {name: Counted(name, OnHand(ready=size), NOON) for name, size in hand.items()}
        reply = tonight(Command(Intent.PREP), Scene(tiny_book, frozenset(), Focus(), now=NOON, on_hand=counts)).reply
        assert reply.say.endswith("Nothing to make.")
        assert titles(reply.card) == ["Not to be made"]

    def test_the_sheet_has_need_and_on_hand_and_what_is_to_be_made(self, tiny_book: Book) -> None:
        """A litre of lime juice off the 1.2 that ninety drinks need, and the fruit that is in the house."""
        count = Counted("lime juice", OnHand(quantity(1000, "milliliter"), Decimal(3)), NOON)
        scene = Scene(tiny_book, frozenset(), Focus(), now=NOON, on_hand={"lime juice": count})
        card = tonight(Command(Intent.PREP, {"count": 80}), scene).reply.card
        row = next(row for row in rows(card) if row.label == "lime juice")
        need, hand, make, opened, _ = row.cells
        assert isinstance(need, Figure)
        assert isinstance(make, Figure)
        assert isinstance(opened, Figure)
        assert hand == Figure(Decimal("1.00"), "l", "1 l")
        assert opened.text.endswith(", 3 there")
        assert need.value is not None
        assert make.unit == "ml"
        assert need.value * 1000 - 1000 == pytest.approx(make.value, abs=5)

    def test_a_count_of_the_day_before_yesterday_is_not_taken_off(self, tiny_book: Book) -> None:
        """What was there then may be gone: the sheet names it."""
        old = Counted("lime juice", OnHand(quantity(1000, "milliliter")), NOON - timedelta(days=2))
        scene = Scene(tiny_book, frozenset(), Focus(), now=NOON, on_hand={"lime juice": old})
        card = tonight(Command(Intent.PREP), scene).reply.card
        assert next(row for row in rows(card) if row.label == "lime juice").cells[1] == "not counted"
        assert "Counted more than a day ago, so not taken off: lime juice." in str(card)

    def test_last_sales_are_the_mix_and_are_named(self, tiny_book: Book) -> None:
        """Where only Manhattans sold, there is no juice to press, whoever else is on the menu."""
        scene = Scene(tiny_book, frozenset(), Focus(), sold={"Manhattan": 40})
        reply = tonight(Command(Intent.PREP), scene).reply
        assert reply.say == "Prep for sixty covers, ninety drinks by last sales. Nothing to make."
        assert reply.card is not None
        assert reply.card.facts == ("1 of 6 drinks of the menu, as they last sold",)

    def test_what_is_out_is_to_be_got_first(self, tiny_book: Book) -> None:
        """Syrup cannot be made while the sugar is out."""
        card = tonight(Command(Intent.PREP), Scene(tiny_book, frozenset({"white sugar"}), Focus())).reply.card
        assert "Out, so get it first: white sugar." in str(card)


def titles(card: Card | None) -> list[str]:
    """The titles of a card's tables."""
    assert card is not None
    return [block.title for block in card.blocks if isinstance(block, Table)]


def rows(card: Card | None) -> list[Row]:
    """The rows of a card's tables that have all columns."""
    assert card is not None
    return [row for block in card.blocks if isinstance(block, Table) and len(block.heads) == 6 for row in block.rows]
