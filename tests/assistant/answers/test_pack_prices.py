"""What is heard when a pack costs more, or might."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.answers import pack_prices, specs
from assistant.answers.base import SetPrice
from assistant.messages import Table
from grammar.command import SlotValue
from recipes.model import Book
from recipes.units import quantity
from tests.assistant.answers.talking import Talk


@pytest.fixture
def talk(tiny_book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**pack_prices.HANDLERS, **specs.HANDLERS}, tiny_book)


class TestSetPrice:
    """'Gin is now thirty dollars.'"""

    def test_it_is_read_back_with_what_it_was(self, talk: Talk) -> None:
        """The change is handed on, not made here."""
        answer = talk.ask("set_price", ingredient="gin", money=Decimal(30))
        assert answer.reply.say == "Gin is now thirty dollars a bottle. It was twenty-four dollars."
        assert answer.change == SetPrice("gin", quantity(30, "money"))
        assert talk.book.ingredients["gin"].pack is not None
        assert talk.book.ingredients["gin"].pack.price == quantity("24.00", "money")

    @pytest.mark.parametrize(
        ("slots", "price"),
        [
            ({"ingredient": "gin", "money": Decimal(40), "unit": "l"}, "30"),
            ({"ingredient": "gin", "money": Decimal(30), "unit": "bottle"}, "30"),
            ({"ingredient": "egg white", "money": Decimal("0.5"), "unit": "piece"}, "6"),
            ({"ingredient": "lime juice", "money": Decimal("0.6"), "unit": "piece"}, "0.6"),
            ({"ingredient": "white sugar", "money": Decimal(2), "unit": "kg"}, "2"),
            ({"ingredient": "gin", "percent": Decimal(10)}, "26.4"),
            ({"ingredient": "gin", "percent": Decimal(10), "text": "down"}, "21.6"),
        ],
    )
    def test_by_the_pack_the_litre_the_piece_or_in_percent(
        self, slots: dict[str, SlotValue], price: str, talk: Talk
    ) -> None:
        """Whatever way it is put, the pack has a new price."""
        change = talk.ask("set_price", **slots).change
        assert isinstance(change, SetPrice)
        assert change.price.m_as("money") == Decimal(price)

    @pytest.mark.parametrize(
        ("slots", "expected"),
        [
            ({"ingredient": "gin"}, "At what price? Say, for example: gin is now twenty-four dollars."),
            ({"ingredient": "gin", "money": Decimal(0)}, "A price must be more than nothing."),
            ({"ingredient": "gin", "percent": Decimal(100), "text": "down"}, "A price must be more than nothing."),
            ({"ingredient": "gin", "money": Decimal(24)}, "Gin was already twenty-four dollars a bottle."),
            (
                {"ingredient": "gin", "money": Decimal(24), "unit": "kg"},
                "Gin is not bought that way. The book has it at twenty-four dollars a bottle.",
            ),
            (
                {"ingredient": "lime cordial", "money": Decimal(9)},
                "Lime cordial is made in the house from sugar syrup and lime juice; its price comes from those.",
            ),
            (
                {"ingredient": "violet liqueur", "money": Decimal(9)},
                "The book has no pack for violet liqueur, so its price is unknown. Write its pack into the book first.",
            ),
        ],
    )
    def test_what_cannot_be_set_changes_nothing(self, slots: dict[str, SlotValue], expected: str, talk: Talk) -> None:
        """And the answer says why."""
        answer = talk.ask("set_price", **slots)
        assert (answer.reply.say, answer.change) == (expected, None)


class TestWhatIf:
    """'What if gin goes to thirty?'"""

    def test_what_moves_and_what_goes_over(self, talk: Talk) -> None:
        """How many, the most moved by how much, and who crosses the target; nothing is changed."""
        answer = talk.ask("what_if_price", ingredient="gin", money=Decimal(30))
        assert answer.reply.say == (
            "With gin at thirty dollars a bottle, five drinks change. "
            "The Gimlet goes up fifty cents to two dollars sixty-eight, twenty-two point three percent of its price. "
            "That takes Gimlet over twenty percent."
        )
        assert answer.change is None

    def test_the_drink_that_is_talked_of_comes_first(self, talk: Talk) -> None:
        """After a Southside, the answer is about the Southside."""
        talk.ask("spec", drink="Southside")
        assert "The Southside goes up fifty cents to three dollars ten, twenty-four point eight percent" in talk.say(
            "what_if_price", ingredient="gin", money=Decimal(30)
        )

    def test_a_drink_it_does_not_touch_is_told_so(self, talk: Talk) -> None:
        """Asked about the Daiquiri, the answer does not slide over to a gin drink unsaid."""
        assert "five drinks change. The Daiquiri does not: it has no gin." in talk.say(
            "what_if_price", ingredient="gin", money=Decimal(30), drink="Daiquiri"
        )

    def test_cheaper(self, talk: Talk) -> None:
        """Down is down."""
        assert "The Gimlet goes down twenty cents" in talk.say(
            "what_if_price", ingredient="gin", percent=Decimal(10), text="down"
        )

    def test_a_drink_of_unknown_cost_tells_the_change_alone(self, talk: Talk) -> None:
        """The cherry is known, the violet liqueur is not."""
        assert talk.say("what_if_price", ingredient="cherry", money=Decimal(50)) == (
            "With cherry at fifty dollars for four hundred grams, one drink changes. "
            "The Aviation goes up thirty-eight cents; the rest of its cost is unknown."
        )

    def test_what_no_drink_uses(self, talk: Talk) -> None:
        """Maraschino stands unused on this shelf."""
        assert talk.say("what_if_price", ingredient="maraschino liqueur", money=Decimal(35)) == (
            "With maraschino liqueur at thirty-five dollars for seven hundred mil, no drink changes."
        )

    def test_nothing_named_is_asked_back(self, talk: Talk) -> None:
        """Which ingredient?"""
        assert talk.say("what_if_price", money=Decimal(30)).startswith("What if which ingredient changes?")

    def test_a_house_made_thing_has_no_price_to_change(self, talk: Talk) -> None:
        """Its parts have."""
        assert talk.say("what_if_price", ingredient="sugar syrup", money=Decimal(3)) == (
            "Sugar syrup is made in the house from white sugar and water; its price comes from those."
        )

    def test_the_card_has_every_drink_before_and_after(self, talk: Talk) -> None:
        """Change, cost and share, the most moved first."""
        card = talk.ask("what_if_price", ingredient="gin", money=Decimal(30)).reply.card
        assert card is not None
        assert card.facts == ("$30.00 for 750 ml", "was $24.00")
        assert isinstance(card.blocks[0], Table)
        rows = {row.label: row for row in card.blocks[0].rows}
        assert len(rows) == 5
        gimlet = [cell if isinstance(cell, str) else cell.text for cell in rows["Gimlet"].cells]
        assert (gimlet, rows["Gimlet"].note) == (["$0.50", "$2.68", "22.3 %"], "was 18.2 %")
