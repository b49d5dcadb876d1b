"""Which ingredients of the book come near to a supplier's name: to be offered, never assumed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from rapidfuzz import fuzz, process

from assistant.office.columns import fold

LIKE_ENOUGH = 72.0  # of 100, on words in any order
MOST = 3
STEM = 4  # letters of a word by which two names are compared at all


class NearNames:
    """The book's names, found again by words that begin alike; quick enough for a list of many thousands."""

    def __init__(self, names: Iterable[tuple[str, str]]) -> None:
        """Pairs of a name that may be written, and the ingredient it is a name of."""
        self._of = {fold(written): ingredient for written, ingredient in names}
        self._by_stem: dict[str, set[str]] = defaultdict(set)
        for name in self._of:
            for stem in _stems(name):
                self._by_stem[stem].add(name)

    def near(self, written: str) -> tuple[str, ...]:
        """Up to three ingredients, nearest first; none where nothing is like enough."""
        folded = fold(written)
        candidates = sorted(set().union(*(self._by_stem.get(stem, set()) for stem in _stems(folded))))
        found = process.extract(folded, candidates, scorer=fuzz.token_sort_ratio, score_cutoff=LIKE_ENOUGH, limit=9)
        return tuple(dict.fromkeys(self._of[name] for name, _, _ in found))[:MOST]


def _stems(folded: str) -> set[str]:
    return {word[:STEM] for word in folded.split() if len(word) > 2}
