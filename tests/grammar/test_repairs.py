"""What a speaker takes back is not what he means."""

from __future__ import annotations

from typing import Any

import pytest

from grammar.command import Command
from grammar.matcher import Matcher
from grammar.repairs import put_right
from tests.grammar.book_names import NAMES

MATCHER = Matcher(NAMES)


@pytest.mark.parametrize(
    ("text", "intent", "slots"),
    [
        ("what glass for a corpse... sorry, a bijou", "spec", {"drink": "Bijou", "part": "glass"}),
        ("two gimlets, sorry, three daiquiris", "scale", {"drink": "Daiquiri", "count": 3}),
        ("we're out of gin, no sorry, mezcal", "out_of", {"ingredient": "mezcal"}),
        ("gin is thirty, no wait, thirty two dollars", "set_price", {"ingredient": "gin", "money": 32}),
        ("batch twenty negronis, i mean thirty negronis", "batch", {"drink": "Negroni", "count": 30}),
        ("cost of the gimlet i meant the daiquiri", "cost", {"drink": "Daiquiri"}),
    ],
)
def test_what_is_put_right_counts(text: str, intent: str, slots: dict[str, Any]) -> None:
    """The name or the number after 'sorry' stands where the one before it stood."""
    meaning = MATCHER.understand(text)
    assert isinstance(meaning, Command)
    assert (meaning.intent, dict(meaning.slots)) == (intent, slots)


@pytest.mark.parametrize("text", ["no mezcal sorry what can i use", "the gimlet sorry what", "sorry, the gimlet"])
def test_an_apology_alone_takes_nothing_back(text: str) -> None:
    """'Sorry' is said to beg a pardon, too."""
    words = text.replace(",", "").split()
    assert list(put_right(words, lambda at: words[at] in ("mezcal", "gimlet"))) == []


def test_the_nearest_words_are_given_up_first() -> None:
    """As few as will do."""
    assert list(put_right(["a", "gimlet", "sorry", "a", "daiquiri"], lambda at: at == 4)) == [(1, 3), (0, 3)]
