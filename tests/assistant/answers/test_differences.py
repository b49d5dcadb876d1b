"""A difference in a bartender's words, and nothing said of what nobody would notice or knows."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from assistant.answers.differences import (
    allergen_warnings,
    allergens_dropped,
    bars,
    difference_words,
    side_by_side,
    unknown_differences,
)
from assistant.messages import Bars, Note, Table
from recipes.compare import Change, compare
from recipes.units import quantity
from tests.conftest import HOUSE
from tests.made_up import the_book

BOOK = the_book()
NOTHING_CHANGED: dict[str, Any] = {
    "abv": Decimal(0),
    "sugar": Decimal(0),
    "acid": Decimal(0),
    "bitterness": Decimal(0),
    "served": Decimal(0),
    "cost": quantity(0, "money"),
    "brings": (),
    "drops": (),
    "allergens_unknown": (),
}


def change(**different: Any) -> Change:
    """A change in these fields and in no other; numbers may be given as text."""
    numbers = {k: Decimal(v) if isinstance(v, str) and k != "cost" else v for k, v in different.items()}
    if isinstance(different.get("cost"), str):
        numbers["cost"] = quantity(different["cost"], "money")
    return Change(**(NOTHING_CHANGED | numbers))


@pytest.mark.parametrize(
    ("different", "words"),
    [
        ({}, []),
        ({"sugar": "-12"}, ["drier"]),
        ({"sugar": "4"}, ["a touch sweeter"]),
        ({"sugar": "3"}, []),
        ({"sugar": "-40"}, ["much drier"]),
        ({"abv": "1.2"}, ["a touch stronger"]),
        ({"abv": "-3"}, ["lighter"]),
        ({"acid": "0.15"}, ["sharper"]),
        ({"acid": "-0.05"}, ["a touch softer"]),
        ({"bitterness": "1"}, ["more bitter"]),
        ({"bitterness": "-0.4"}, ["a touch less bitter"]),
        ({"served": "30"}, ["longer"]),
        ({"served": "-70"}, ["much shorter"]),
        ({"cost": "0.40"}, ["forty cents dearer"]),
        ({"cost": "-1.10"}, ["one dollar ten cheaper"]),
        ({"cost": "0.04"}, []),
        ({"sugar": "4", "abv": "5", "acid": "0.2", "served": "50"}, ["sharper", "stronger", "longer"]),
        (
            {"abv": "1", "sugar": "-15", "bitterness": "0.9", "cost": "0.40"},
            ["drier", "more bitter", "a touch stronger", "forty cents dearer"],
        ),
    ],
    ids=str,
)
def test_a_difference_is_said_as_a_bartender_would(different: dict[str, Any], words: list[str]) -> None:
    """In the order it is tasted, with how much of it, and the money last."""
    assert difference_words(change(**different), HOUSE) == words


def test_what_is_not_known_is_not_said_and_is_named() -> None:
    """No difference is made up for a riddle."""
    riddle = change(abv=None, cost=None)
    assert difference_words(riddle, HOUSE) == []
    assert unknown_differences(riddle) == "The book does not know enough to compare strength and cost."


def test_when_all_is_known_nothing_is_missing() -> None:
    """No sentence where there is nothing to say."""
    assert unknown_differences(change()) == ""


def test_allergens_that_come_in_and_riddles_are_warnings() -> None:
    """What is brought, what is unknown, and apart from them what is left behind."""
    found = change(brings=("nuts", "milk"), drops=("egg",), allergens_unknown=("amaro",))
    assert allergen_warnings(found, "riff") == [
        "The riff brings nuts and milk.",
        "The allergens of amaro are unknown, so ask.",
    ]
    assert allergens_dropped(found, "riff") == ["By our data the riff does without egg."]


class TestCard:
    """Side by side for the eye."""

    SIDES = compare(BOOK.drinks["Manhattan"], BOOK.drinks["Clover Club"], BOOK)

    def test_allergens_come_first(self) -> None:
        """The first block is the warning, then the picture, then the specs."""
        blocks = side_by_side(self.SIDES, BOOK.house, ("Manhattan", "Clover Club"))
        assert isinstance(blocks[0], Note)
        assert (blocks[0].text, blocks[0].tone) == ("The Clover Club brings egg.", "warn")
        assert [type(block) for block in blocks[-2:]] == [Bars, Table]

    def test_every_bar_has_its_second_and_fits_its_scale(self) -> None:
        """Six pairs, each on a scale that holds both."""
        picture = bars(self.SIDES, BOOK.house, ("Manhattan", "Clover Club"))
        assert picture.names == ("Manhattan", "Clover Club")
        assert len(picture.bars) == len(picture.tops) == 6
        for bar, top in zip(picture.bars, picture.tops, strict=True):
            assert bar.second is not None
            assert all(figure.value is None or figure.value <= top for figure in (bar.figure, bar.second))
            assert bar.figure.unit == bar.second.unit

    def test_lines_that_differ_stand_out(self) -> None:
        """What only one of them pours, or pours more of."""
        table = side_by_side(
            compare(BOOK.drinks["Negroni"], BOOK.drinks["Boulevardier"], BOOK), BOOK.house, ("a", "b")
        )[-1]
        assert isinstance(table, Table)
        tones = {row.label: row.tone for row in table.rows}
        assert tones == {
            "gin": "strong",
            "bitter red aperitif": "plain",
            "sweet vermouth": "plain",
            "bourbon": "strong",
        }
