"""What a word that the phrases do not have may stand for: another form of one they have, a slip, or one misheard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from grammar.nearness import NearWords
from grammar.phrasebook import Phrasebook
from grammar.sounds import Voice
from grammar.templates import WORD

# What it costs to take a word for another. Likeness is 0..1; a slip costs what it lacks of 1, and these.
INFLECTED = 0.03  # 'pouring' for 'pour'
MENDED = 0.08
SLIP = 1.1  # per unlikeness
SMALL_SLIP = 0.5  # of all that, for a small word

_ENDINGS = ("s", "es", "d", "ed", "r", "er", "ing", "ly")
_MOST = "est"  # 'the strongest' of several asks what 'stronger' of two does, and never how strong one is
_MIN_STEM = 3  # letters


@dataclass(frozen=True)
class Slip:
    """What a word may stand for, with the cost of each; empty for a word that is known, or like none."""

    meant: Mapping[str, float]
    how: str = "exact"

    @property
    def cost(self) -> float:
        """That of the likeliest."""
        return min(self.meant.values(), default=0.0)


class Slips:
    """Finds them."""

    def __init__(self, book: Phrasebook, voice: Voice) -> None:
        self._known = book.lexicon.words
        self._weigh = book.lexicon.weigh
        small = {word for word in book.lexicon.words if book.lexicon.weigh(word) < WORD}
        self._near = NearWords(book.lexicon.words, small, voice)

    def of(self, words: Sequence[str]) -> list[Slip]:
        """For each word what it may stand for."""
        return [Slip({}) if word in self._known else self._slip(word) for word in words]

    def _slip(self, word: str) -> Slip:
        stems = [stem for stem in _stems(word) if stem in self._known]
        if stems:
            return Slip(dict.fromkeys(stems, INFLECTED), "fuzzy")
        near = self._near.to(word)
        costs = {meant: self._cost(meant, alike) for meant, alike in near.items()}
        return Slip(costs, "sound" if max(near.values(), default=0.0) == 1.0 else "fuzzy")

    def _cost(self, meant: str, alike: float) -> float:
        whole = MENDED + SLIP * (1 - alike)
        return whole if self._weigh(meant) >= WORD else whole * SMALL_SLIP


def _stems(word: str) -> Iterator[str]:
    """What a word may be another form of: 'pouring' of 'pour', 'strongs' (strong is) of 'strong'."""
    yield f"{word}s"
    if word.endswith(_MOST):
        yield f"{word.removesuffix(_MOST)}er"
    for ending in _ENDINGS:
        stem = word.removesuffix(ending)
        if stem != word and len(stem) >= _MIN_STEM:
            yield stem
            if ending == "ing":
                yield f"{stem}e"
            if stem[-1] == stem[-2]:
                yield stem[:-1]
