"""Which of several sentences was said, by what two listeners hold of each, and how sure that is.

Every opinion counts for the sentences that it favours; added up they choose. How sure that is, is another sum: of how
far the choice is ahead of the others, how near it is to the phones that were read, and how far the speaker is above the
room.

The weights for a grammar of few words are those under which what was said was likeliest, over 106 recordings of people
that the phone reader was not taught with, clean and at two levels of noise (DEVELOPERS.md has how weights from four
fifths of them do on the fifth). Among a book's many names the listeners count for more beside the words: so it came out
over 23 lines of the demo scripts by six synthetic voices in four rooms. What is needed to be sure was set over the
same: of a hundred of people's commands at most two are acted on wrongly in any noise, and of those lines about one.
Among many names a sentence must be likelier than all others together, in a quiet room too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.ears.denoise import QUIET_ROOM_DB

ARTICLES = frozenset({"a", "an", "the"})

# How far a sentence may fall behind a free reading of the phones, in nats a letter: of what people said to their
# grammar all but 2% stayed above -1.2 at 6 dB, of sixteen sentences of another grammar none came above -1.9.
FARTHEST, FAR_SLOPE = -1.6, 0.15
LEAST_DOUBT = 1e-3  # that none of the sentences weighed was said, as odds


@dataclass(frozen=True)
class Candidate:
    """A sentence that may have been said, and what each listener holds of it."""

    text: str
    heard: bool  # by PocketSphinx, among those that are weighed
    phones: float  # nats that it is ahead of a free reading of the phones (0 or less)

    @property
    def near(self) -> float:
        """The same for each letter, so that long sentences and short ones compare."""
        return self.phones / len(self.text)


@dataclass(frozen=True)
class Choosing:
    """What each opinion counts for a sentence, as log odds."""

    heard: float
    phones: float  # each nat
    word: float  # each word: the reading of phones likes short sentences

    def weight(self, each: Candidate) -> float:
        """All opinions together."""
        words = sum(word not in ARTICLES for word in each.text.split())
        return self.heard * each.heard + self.phones * each.phones + self.word * words


@dataclass(frozen=True)
class Sureness:
    """What counts for acting on the choice, beside how far it is ahead of all others together, and how much is needed.

    All as log odds.
    """

    near: float  # each nat a letter
    quiet: float  # each dB that the speaker is above the room, up to a quiet one
    needed: float

    def of(self, chosen: Candidate, ahead: float, above_room_db: float) -> float:
        """How sure the choice is: 0 to 1, 0.5 being sure enough."""
        quiet = self.quiet * min(above_room_db, QUIET_ROOM_DB)
        is_the_one = logistic(ahead + self.near * chosen.near + quiet - self.needed)
        is_one_at_all = logistic((chosen.near - FARTHEST) / FAR_SLOPE)
        return is_the_one * is_one_at_all


@dataclass(frozen=True)
class Weights:
    """For one kind of network."""

    choosing: Choosing
    sure: Sureness


FEW_WORDS = Weights(Choosing(heard=1.5, phones=0.42, word=3.7), Sureness(near=3, quiet=0.08, needed=1.6))
MANY_NAMES = Weights(Choosing(heard=2.7, phones=0.63, word=0.9), Sureness(near=0.9, quiet=0.03, needed=1.7))


def choose(
    found: Sequence[Candidate], weights: Weights, above_room_db: float = QUIET_ROOM_DB
) -> tuple[str, float, tuple[str, ...]]:
    """The likeliest sentence, how sure it is (0 to 1, 0.5 being sure enough), and the others, likeliest first."""
    if not found:
        return "", 0.0, ()
    weigh = weights.choosing.weight
    best, *others = sorted(found, key=weigh, reverse=True)
    against = sum(math.exp(weigh(each) - weigh(best)) for each in others)
    sure = weights.sure.of(best, -math.log(LEAST_DOUBT + against), above_room_db)
    return best.text, sure, tuple(each.text for each in others)


def logistic(value: float) -> float:
    """Log odds as 0 to 1."""
    return 1 / (1 + math.exp(-max(min(value, 30.0), -30.0)))
