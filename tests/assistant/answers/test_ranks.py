"""What is heard of the strongest, the driest, the cheapest and the best sold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers import ranks, specs
from assistant.answers.base import Answer, Scene
from assistant.answers.ranks import HIDDEN, RECKONED, rank
from assistant.messages import Bars, Figure, Focus, Note, Table
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.known_book import make_known_book
from tests.made_up import the_book

BOOK = the_book()
SOLD = {"Gimlet": 12, "Negroni": 40, "Martini": 7}


@pytest.fixture
def talk() -> Talk:
    """A fresh conversation on the book that ships."""
    return Talk({**ranks.HANDLERS, **specs.HANDLERS}, BOOK)


class TestSay:
    """'What's the strongest drink on the menu?'"""

    @pytest.mark.parametrize(
        ("slots", "expected"),
        [
            (
                {"part": "strength"},
                "The strongest, as served: Old Fashioned at about thirty-one percent, then Pink Gin and Alaska at "
                "about thirty percent. Most alcohol in one glass: the Brooklyn, about two US standard drinks.",
            ),
            (
                {"part": "strength", "text": "least"},
                "The weakest, as served: Dry Dock, all but free of alcohol, then Sherry Flip at about six percent, "
                "then New Orleans Fizz and Wine Spritzer at about eight percent.",
            ),
            (
                {"part": "sugar", "text": "least"},
                "The driest, by sugar: Whiskey Highball, Pink Gin and Gin Rickey.",
            ),
            (
                {"part": "price"},
                "The dearest, by menu price: Brandy Crusta, Bijou and Widow's Kiss at eighteen dollars fifty.",
            ),
            (
                {"part": "pour cost"},
                "The highest pour cost: Brandy Crusta at twenty-four point two percent, then Sidecar and Horse's Neck "
                "at twenty-four percent.",
            ),
            (
                {"part": "margin", "shelf": "fogbell"},
                "The best margin of The Fogbell, after its cost: Lantern Room at thirteen dollars and two cents, "
                "then Copper Daisy at twelve dollars seventy, then Salt Ledger at twelve dollars fifty-nine.",
            ),
            (
                {"part": "acid", "family": "daisy"},
                "The sharpest of the daisy family, by acid: Tidewrack, Gin Daisy and Lamplighter's Daisy.",
            ),
            (
                {"part": "price", "text": "least", "ingredient": "mezcal"},
                "The cheapest with mezcal, by menu price: Salt Ledger at sixteen dollars.",
            ),
        ],
        ids=[
            "strongest",
            "weakest",
            "driest",
            "dearest",
            "pour cost",
            "margin of the house",
            "a family",
            "with mezcal",
        ],
    )
    def test_the_first_three_in_order(self, slots: dict[str, SlotValue], expected: str, talk: Talk) -> None:
        """With what puts them there; alike ones stand together."""
        assert talk.say("rank", **slots) == expected

    @pytest.mark.parametrize("part", ["strength", "alcohol", "sugar", "acid", "bitterness", "price", "cost", "margin"])
    @pytest.mark.parametrize("text", ["most", "least"])
    def test_every_order_can_be_read_aloud(self, part: str, text: str, talk: Talk) -> None:
        """No digit, no double stop, and no more than a breath."""
        say = talk.say("rank", part=part, text=text)
        assert not faults_aloud(say, *BOOK.drinks)
        assert len(say.split()) <= 45

    def test_the_talk_goes_on_with_the_first(self, talk: Talk) -> None:
        """'What's in it?', for one, however many of another drink were asked for before."""
        talk.focus = Focus(drink="Negroni", count=3)
        talk.say("rank", part="strength")
        assert talk.say("spec").startswith("Old Fashioned: two ounces")

    def test_none_of_that_kind(self, talk: Talk) -> None:
        """Almonds are in the orgeat: it is not said that no drink has them."""
        assert talk.say("rank", part="price", ingredient="almonds") == (
            "No such drink pours almonds as it is. Ask what has it if a guest must not."
        )


class TestCare:
    """Strength is reckoned, and the unknown is told."""

    def test_strength_comes_with_its_caution(self, talk: Talk) -> None:
        """Nobody is told who may drive."""
        assert talk.ask("rank", part="strength").reply.cautions == (RECKONED,)
        assert talk.ask("rank", part="sugar").reply.cautions == (HIDDEN,)

    def test_what_nobody_can_tell_is_named(self) -> None:
        """Never the weakest by want of data."""
        reply = answer(make_known_book(), part="strength", text="least").reply
        assert reply.say.endswith("Unknown for Aviation: ask.")
        assert reply.card is not None
        assert Note("Unknown, ask: Aviation.", "warn") in reply.card.blocks

    def test_no_numbers_at_all(self, tiny_book: Book) -> None:
        """A book that tells no strength has no strongest drink."""
        say = answer(tiny_book, part="strength").reply.say
        assert say.startswith("I cannot tell that of any drink. I lack numbers for ")

    def test_what_is_off_tonight_is_not_offered(self) -> None:
        """Without bourbon the Old Fashioned cannot be had; the card says so."""
        assert "bourbon" in {pour.ingredient for pour in BOOK.drinks["Old Fashioned"].pours}
        reply = answer(BOOK, frozenset({"bourbon"}), part="strength").reply
        assert "Old Fashioned" not in reply.say
        assert reply.card is not None
        table = next(block for block in reply.card.blocks if isinstance(block, Table))
        assert (table.rows[0].label, table.rows[0].note) == ("Old Fashioned", "off tonight: no bourbon")


class TestCard:
    """For the eye: bars, and the numbers with their units."""

    def test_bars_and_numbers(self) -> None:
        """Twenty of them, longest first, and how many more there are."""
        card = answer(BOOK, part="price").reply.card
        assert card is not None
        bars, table, more = card.blocks
        assert isinstance(bars, Bars)
        assert isinstance(table, Table)
        assert len(bars.bars) == len(table.rows) == 20
        assert more == Note("And seventy-three drinks more.", "muted")
        first = table.rows[0].cells[0]
        assert isinstance(first, Figure)
        assert first.text == "$18.50"

    def test_a_share_fills_its_bar(self) -> None:
        """The highest pour cost is the longest bar, not a hundredth of it."""
        card = answer(BOOK, part="pour cost").reply.card
        assert card is not None
        bars = card.blocks[0]
        assert isinstance(bars, Bars)
        value = bars.bars[0].figure.value
        assert value is not None
        assert abs(value - bars.tops[0]) < 1


class TestSales:
    """'What sells best?'"""

    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            (
                "most",
                "What sells best, by the last sales list: Negroni with forty, Gimlet with twelve and Martini with ",
            ),
            ("least", "What sells worst, by the last sales list: Martini with seven, Gimlet with twelve and "),
        ],
    )
    def test_by_the_last_list(self, text: str, expected: str) -> None:
        """How many of each."""
        scene = replace(scene_of(BOOK), sold=SOLD)
        assert rank(Command(Intent.RANK, {"part": "sold", "text": text}), scene).reply.say.startswith(expected)

    def test_without_a_list(self, talk: Talk) -> None:
        """It says where sales come from, and makes none up."""
        assert talk.say("rank", part="sold").startswith("I know of no sales.")


def scene_of(book: Book, out: frozenset[str] = frozenset()) -> Scene:
    """A talk about nothing so far."""
    return Scene(book, out, Focus())


def answer(book: Book, out: frozenset[str] = frozenset(), **slots: SlotValue) -> Answer:
    """The answer, out of the blue."""
    return rank(Command(Intent.RANK, slots), scene_of(book, out))
