"""A second opinion on what was said, from a listener that errs elsewhere than PocketSphinx does.

PocketSphinx hears a sentence, in the sound as it came and in the same sound without the room's noise. Phones read off
the sound by a neural network give the sentences that come nearest to them (`phone_reader`, `phone_search`). All of
these are weighed against each other (`weighing`). Taking the room out helps to tell few words apart and spoils many
names, more so the more of the room is talk: so it was measured (DEVELOPERS.md), and so phones are read.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from itertools import combinations

import numpy as np

from assistant.ears.base import RATE, Recogniser, Sound
from assistant.ears.denoise import depth_db, heard_apart
from assistant.ears.levels import WINDOW, is_silent, levelled, surrounded, window_powers
from assistant.ears.phone_reader import QUIET_S, PhoneReader, PhoneReading, is_here
from assistant.ears.phone_search import PhoneSearch, Says, Sentence, nearness
from assistant.ears.pocketsphinx import SHORTEST_S, PocketSphinx
from assistant.ears.pronunciation import Pronouncer
from assistant.ears.weighing import ARTICLES, FEW_WORDS, MANY_NAMES, Candidate, choose
from assistant.messages import Heard
from grammar.network import Network

SOFTEST_DB = 30.0  # below the loudest: less is no beginning of speech, nor its end
AROUND = RATE * 15 // 100  # samples kept before and after
LET_BEGIN_S = 0.001  # PocketSphinx lets no other thread have the interpreter until it has heard

MOST_NEAR = 24  # sentences asked of the search: those that mean the same count once
MOST_WEIGHED = 8
MOST_LEFT_OUT = 3  # words, of one sentence
AS_NEAR = 2.0  # nats that a wording may be behind another of the same meaning, and be kept
WORTH = 3.5  # log odds that a sentence may be behind the nearest and still say something against it
Means = Callable[[str], str]  # the same for sentences that mean the same


class SecondOpinion:
    """PocketSphinx, and a reader of phones beside it."""

    name = PocketSphinx.name

    def __init__(self, first: PocketSphinx, network: Network, says: Says, means: Means) -> None:
        self._first, self._network, self._says, self._means = first, network, says, means
        self._weights = FEW_WORDS if first.is_quick else MANY_NAMES
        self._reader, self._search = PhoneReader(), PhoneSearch(network, says)
        self._aside = ThreadPoolExecutor(1, "second opinion")

    def hear(self, sound: Sound) -> Heard:
        """What most likely was said; the other sentences that were weighed are its alternatives."""
        if is_silent(sound) or sound.seconds < SHORTEST_S:
            return self._first.hear(sound)
        started = time.perf_counter()
        whole = heard_apart(sound)
        spoken = span(whole)
        apart = _ready(Sound(whole.samples[spoken]))
        as_it_came = _ready(levelled(Sound(sound.samples[spoken])))
        has_few_words = self._first.is_quick
        aside = self._aside.submit(self._read, apart if has_few_words else as_it_came)  # on the other core
        time.sleep(LET_BEGIN_S)
        heard = self._first.nearest(apart)
        again = self._first.nearest(as_it_came) if has_few_words else heard
        reading, near = aside.result()
        said = [words for text in dict.fromkeys((heard, again)) for words in self._in_fewer(text)]
        found = sentences_to_weigh(said, near, self._means)
        phones = nearness([tuple(text.split()) for text in found], self._says, reading)
        weighed = candidates(again, heard, {" ".join(words): score for words, score in phones.items()}, self._means)
        text, confidence, others = choose(weighed, self._weights, depth_db(sound))
        return Heard(text, confidence, others, self.name, sound.seconds, time.perf_counter() - started)

    def _in_fewer(self, text: str) -> Iterator[str]:
        return in_fewer_words(text, self._network, self._means)

    def close(self) -> None:
        """End the thread, and the first recogniser."""
        self._aside.shutdown()
        self._first.close()

    def _read(self, apart: Sound) -> tuple[PhoneReading, list[Sentence]]:
        reading = self._reader.read(apart)
        return reading, self._search.sentences(reading, MOST_NEAR, WORTH / self._weights.choosing.phones)


def without_articles(text: str) -> str:
    """The words but for articles, which change no command in any grammar."""
    return " ".join(word for word in text.split() if word not in ARTICLES)


def with_second_opinion(first: PocketSphinx, network: Network, means: Means = without_articles) -> Recogniser:
    """The recogniser with another beside it, where that is installed; else the recogniser alone."""
    return SecondOpinion(first, network, Pronouncer().ways, means) if is_here() else first


def span(sound: Sound) -> slice:
    """The samples from a little before the first that are loud enough for speech to a little after the last."""
    power = window_powers(sound)
    loud = np.flatnonzero(power > power.max(initial=0.0) * 10 ** (-SOFTEST_DB / 10)) * WINDOW
    return slice(max(0, int(loud[0]) - AROUND), int(loud[-1]) + WINDOW + AROUND) if len(loud) else slice(None)


def in_fewer_words(text: str, network: Network, means: Means = without_articles) -> Iterator[str]:
    """A sentence, and what is left of it when words go that change nothing, as far as that is a sentence too.

    PocketSphinx puts such words in where it hears something between two that were said.
    """
    words, meaning = text.split(), means(text)
    empty = [place for place in range(len(words)) if means(" ".join(words[:place] + words[place + 1 :])) == meaning]
    for count in range(min(len(empty), MOST_LEFT_OUT) + 1):
        for going in combinations(empty, count):
            left = [word for place, word in enumerate(words) if place not in going]
            if not count or (means(" ".join(left)) == meaning and network.accepts(left)):
                yield " ".join(left)


def sentences_to_weigh(heard: Iterable[str], near: Iterable[Sentence], means: Means = without_articles) -> list[str]:
    """What PocketSphinx heard, and the nearest to the phones of each of a few meanings."""
    found = {text: means(text) for text in heard if text}
    nearest: dict[str, str] = {}
    for text in (" ".join(sentence.words) for sentence in near):
        if len({*found.values(), *nearest, means(text)}) <= MOST_WEIGHED:
            nearest.setdefault(means(text), text)
    return list(dict.fromkeys((*found, *nearest.values())))


def candidates(as_it_came: str, apart: str, scores: Mapping[str, float], means: Means) -> list[Candidate]:
    """The sentences that have scores, as they are weighed: of those that mean the same, one.

    It is the first, which is PocketSphinx's if that heard it so, unless another is clearly nearer.
    """
    best: dict[str, str] = {}  # of each meaning
    for text, score in scores.items():
        if score > scores[best.setdefault(means(text), text)] + AS_NEAR:
            best[means(text)] = text
    return [
        Candidate(text, meaning == means(as_it_came), meaning == means(apart), scores[text])
        for meaning, text in best.items()
    ]


def _ready(sound: Sound) -> Sound:
    """As listeners like it: beginning and ending in silence."""
    return surrounded(sound, QUIET_S)
