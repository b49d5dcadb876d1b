"""Talk before a phrase is set aside where it cannot turn the meaning."""

from __future__ import annotations

import pytest

from grammar import phrasebook
from grammar.clean import phrase
from grammar.openings import Openings
from grammar.pieces import Cutter
from grammar.sounds import Voice
from tests.grammar.book_names import NAMES

BOOK = phrasebook.load(NAMES)
OPENINGS = Openings(BOOK)
CUTTER = Cutter(BOOK, Voice())


def meant(text: str) -> list[dict[str, object]]:
    """What the end of a text means."""
    return [{m.slot: m.value for m in reading.marks} for reading in OPENINGS.readings(CUTTER.cut(phrase(text)))]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("the guests are restless batch the negroni", {"intent": "batch", "drink": "Negroni"}),
        ("a guest just asked for an aviation, what's in it", {"intent": "spec", "drink": "Aviation"}),
        ("somebody ordered a bijou, how do i make it", {"intent": "build", "drink": "Bijou"}),
    ],
)
def test_the_phrase_at_the_end_is_meant(text: str, expected: dict[str, object]) -> None:
    """A drink that was named before is what the phrase is about."""
    assert meant(text) == [expected]


@pytest.mark.parametrize(
    "text",
    [
        "is it legal to batch a negroni",
        "don't batch the negroni",
        "who says we should batch the negroni",
        "after sixty gimlets batch the negroni",
        "with orgeat in it batch the negroni",
        "a gimlet and a daiquiri, what's in it",
        "i spilled the gimlet",
        "i love a gimlet what's next",
        "gimlet",
        "a bucket of bees knees",
    ],
)
def test_what_could_turn_it_is_not_set_aside(text: str) -> None:
    """Questions, hard words, numbers, other names; and a bare name is no phrase."""
    assert meant(text) == []
