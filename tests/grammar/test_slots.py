"""Marks become a command: each slot in its type, with the stretch of text it came from."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from grammar.clean import words
from grammar.command import Intent, SlotValue
from grammar.exact import Mark
from grammar.slots import command

TEXT = "Two ounces of London Dry"
SAID = words(TEXT)


@pytest.mark.parametrize(
    ("mark", "expected"),
    [
        (Mark("count", Fraction(2), 0, 1), 2),
        (Mark("count", "2", 0, 1), 2),
        (Mark("count", Fraction(5, 2), 0, 1), Decimal("2.5")),
        (Mark("amount", Fraction(3, 4), 0, 1), Decimal("0.75")),
        (Mark("money", Fraction(32), 0, 1), Decimal(32)),
        (Mark("drink", "Gimlet", 0, 1), "Gimlet"),
        (Mark("unit", "oz", 1, 2), "oz"),
        (Mark("text", None, 3, 5), "London Dry"),
    ],
)
def test_a_slot_has_its_type(mark: Mark, expected: SlotValue) -> None:
    """Counts are whole numbers, amounts and money are decimals, words are as they were written."""
    made = command(TEXT, SAID, [Mark("intent", "spec", 0, 0), mark])
    assert made.intent is Intent.SPEC
    assert made.slots[mark.slot] == expected
    assert type(made.slots[mark.slot]) is type(expected)


def test_a_slot_knows_its_stretch_of_text() -> None:
    """The span is of the text as it was typed; what came from no words has none."""
    made = command(
        TEXT, SAID, [Mark("intent", "amount", 0, 5), Mark("amount", Fraction(2), 0, 2), Mark("part", "ice", 0, 0)]
    )
    assert dict(made.spans) == {"amount": (0, 10)}


def test_the_first_of_two_marks_counts() -> None:
    """A phrase that fills a slot twice means the first."""
    made = command(TEXT, SAID, [Mark("intent", "spec", 0, 0), Mark("part", "ice", 0, 1), Mark("part", "glass", 1, 2)])
    assert made.slots == {"part": "ice"}
