"""What is said of the whole menu: costs, quadrants, and the prices that hurt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.answers.base import Scene
from assistant.answers.costs import cost_answer
from assistant.answers.menu import NO_SALES
from assistant.messages import Bars, Focus, Note, Plot, Reply, Table
from grammar.command import Command, Intent
from tests.assistant.answers.sayable import faults_aloud
from tests.conftest import make_tiny_book

SOLD = {"Gimlet": 50, "Daiquiri": 30, "Manhattan": 12, "Southside": 8}
NOTHING: Mapping[str, int] = {}


def asked(text: str, sold: Mapping[str, int] = SOLD, **slots: Decimal) -> Reply:
    """The answer to a question about the whole menu of the small book."""
    scene = Scene(make_tiny_book(), frozenset(), Focus(), sold=sold)
    return cost_answer(Command(Intent.COST, {"text": text, **slots}), scene).reply


def tables(reply: Reply) -> list[Table]:
    """The tables of its card."""
    assert reply.card is not None
    return [block for block in reply.card.blocks if isinstance(block, Table)]


def test_the_whole_menu_is_told_dearest_first() -> None:
    """Six drinks have a price; two of them cannot be costed and stand at the end, with what lacks a price."""
    reply = asked("menu")
    assert reply.say.startswith("Four drinks on the menu, ")
    rows = tables(reply)[0].rows
    shares = [row.cells[0].value for row in rows[:4] if not isinstance(row.cells[0], str)]
    assert shares == sorted(shares, key=lambda share: share or 0, reverse=True)
    assert {row.label: row.note for row in rows[4:]} == {
        "Clover Club": "no price for raspberry syrup",
        "Aviation": "no price for violet liqueur",
    }


@pytest.mark.parametrize(
    ("sold", "expected"),
    [
        (NOTHING, "All together, one of each sold, it is "),
        (SOLD, "All together, by the last sales list, it is "),
        ({"Gimlet": 3}, "All together, by the last sales list, it is eighteen point two percent."),
    ],
    ids=["no sales", "sales", "one drink alone"],
)
def test_the_pour_cost_of_the_whole(sold: Mapping[str, int], expected: str) -> None:
    """Weighted by what was sold: of Gimlets alone it is the Gimlet's own."""
    assert expected in asked("menu", sold).say


def test_the_mix_names_stars_and_dogs() -> None:
    """Each drink stands in one quadrant, under what to do about it; the second picture shows what each earned."""
    reply = asked("mix")
    assert reply.say.startswith("Among four drinks I count ")
    assert {row.label for table in tables(reply) for row in table.rows} == set(SOLD)
    assert reply.card is not None
    picture = reply.card.blocks[1]
    assert isinstance(picture, Bars)
    assert picture.bars[0].label == "Gimlet"
    assert reply.card.facts[0] == "popular from 17.5 % of what was sold"


def test_the_picture_puts_each_drink_into_the_field_of_its_quadrant() -> None:
    """Right of the one line what is popular, above the other what earns well: as the tables below it say."""
    card = asked("mix").card
    assert card is not None
    plot = card.blocks[0]
    assert isinstance(plot, Plot)
    assert {dot.label for dot in plot.dots} == set(SOLD)
    named = {row.label: table.title for table in tables(asked("mix")) for row in table.rows}
    across, up = plot.across_from.value, plot.up_from.value
    assert across is not None
    assert up is not None
    for dot in plot.dots:
        assert dot.across.value is not None
        assert dot.up.value is not None
        is_popular, earns_well = dot.across.value >= across, dot.up.value >= up
        assert plot.fields[2 * (not earns_well) + is_popular].rstrip("s") in named[dot.label].casefold()


def test_a_picture_of_a_long_menu_shows_what_earned_most_and_says_so() -> None:
    """Twenty stars are fifteen dots and a sentence; the table has all of them."""
    book = make_tiny_book()
    more = {f"Gimlet {number}": number + 40 for number in range(20)}
    book = book.with_drinks(replace(book.drinks["Gimlet"], name=name) for name in more)
    scene = Scene(book, frozenset(), Focus(), sold=more)
    card = cost_answer(Command(Intent.COST, {"text": "mix"}), scene).reply.card
    assert card is not None
    plot, note, _, stars = card.blocks
    assert isinstance(plot, Plot)
    assert [dot.label for dot in plot.dots] == [f"Gimlet {number}" for number in range(19, 4, -1)]
    assert note == Note("The picture shows fifteen of them: of each kind those that earned most.", "muted")
    assert isinstance(stars, Table)
    assert [row.label for row in stars.rows] == [f"Gimlet {number}" for number in range(19, -1, -1)]


def test_without_sales_it_says_where_they_come_from() -> None:
    """No list of sales, no quadrants: nothing is made up."""
    assert asked("mix", NOTHING) == Reply(NO_SALES)


def test_what_cannot_be_placed_is_named() -> None:
    """A drink whose syrup has no price is left out, aloud."""
    assert "I cannot place Clover Club: a price is missing." in asked("mix", SOLD | {"Clover Club": 9}).say


def test_the_price_that_hurts_most_is_told_with_what_it_adds() -> None:
    """Ten percent unless somebody says how much."""
    assert asked("moves").say.startswith("Gin hurts most: ten percent on its price adds ")
    assert "to one of each drink on the menu" in asked("moves", NOTHING).say
    assert tables(asked("moves", percent=Decimal(25)))[0].heads[-1] == "25 % dearer adds"


@pytest.mark.parametrize("text", ["menu", "mix", "moves"])
@pytest.mark.parametrize("sold", [SOLD, NOTHING], ids=["sales", "no sales"])
def test_every_sentence_can_be_said(text: str, sold: Mapping[str, int]) -> None:
    """No digit, sign or fraction is left for the voice to stumble over."""
    assert faults_aloud(asked(text, sold).say) == ""
