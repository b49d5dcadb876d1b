"""Words that a closed vocabulary lacks, spelled in words that it has, and put back when those are heard.

A word is spelled by its sound where English can say it: the fewest words whose phones, run together, come nearest to
its own. Otherwise, in a language written as it sounds, it is spelled by its letters: the fewest words that written
together are the word.
"""

from __future__ import annotations

import heapq
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache

from assistant.ears.pronunciation import Pronouncer, english
from grammar.network import Arc, Network
from grammar.sounds import PHONES, Phones, distance

Spelling = tuple[str, ...]

WAYS = 3  # to spell one word
LONGEST = 9  # phones of a word in a spelling
ONE_MORE_WORD = 0.5  # phones by which a spelling may be farther off to be a word shorter
NEAR = 0.5  # phones by which one phone of a spelling may be off
FARTHEST = 0.15  # phones that a spelling may be off for each phone of the word
LEAST_LETTERS = 2  # of a word in a spelling; a syllable of Hangul counts for its two or three


class Speller:
    """Spells words in a recogniser's vocabulary."""

    def __init__(self, knows: Callable[[str], bool], pronouncer: Pronouncer | None = None) -> None:
        """`knows` tells whether a word is in the vocabulary."""
        self._knows = knows
        self._pronouncer = pronouncer or Pronouncer()
        self._said: dict[Phones, str] = {}
        for word, ways in english().items():
            if word.isalpha() and knows(word):
                for phones in ways:
                    self._said[phones] = min(self._said.get(phones, word), word, key=lambda w: (len(w), w))

    def spellings(self, word: str) -> tuple[Spelling, ...]:
        """Up to WAYS spellings of a word, the nearest first; none where nothing comes near."""
        by_sound = (self._by_sound(way) for way in self._pronouncer.ways(word)[:WAYS]) if self._said else ()
        ranked = sorted((cost, spelling) for found in by_sound for cost, spelling in found)
        found = tuple(dict.fromkeys(spelling for _, spelling in ranked))[:WAYS]
        letters = self._by_letters(word)
        return found or ((letters,) if letters else ())

    def _by_sound(self, phones: Phones) -> list[tuple[float, Spelling]]:
        """The best ways through the phones, word by word, each with how far it is off."""
        best: list[list[tuple[float, Spelling]]] = [[(0.0, ())], *([] for _ in phones)]
        for end in range(1, len(phones) + 1):
            ways = (
                (cost + off + ONE_MORE_WORD, (*before, word))
                for start in range(max(0, end - LONGEST), end)
                for word, off in self._like(phones[start:end])
                for cost, before in best[start]
            )
            best[end] = heapq.nsmallest(WAYS, ways)
        most = FARTHEST * len(phones)
        return [(cost, words) for cost, words in best[-1] if cost - ONE_MORE_WORD * len(words) <= most]

    def _like(self, phones: Phones) -> Iterator[tuple[str, float]]:
        """Words with just these phones, and with one of them another that is near."""
        if phones in self._said:
            yield self._said[phones], 0.0
        for at, phone in enumerate(phones):
            for other, off in _near(phone):
                word = self._said.get((*phones[:at], other, *phones[at + 1 :]))
                if word is not None:
                    yield word, off

    def _by_letters(self, word: str) -> Spelling:
        """The fewest known words that written together are the word; none where there are none."""
        best: list[Spelling | None] = [(), *(None for _ in word)]
        for end in range(1, len(word) + 1):
            ways = ((before, word[start:end]) for start in range(end) if (before := best[start]) is not None)
            spelled = (
                (*before, part) for before, part in ways if _letters(part) >= LEAST_LETTERS and self._knows(part)
            )
            best[end] = min(spelled, key=len, default=None)
        return best[-1] or ()


@cache
def _near(phone: str) -> tuple[tuple[str, float], ...]:
    offs = ((other, distance((phone,), (other,))) for other in sorted(PHONES - {phone}))
    return tuple((other, off) for other, off in offs if off <= NEAR)


def _letters(text: str) -> int:
    return len(unicodedata.normalize("NFD", text))


def respelled(network: Network, spellings: Mapping[str, Collection[Spelling]]) -> Network:
    """The network with these words said as they are spelled, in each of the ways."""
    arcs: list[Arc] = []
    size = network.size
    for arc in network.arcs:
        for spelling in spellings.get(arc.word, ((arc.word,),)):
            states = [arc.source, *range(size, size + len(spelling) - 1), arc.target]
            size += len(spelling) - 1
            arcs += (Arc(states[at], states[at + 1], word) for at, word in enumerate(spelling))
    return replace(network, arcs=tuple(arcs), size=size)


class PutBack:
    """Spelled words in what was heard, made the words again that they stand for."""

    def __init__(self, spellings: Mapping[str, Iterable[Spelling]]) -> None:
        self._stands_for: defaultdict[str, list[tuple[Spelling, str]]] = defaultdict(list)
        for word, ways in spellings.items():
            for spelling in ways:
                self._stands_for[spelling[0]].append((spelling, word))
        for found in self._stands_for.values():
            found.sort(key=lambda pair: -len(pair[0]))

    def words(self, heard: Sequence[str], accepts: Callable[[Sequence[str]], bool]) -> tuple[str, ...]:
        """The first way to put words back that `accepts` takes; else as many put back as can be."""
        ways = list(self._ways(tuple(heard)))
        return next(filter(accepts, ways), ways[0])

    def _ways(self, heard: Spelling) -> Iterator[Spelling]:
        if not heard:
            yield ()
            return
        for spelling, word in self._stands_for.get(heard[0], ()):
            if heard[: len(spelling)] == spelling:
                yield from ((word, *rest) for rest in self._ways(heard[len(spelling) :]))
        yield from ((heard[0], *rest) for rest in self._ways(heard[1:]))
