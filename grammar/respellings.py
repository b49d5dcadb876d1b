"""Names that a recogniser heard in the words that the book respells them with, put back as they are written.

'Full earn um' is how falernum is listened for; it is not how it is read, asked back, or marked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar.clean import phrase
from grammar.names import Name, Names
from grammar.wordings import KINDS, plural


class Respellings:
    """The respelled names of one book."""

    def __init__(self, names: Names) -> None:
        self._written: dict[tuple[str, ...], tuple[str, ...]] = {}
        for name in (name for kind in KINDS for name in getattr(names, kind)):
            self._written.update(_respelled(name))
        self._longest = max(map(len, self._written), default=0)

    def written(self, text: str) -> str:
        """The text with names as they are written; of two that begin at one word, the longer is meant."""
        return " ".join(self._put_back(text.split()))

    def _put_back(self, words: Sequence[str]) -> Iterator[str]:
        at = 0
        while at < len(words):
            lengths = range(min(self._longest, len(words) - at), 0, -1)
            found = next((n for n in lengths if tuple(words[at : at + n]) in self._written), 0)
            yield from self._written[tuple(words[at : at + found])] if found else (words[at],)
            at += found or 1


def _respelled(name: Name) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """What is listened for, and what it stands for: one, and more than one."""
    written = phrase(name.canonical)
    for respelling in name.sounds_like:
        words = tuple(respelling.casefold().split())
        yield words, written
        yield (*words[:-1], plural(words[-1])), (*written[:-1], plural(written[-1]))
