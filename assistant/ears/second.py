"""What English was said, by two listeners that err in different ways.

Phones read off the sound by a neural network give the sentences that come nearest to them, of each meaning one
(`phone_reader`, `phone_search`). PocketSphinx tells which of these it would have heard, in the same sound without the
room's noise. Both opinions are weighed against each other (`weighing`). Phones are read with the room in place: taking
it out spoils many names, more so the more of the room is talk. Where few words are to be told apart, what comes near
without the room is weighed too. All this was measured (DEVELOPERS.md).
"""

from __future__ import annotations

import logging
import time
from collections.abc import Iterable
from itertools import chain
from typing import Protocol

import numpy as np

from assistant.ears.base import RATE, Sound
from assistant.ears.denoise import heard_apart
from assistant.ears.errors import WordNotSayable
from assistant.ears.leaving_out import without
from assistant.ears.levels import WINDOW, is_silent, levelled, surrounded, window_powers
from assistant.ears.phone_reader import QUIET_S, PhoneReader, PhoneReading
from assistant.ears.phone_search import PhoneSearch, nearness
from assistant.ears.pocketsphinx import PocketSphinx
from assistant.ears.pronunciation import Pronouncer
from assistant.ears.weighing import ARTICLES, FEW_WORDS, MANY_NAMES, Candidate, choose
from assistant.messages import Heard
from grammar.network import Network

log = logging.getLogger(__name__)

SOFTEST_DB = 30.0  # below the loudest: less is no beginning of speech, nor its end
AROUND = RATE * 15 // 100  # samples kept before and after
SHORTEST_S = 0.1  # nothing can be said in less
MANY_ARCS = 3_000  # of a network: more have many names, and are heard as such

MOST_NEAR = 64  # sentences asked of the search: those that mean the same count once
MOST_WEIGHED = 16
WORTH = 8.0  # log odds by phones that a sentence may be behind the nearest and still be weighed


class Means(Protocol):
    """Which sentences mean the same."""

    def gist(self, text: str) -> str:
        """The same only for sentences that mean the same: told at once, of any number."""

    def meaning(self, text: str) -> object:
        """Equal for sentences that mean the same: told at leisure, of a few."""


class AsSaid:
    """Those that differ in nothing but articles, which change no command in any grammar."""

    def gist(self, text: str) -> str:
        """The words but for articles."""
        return " ".join(word for word in text.split() if word not in ARTICLES)

    meaning = gist


AS_SAID = AsSaid()


class SecondOpinion:
    """Hears the sentences of one network."""

    name = PocketSphinx.name

    def __init__(
        self,
        network: Network,
        means: Means = AS_SAID,
        lenient: bool = False,
        chooser: PocketSphinx | None = None,
    ) -> None:
        """Load the models, but for a chooser that is there already: several networks may share one.

        Raises WordNotSayable for words that have no sound (digits, other scripts); leaves them out when `lenient`.
        """
        self._chooser = chooser or PocketSphinx()
        pronouncer = self._chooser.pronouncer
        network = _sayable(network, pronouncer, lenient)
        self._means, self._says = means, pronouncer.ways
        self._weights = MANY_NAMES if len(network.arcs) > MANY_ARCS else FEW_WORDS
        self._reader, self._search = PhoneReader(), PhoneSearch(network, self._says)

    def hear(self, sound: Sound) -> Heard:
        """What most likely was said; the other sentences that were weighed are its alternatives."""
        started = time.perf_counter()
        is_speech = sound.seconds >= SHORTEST_S and not is_silent(sound)
        text, confidence, others = self._weighed(sound) if is_speech else ("", 0.0, ())
        return Heard(text, confidence, others, self.name, sound.seconds, time.perf_counter() - started)

    def close(self) -> None:
        """Nothing to let go of: the models go with this object."""

    def _weighed(self, sound: Sound) -> tuple[str, float, tuple[str, ...]]:
        whole = heard_apart(sound)
        spoken = span(whole)
        apart = _ready(Sound(whole.samples[spoken]))
        reading = self._reader.read(_ready(levelled(Sound(sound.samples[spoken]))))
        readings = (reading, self._reader.read(apart)) if self._weights is FEW_WORDS else (reading,)
        found = self._near(readings)
        chosen = self._chooser.likeliest(found, apart) if len(found) > 1 else "".join(found)
        phones = nearness([tuple(text.split()) for text in found], self._says, reading)
        weighed = [Candidate(" ".join(words), " ".join(words) == chosen, score) for words, score in phones.items()]
        return choose(weighed, self._weights, self._means.meaning)

    def _near(self, readings: Iterable[PhoneReading]) -> list[str]:
        """The sentences to weigh: of each reading the nearest, and none that means the same as one before it."""
        within = WORTH / self._weights.phones
        near = (self._search.sentences(reading, MOST_NEAR, within) for reading in readings)
        texts = ([" ".join(sentence.words) for sentence in sentences] for sentences in near)
        some = [of_each_gist(each, self._means)[:MOST_WEIGHED] for each in texts]
        return of_each_gist(chain.from_iterable(some), self._means)


def span(sound: Sound) -> slice:
    """The samples from a little before the first that are loud enough for speech to a little after the last."""
    power = window_powers(sound)
    loud = np.flatnonzero(power > power.max(initial=0.0) * 10 ** (-SOFTEST_DB / 10)) * WINDOW
    return slice(max(0, int(loud[0]) - AROUND), int(loud[-1]) + WINDOW + AROUND) if len(loud) else slice(None)


def of_each_gist(texts: Iterable[str], means: Means) -> list[str]:
    """The first sentence of each gist."""
    first: dict[str, str] = {}
    for text in texts:
        first.setdefault(means.gist(text), text)
    return list(first.values())


def _sayable(network: Network, pronouncer: Pronouncer, lenient: bool) -> Network:
    mute = pronouncer.unsayable(network.words)
    if not mute:
        return network
    if not lenient:
        raise WordNotSayable(PocketSphinx.name, mute)
    log.warning("cannot listen for %s", ", ".join(mute))
    return without(network, frozenset(mute))


def _ready(sound: Sound) -> Sound:
    """As listeners like it: beginning and ending in silence."""
    return surrounded(sound, QUIET_S)
