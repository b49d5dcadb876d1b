"""Which words stand where a name of the book should."""

from __future__ import annotations

import pytest

from grammar.command import NotUnderstood
from grammar.matcher import Matcher
from tests.grammar.book_names import NAMES

MATCHER = Matcher(NAMES)


@pytest.mark.parametrize(
    ("text", "unknown", "kind"),
    [
        ("what's in a Cosmopolitan", "Cosmopolitan", "drink"),
        ("cosmopolitan", "cosmopolitan", "drink"),
        ("how much gin in a bramble", "bramble", "drink"),
        ("how much elderflower in a gimlet", "elderflower", "ingredient"),
        ("we're out of elderflower", "elderflower", "ingredient"),
        ("what's in a sex on the beach", "sex on the beach", "drink"),
        ("batch two litres of cosmopolitan", "cosmopolitan", "drink"),
        ("frozen margarita spec", "frozen margarita", "drink"),
        ("what's in a gin sour", "gin sour", "drink"),
        ("compare the gimlet and the penicillin", "penicillin", "drink"),
        ("so what would the cost of a cosmo be for us then", "cosmo", "drink"),
    ],
)
def test_the_words_are_named(text: str, unknown: str, kind: str) -> None:
    """As they were typed, with what they were taken for."""
    meaning = MATCHER.understand(text)
    assert isinstance(meaning, NotUnderstood)
    assert (meaning.unknown, meaning.kind) == (unknown, kind)


@pytest.mark.parametrize("text", ["tell me a joke", "how are you", "who won the game", "the the the", "hmm"])
def test_other_talk_asks_for_no_name(text: str) -> None:
    """Nobody asked for a drink called joke."""
    meaning = MATCHER.understand(text)
    assert isinstance(meaning, NotUnderstood)
    assert meaning.unknown == ""


@pytest.mark.parametrize("text", ["pitcher of rum swizzle", "first step of a cuba libre", "whole gin buck then"])
def test_a_name_of_the_book_is_no_stranger(text: str) -> None:
    """'I have no rum swizzle in the book. The nearest I have is Rum Swizzle' helps nobody."""
    meaning = MATCHER.understand(text)
    assert getattr(meaning, "unknown", "") == ""


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("frozen margarita spec", "Margarita"),
        ("what's in a gimbal", "Gimlet"),
        ("what can i use instead of lemongrass", "lemon juice"),
    ],
)
def test_what_comes_nearest_is_offered(text: str, near: str) -> None:
    """A name that stands among the words, or is like them."""
    meaning = MATCHER.understand(text)
    assert isinstance(meaning, NotUnderstood)
    assert near in meaning.near
    assert len(meaning.near) <= 3
