"""Names that the grammar cannot know: somebody says who they are for the first time."""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST_NAME = 40  # letters
_SAID = re.compile(r"(?:hi |hello )?(?:i'm|i am|im|my name is|my name's|this is|call me)\s+(.+)", re.IGNORECASE)
_WORD = r"[^\W\d_]+(?:['\u2019.-][^\W\d_]+)*\.?"  # letters of any script, O'Neil, Anne-Marie
_NAME = re.compile(f"{_WORD}(?: {_WORD}){{0,2}}")
_MOST_SAID = 2  # words that a sentence may give for a name; typed into its own field it may have three


def named_in(text: str) -> str | None:
    """The name that a sentence gives, as names are written; None where it gives none."""
    said = _SAID.fullmatch(text.strip().rstrip(".!"))
    if said is None or len(said[1].split()) > _MOST_SAID or not is_name(said[1]):
        return None
    return said[1] if said[1] != said[1].lower() else said[1].title()


def is_name(text: str) -> bool:
    """Whether a text may be somebody's name: one to three words of letters."""
    return len(text) <= LONGEST_NAME and _NAME.fullmatch(text) is not None


def as_known(name: str, known: Iterable[str]) -> str:
    """The name as it is known already, however its letters are written; else as it is."""
    return next((one for one in known if one.casefold() == name.casefold()), name)
