"""Readings that mean the same are told from those that do not, by their words alone."""

from __future__ import annotations

import pytest

from grammar.gist import gist


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("what's in the gimlet", "what is in a gimlet"),
        ("lime are back", "limes are back"),
        ("batch this slack water for twenty", "batch the slack water for twenty"),
        ("compare the side car and that white lady", "compare the sidecar and the white lady"),
        ("what can i use instead of port", "what can we use instead of our port"),
        ("at twenty per cent", "at twenty percent"),
        ("what do a negroni cost", "what does a negroni cost"),
        ("undo it", "undo that"),
        ("in ounces", "to ounces"),
        ("what if limes go to a dollar each", "what if limes go a dollar each"),
        ("what does a negroni cost us", "what does a negroni cost"),
        ("and how much lime please", "okay how much lime"),
        ("what's the balance of the daiquiri", "what's the balance on a daiquiri"),
    ],
)
def test_the_same_is_meant(one: str, other: str) -> None:
    """Articles, who asks, one or more, and where a word is parted."""
    assert gist(one) == gist(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("orgeat is back", "orgeat is gone"),
        ("what's in a gimlet", "what's in a gin buck"),
        ("two gimlets", "ten gimlets"),
        ("with egg", "without egg"),
        ("do that", "don't do that"),
        ("it is", "that"),
        ("thirty negronis", "batch thirty negronis"),
    ],
)
def test_something_else_is_meant(one: str, other: str) -> None:
    """Names, numbers, and each word that turns a meaning round."""
    assert gist(one) != gist(other)
