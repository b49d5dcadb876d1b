"""Words that strayed from a grammar are brought back to its nearest sentence."""

from __future__ import annotations

import pytest

from assistant.ears.nearest import Finder, Near
from grammar import jsgf, network

FINDER = Finder(
    network.build(jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = (one | two) (gin | dry gin) fizz [please];"))
)


@pytest.mark.parametrize(
    ("words", "most", "found"),
    [
        ("one gin fizz", 0, Near(("one", "gin", "fizz"), 0)),
        ("one gin gin fizz", 1, Near(("one", "gin", "fizz"), 1)),
        ("one fizz", 1, Near(("one", "gin", "fizz"), 1)),
        ("one rum fizz please", 1, Near(("one", "gin", "fizz", "please"), 1)),
        ("please two dry gin two fizz", 2, Near(("two", "dry", "gin", "fizz"), 2)),
        ("please two dry gin two fizz", 1, None),
        ("", 2, None),
    ],
)
def test_the_nearest_sentence_is_found_within_its_limit(words: str, most: int, found: Near | None) -> None:
    """A word too many, too few or another one is mended; what is too far away is left."""
    assert FINDER.nearest(words.split(), most) == found
