"""Whether what was taken for the wake phrase was rather what people say anyway: "scary evening" for "Skerry Haven".

The phone reader hears the stretch of sound once more, as it came. The phrase must not fall far behind the likeliest
sentence that has everyday words in the place of some of its own. By eleven voices of espeak-ng, flite and festival,
four times each, it fell 0.5 nats short at most in a kitchen and 7.5 among eight voices, both at 10 dB; "scary evening"
by the same fell 12 to 21 nats short, "very even" by flite's four 10 to 18.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from assistant.ears.base import Sound
from assistant.ears.levels import levelled, surrounded
from assistant.ears.phone_reader import QUIET_S, PhoneReader
from assistant.ears.phone_search import PhoneSearch, nearness
from assistant.ears.pronunciation import Pronouncer
from grammar.network import Arc, Network
from grammar.phrasebook import lexicon
from grammar.sounds import distance

BEHIND = -8.5  # nats by which the phrase may fall behind its rivals
ANOTHER = 1.0  # phones by which a rival differs from the word in whose place it is: less is an accent
WITHIN = 1.0  # nats of the likeliest, in which it is looked for


class Rivals:
    """What may be said in the place of one phrase."""

    def __init__(self, phrase: Sequence[str], pronouncer: Pronouncer) -> None:
        """Load the reader's model."""
        self._phrase, self._says = tuple(phrase), pronouncer.ways
        self._reader = PhoneReader()
        last = len(self._phrase)
        arcs = [
            Arc(at, at + 1, said)
            for at, word in enumerate(self._phrase)
            for said in (word, *_instead_of(word, pronouncer))
        ]
        self._search = PhoneSearch(Network(0, last, tuple(arcs), last + 1), self._says)

    def are_likelier(self, sound: Sound) -> bool:
        """Whether this stretch of sound is not the phrase, but something like it."""
        reading = self._reader.read(surrounded(levelled(sound), QUIET_S))
        own = nearness([self._phrase], self._says, reading).get(self._phrase, -math.inf)
        return any(own < likeliest.score + BEHIND for likeliest in self._search.sentences(reading, 1, WITHIN))


def _instead_of(word: str, pronouncer: Pronouncer) -> list[str]:
    """Everyday words that sound otherwise."""
    own = pronouncer.ways(word)[0]
    return [said for said in _everyday() if all(distance(own, way) >= ANOTHER for way in pronouncer.ways(said))]


@cache
def _everyday() -> tuple[str, ...]:
    """The words around a question, which the phrases list."""
    lists = (lexicon().listed(f"common.{rule}") for rule in ("light", "soft", "hard", "chatter"))
    return tuple(sorted(set().union(*lists)))
