"""What is said for a vegan guest."""

from __future__ import annotations

import pytest

from assistant.answers.base import Scene
from assistant.answers.safety import STANDING, contains
from assistant.messages import Focus, Note, Reply, Table
from grammar.command import Command, Intent
from tests.made_up import the_book

SCENE = Scene(the_book(), frozenset(), Focus())


def ask(**slots: str) -> Reply:
    """The reply to a question about contents."""
    return contains(Command(Intent.CONTAINS, {"text": "vegan", **slots}), SCENE).reply


class TestOne:
    """'Is it vegan?'"""

    @pytest.mark.parametrize(
        ("slots", "expected"),
        [
            ({"drink": "Clover Club"}, "No, the Clover Club is not vegan: it has egg white."),
            ({"drink": "Bee's Knees"}, "No, the Bee's Knees is not vegan: it has honey."),
            ({"drink": "Pilot Boat Punch"}, "No, the Pilot Boat Punch is not vegan: it has whole milk."),
            ({"ingredient": "honey"}, "No, the honey is not vegan."),
            ({"ingredient": "lime juice"}, "The lime juice is vegan by our data. Check the labels."),
            (
                {"ingredient": "orgeat"},
                "Unknown, ask: nothing from animals is written down for the orgeat, but the book does not tell for "
                "sugar and orange flower water. Ask the maker before you promise it.",
            ),
        ],
        ids=["egg", "honey by its syrup", "milk that was strained off", "honey", "pressed here", "unread labels"],
    )
    def test_no_yes_by_our_data_or_unknown(self, slots: dict[str, str], expected: str) -> None:
        """Silence of the book is never a yes."""
        assert ask(**slots).say == expected

    def test_the_labels_decide(self) -> None:
        """The standing caution each time, and the verdict on the card."""
        reply = ask(drink="Negroni")
        assert reply.cautions == (STANDING,)
        assert reply.card is not None
        assert isinstance(reply.card.blocks[0], Note)
        assert reply.card.blocks[0].text.startswith("unknown, ask")


class TestWhich:
    """'Which drinks are vegan?'"""

    def test_none_is_promised_where_labels_are_unread(self) -> None:
        """Every drink here has a bottle in it."""
        assert ask(part="free").say == (
            "There is none that I can promise. In seventy-three drinks, Daiquiri and Gimlet among them, nothing from "
            "animals is written down, but some labels are unread: unknown, ask the makers. Not vegan by our data: "
            "Bee's Knees, Pisco Sour, Clover Club, Pink Lady and sixteen others. Check the labels."
        )

    def test_which_are_not(self) -> None:
        """Those that are known first."""
        assert ask(part="which").say.startswith("Not vegan by our data: Bee's Knees, Pisco Sour, ")

    def test_the_card_names_what_decides(self) -> None:
        """Each drink once: unknown with the bottles to ask about, not vegan with what is in it."""
        card = ask(part="free").card
        assert card is not None
        tables = [block for block in card.blocks if isinstance(block, Table)]
        rows = {row.label: str(row.cells[0]) for table in tables for row in table.rows}
        assert rows["Eggnog"].startswith("whole egg")
        assert rows["Daiquiri"].startswith("unknown: ")
        assert len(rows) == len(the_book().drinks)
