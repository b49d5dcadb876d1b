"""The words of the phrases, and what each counts."""

from __future__ import annotations

import pytest

from grammar import phrasebook
from grammar.templates import CHATTER, CONTENT, SOFT, WORD

LEXICON = phrasebook.lexicon()


@pytest.mark.parametrize(
    ("label", "weight"),
    [
        ("the", 0.0),
        ("please", 0.0),
        ("anyway", CHATTER),
        ("more", SOFT),
        ("recipe", WORD),
        ("garnish", CONTENT if "garnish" not in LEXICON.carriers else WORD),
        ("out", CONTENT),
        ("not", CONTENT),
        ("weather", CONTENT),
        ("kaput", CONTENT),
        ("names.drink", CONTENT),
        ("values.day", SOFT),
    ],
)
def test_a_word_counts_what_its_list_says(label: str, weight: float) -> None:
    """Small words little, words of the phrases more, hard words and words of no phrase whole."""
    assert LEXICON.weigh(label) == weight


def test_weights_are_in_order() -> None:
    """Each list counts more than the one before it."""
    assert 0 < CHATTER < SOFT < WORD < CONTENT


def test_lists_of_words_hold_no_word_twice_over() -> None:
    """A word has one weight: no two lists claim it."""
    lists = [LEXICON.listed(f"common.{rule}") for rule in ("light", "soft", "hard", "chatter")]
    assert sum(len(words) for words in lists) == len(frozenset().union(*lists))


def test_words_are_sorted_by_what_they_do() -> None:
    """Those around names, those that fill slots, those that count."""
    assert {"recipe", "batch"} <= LEXICON.carriers
    assert {"ounces", "citrus", "forty"} <= LEXICON.values | LEXICON.numbers
    assert "forty" in LEXICON.numbers
    assert LEXICON.words >= LEXICON.carriers | LEXICON.values | LEXICON.numbers
