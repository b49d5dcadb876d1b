"""Which of several sentences was said, by what two listeners hold of each, and how sure that is.

Every opinion counts for the sentences that it favours; added up they choose. How sure that is, follows: by how far the
choice is ahead of all sentences together that mean something else, if it is near enough to the phones to have been said
at all.

The weights for a grammar of few words are those under which what was said was likeliest, over 106 recordings of people
that the phone reader was not taught with, clean and at two levels of noise (DEVELOPERS.md has how weights from some
of them do on the others). Those for a book's many names come from 94 lines of the demo scripts in four rooms, by
eight synthetic voices that no benchmark has. What is needed to be sure was set over the same: of a hundred of people's
commands at most two are acted on wrongly in any noise, of those lines about one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

ARTICLES = frozenset({"a", "an", "the"})

# How far a sentence may fall behind a free reading of the phones, in nats a letter: of what people said to their
# grammar all stayed above -0.9 at 6 dB, of lines behind other voices' talk all but 1% above -1.4; of ninety sentences
# of talk in a bar none came above -1.8.
FARTHEST, FAR_SLOPE = -1.6, 0.15
LEAST_DOUBT = 1e-3  # that none of the sentences weighed was said, as odds
NO_RIVAL = 7.0  # log odds behind the choice from which on a sentence takes nothing from it, whatever it means


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
class Weights:
    """What each opinion counts for a sentence, and what it takes to be sure of one; as log odds."""

    heard: float
    phones: float  # each nat
    word: float  # each word: the reading of phones likes short sentences
    needed: float  # to be ahead of all others together

    def weight(self, each: Candidate) -> float:
        """All opinions together."""
        words = sum(word not in ARTICLES for word in each.text.split())
        return self.heard * each.heard + self.phones * each.phones + self.word * words


FEW_WORDS = Weights(heard=1.88, phones=0.38, word=1.84, needed=0.5)
MANY_NAMES = Weights(heard=1.76, phones=0.69, word=0.17, needed=1.1)


def choose(
    found: Sequence[Candidate],
    weights: Weights,
    meaning: Callable[[str], object] = str,
) -> tuple[str, float, tuple[str, ...]]:
    """The likeliest sentence, how sure it is (0 to 1, 0.5 being sure enough), and the others, likeliest first.

    Those that mean the same as the choice say nothing against it, and are left out.
    """
    if not found:
        return "", 0.0, ()
    weigh = weights.weight
    best, *others = sorted(found, key=weigh, reverse=True)
    if others and weigh(best) - weigh(others[0]) < NO_RIVAL:
        meant = meaning(best.text)
        others = [each for each in others if weigh(best) - weigh(each) >= NO_RIVAL or meaning(each.text) != meant]
    against = sum(math.exp(weigh(each) - weigh(best)) for each in others)
    is_the_one = logistic(-math.log(LEAST_DOUBT + against) - weights.needed)
    is_one_at_all = logistic((best.near - FARTHEST) / FAR_SLOPE)
    return best.text, is_the_one * is_one_at_all, tuple(each.text for each in others)


def logistic(value: float) -> float:
    """Log odds as 0 to 1."""
    return 1 / (1 + math.exp(-max(min(value, 30.0), -30.0)))
