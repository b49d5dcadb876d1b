"""What is said of what the house makes for itself."""

from __future__ import annotations

import pytest

from assistant.answers.base import Scene
from assistant.answers.house_made import recipe
from assistant.messages import Focus, Note
from recipes.loader import load_book

BOOK = load_book()


def notes_on(name: str) -> list[str]:
    """The notes on its card."""
    card = recipe(name, Scene(BOOK, frozenset(), Focus())).reply.card
    assert card is not None
    return [block.text for block in card.blocks if isinstance(block, Note)]


@pytest.mark.parametrize(
    ("name", "weighed", "scooped"),
    [
        ("simple syrup", "50 °Bx, 615 g", "46 °Bx, 554 g"),
        ("rich syrup", "67 °Bx, 884 g", "63 °Bx, 820 g"),
    ],
)
def test_a_plain_syrup_says_how_much_weaker_it_is_by_the_cup(name: str, weighed: str, scooped: str) -> None:
    """A trainee who scoops what the book weighs makes a thinner syrup (values: tests/checks/test_sucrose.py)."""
    assert notes_on(name) == [
        f"By weight it is {weighed} of sugar to the litre.",
        f"With as many cups of each it would be about {scooped} of sugar to the litre; packing varies.",
    ]


@pytest.mark.parametrize("name", ["grenadine", "honey syrup", "orgeat", "lime cordial"])
def test_what_is_more_than_sugar_and_water_says_nothing_of_cups(name: str) -> None:
    """The sugar table is of sugar and water alone."""
    assert notes_on(name) == []
