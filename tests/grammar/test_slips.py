"""What a word that the phrases lack may stand for."""

from __future__ import annotations

import pytest

from grammar import phrasebook
from grammar.slips import INFLECTED, Slips
from grammar.sounds import Voice
from tests.grammar.book_names import NAMES

SLIPS = Slips(phrasebook.load(NAMES), Voice())


@pytest.mark.parametrize(
    ("word", "meant", "how"),
    [
        ("spec", set(), "exact"),
        ("pouring", {"pour"}, "fuzzy"),
        ("batched", {"batch", "batched"}, "fuzzy"),
        ("strongs", {"strong"}, "fuzzy"),
        ("strongest", {"stronger"}, "fuzzy"),
        ("garnsih", {"garnish"}, "fuzzy"),
        ("waht", {"what"}, "fuzzy"),
        ("weather", set(), "fuzzy"),
        ("qqqq", set(), "fuzzy"),
    ],
)
def test_a_word_may_stand_for_another(word: str, meant: set[str], how: str) -> None:
    """Another form of a word, or a slip; a word that is known stands for itself."""
    (slip,) = SLIPS.of([word])
    assert set(slip.meant) <= meant | {word}
    assert bool(slip.meant) == bool(meant - {word}) or word in phrasebook.lexicon().words
    assert slip.how == how or not slip.meant


def test_another_form_costs_less_than_a_slip_and_a_small_word_less_than_a_long_one() -> None:
    """'pouring' is nearly as good as 'pour'; 'garnsih' is a mistake; 'waht' is a small one."""
    form, slip, small = SLIPS.of(["pouring", "garnsih", "waht"])
    assert INFLECTED == form.cost < small.cost < slip.cost


def test_what_stands_for_nothing_costs_nothing() -> None:
    """There is nothing to believe."""
    assert [slip.cost for slip in SLIPS.of(["spec", "qqqq"])] == [0.0, 0.0]
