"""The sentences of a network that come nearest to the phones read off a sound.

The phones come as a score for each phone at each moment (`assistant.ears.phone_reader`). A sentence is laid over them
as such readers are trained (connectionist temporal classification, Graves et al. 2006): each phone lasts a moment or
more, with or without a pause after it; two of the same kind need one. Its score says how far it falls behind a free
reading of the same sound, 0 being not at all, so scores of different networks compare.

Of a network of thousands of names nearly all words are nowhere in the sound. Each word is looked for by itself first,
wherever it fits best; no sentence can be nearer than its words so taken. Ways through the network that cannot come near
are left out before sentences are tried. The nearest sentence is the same as with all of them, unless it is so far from
what was read that more ways than MOST_LANES could come nearer.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from assistant.ears.phone_reader import PHONE_NUMBER, PhoneReading
from grammar.network import SILENT, Arc, Network
from grammar.sounds import Phones

Floats = NDArray[np.float32]
Numbers = NDArray[np.int32]
Says = Callable[[str], Iterable[Phones]]  # every way to say a word

NEVER = np.float32(-1e9)  # the score of what cannot be
FIRST_ALLOWED = 10.0  # nats that a sentence may be behind what can be hoped for, at first
MOST_LANES = 8_000  # tried, the likeliest: 180 lines by four voices came out as with all 40,000, with 4,000 one did not
MOST_STEPS = 20_000  # of looking for further sentences
WHOLE = -1  # no state: a sentence that lacks nothing


@dataclass(frozen=True)
class Sentence:
    """A sentence, and how many nats it is ahead of a free reading: 0 or less."""

    words: tuple[str, ...]
    score: float


class PhoneSearch:
    """Finds sentences of one network."""

    def __init__(self, network: Network, says: Says) -> None:
        spoken = [arc for arc in network.arcs if arc.word != SILENT]
        self._network = network
        self._words = sorted(network.words)
        number = {word: n for n, word in enumerate(self._words)}
        ways = {word: [_numbered(way) for way in says(word)] for word in self._words}
        self._alone = _lanes((0, 0, number[word], way) for word in self._words for way in ways[word])
        self._all = _lanes((arc.source, arc.target, number[arc.word], way) for arc in spoken for way in ways[arc.word])
        first_way = dict(zip(self._words, np.cumsum([0, *(len(ways[word]) for word in self._words)]), strict=False))
        self._alone_of = np.array(
            [first_way[arc.word] + way for arc in spoken for way in range(len(ways[arc.word]))], np.intp
        )
        self._silent = _in_rounds([arc for arc in network.arcs if arc.word == SILENT])

    def sentences(self, reading: PhoneReading, most: int, within: float) -> list[Sentence]:
        """The nearest ones, the nearest first: at most so many, and none that is further behind the first (nats).

        The first has its own score. Another may have a better one than it is told with: where its words begin is taken
        from the best sentence that has them. `nearness` scores each by itself.
        """
        hopes = self._hopes(reading)
        worst, best = _least_of_the_best(hopes, MOST_LANES), float(hopes.max(initial=NEVER))
        floor = max(worst, best - FIRST_ALLOWED)
        while True:
            found = self._over(reading, self._all.only(hopes >= floor), most, within)
            needed = found[0].score - within if found else 2 * floor - best
            if floor <= max(worst, needed):
                return found
            floor = max(worst, needed)

    def _hopes(self, reading: PhoneReading) -> Floats:
        """For each lane, a score that no sentence through it can pass: its words' own best, wherever they fit."""
        lanes, alone = self._all, self._words_alone(reading)[self._alone_of]
        forth = self._hopes_from(self._network.start, lanes.source, lanes.target, alone, self._silent)
        turned = [(targets, sources) for sources, targets in reversed(self._silent)]
        back = self._hopes_from(self._network.final, lanes.target, lanes.source, alone, turned)
        hopes: Floats = np.maximum(forth[lanes.source] + alone + back[lanes.target], NEVER)
        return hopes

    def _hopes_from(
        self, state: int, sources: Numbers, targets: Numbers, alone: Floats, silent: Sequence[tuple[Numbers, Numbers]]
    ) -> Floats:
        """For each state, the same of all ways there, by the algorithm of Bellman and Ford."""
        order, found, firsts = _grouped(targets)
        hopes = np.full(self._network.size, NEVER)
        hopes[state] = 0
        before = np.empty(0, np.float32)
        while not np.array_equal(before, hopes):
            before = hopes.copy()
            for here, there in silent:
                np.maximum.at(hopes, there, hopes[here])
            if len(order):
                there = np.maximum.reduceat((hopes[sources] + alone)[order], firsts)
                hopes[found] = np.maximum(hopes[found], there)
        return hopes

    def _words_alone(self, reading: PhoneReading) -> Floats:
        """For each way to say a word, how far it is behind a free reading wherever it fits best."""
        run = _Run(self._alone)
        best = np.full(len(self._alone.first), NEVER)
        for moment, pause in enumerate(reading.pause):
            run.step(reading.phones[moment], pause, np.float32(0), moment)
            best = np.maximum(best, run.ends()[0])
        return best

    def _over(self, reading: PhoneReading, lanes: _Lanes, most: int, within: float) -> list[Sentence]:
        if not len(lanes.first):
            return []
        search = _Search(lanes, self._silent, self._network)
        search.over(reading)
        return [
            Sentence(tuple(self._words[number] for number in words), score)
            for words, score in _Retraced(search, within).sentences(most)
        ]


def nearness(said: Iterable[tuple[str, ...]], says: Says, reading: PhoneReading) -> dict[tuple[str, ...], float]:
    """The score of each of these sentences, as `Sentence` has it; one that has more phones than time is left out."""
    ends: dict[tuple[str, ...], int] = {}
    arcs: list[Arc] = []
    for words in dict.fromkeys(said):
        states = [0, *range(len(arcs) + 1, len(arcs) + 1 + len(words))]
        arcs += [Arc(here, there, word) for (here, there), word in zip(pairwise(states), words, strict=True)]
        ends[words] = states[-1]
    if not arcs:
        return {}
    lanes = _lanes((arc.source, arc.target, 0, _numbered(way)) for arc in arcs for way in says(arc.word))
    search = _Search(lanes, [], Network(0, 0, tuple(arcs), len(arcs) + 1))
    search.over(reading)
    scores = {words: float(search.at[-1, end]) for words, end in ends.items()}
    return {words: score for words, score in scores.items() if score > NEVER / 2}


@dataclass(frozen=True)
class Place:
    """Where in a reading something was said, in moments, and how many nats it is ahead of a free reading: 0 or less."""

    score: float
    begins: int
    ends: int


def anywhere(ways: Iterable[Phones], reading: PhoneReading) -> Place:
    """Where one of these ways to say something fits best, whatever is said before it and after."""
    run = _Run(_lanes((0, 0, 0, _numbered(way)) for way in ways))
    best = Place(float(NEVER), 0, 0)
    for moment, pause in enumerate(reading.pause):
        run.step(reading.phones[moment], pause, np.float32(0), moment)
        scores, begun = run.ends()
        first = int(scores.argmax())
        if scores[first] > best.score:
            best = Place(float(scores[first]), int(begun[first]), moment + 1)
    return best


@dataclass(frozen=True)
class _Lanes:
    """Ways to say words, one after the other, as one row of phones."""

    phones: Numbers
    repeats: Numbers  # places whose phone is that of the place before, in the same word
    first: Numbers  # of each lane: the place of its first phone
    last: Numbers
    source: Numbers  # of each lane: the state it goes from
    target: Numbers
    word: Numbers

    def only(self, wanted: NDArray[np.bool_]) -> _Lanes:
        """Some of the lanes, closed up."""
        lengths = (self.last - self.first + 1)[wanted]
        last = np.cumsum(lengths, dtype=np.int32) - 1
        first = (last - lengths + 1).astype(np.int32)
        places = np.arange(lengths.sum(), dtype=np.int32) + np.repeat(self.first[wanted] - first, lengths)
        return _with_repeats(
            self.phones[places], first, last, self.source[wanted], self.target[wanted], self.word[wanted]
        )


def _numbered(way: Phones) -> list[int]:
    return [PHONE_NUMBER[phone] for phone in way]


def _lanes(ways: Iterable[tuple[int, int, int, Sequence[int]]]) -> _Lanes:
    """From source, target, word and phones of each."""
    laid = list(ways)
    lengths = np.array([len(way[3]) for way in laid], np.int32)
    last = np.cumsum(lengths, dtype=np.int32) - 1
    phones = np.array([phone for way in laid for phone in way[3]], np.int32)
    source, target, word = (np.array([way[part] for way in laid], np.int32) for part in range(3))
    return _with_repeats(phones, (last - lengths + 1).astype(np.int32), last, source, target, word)


def _with_repeats(
    phones: Numbers, first: Numbers, last: Numbers, source: Numbers, target: Numbers, word: Numbers
) -> _Lanes:
    repeated = np.zeros(len(phones), bool)
    repeated[1:] = phones[1:] == phones[:-1]
    repeated[first] = False
    return _Lanes(phones, np.flatnonzero(repeated).astype(np.int32), first, last, source, target, word)


def _least_of_the_best(hopes: Floats, most: int) -> float:
    """What a lane must be able to hope for, to be among so many."""
    hopeful = hopes[hopes > NEVER / 2]
    return float(np.partition(hopeful, -most)[-most] if len(hopeful) > most else hopeful.min(initial=0.0))


class _Run:
    """All lanes at one moment: the best score of being in each phone, or in the pause after it."""

    def __init__(self, lanes: _Lanes) -> None:
        self._lanes = lanes
        places = len(lanes.phones)
        self._in_phone, self._in_pause, self._enter = (np.full(places, NEVER) for _ in range(3))
        self._phone_begun, self._pause_begun, self._enter_begun = (np.zeros(places, np.int32) for _ in range(3))

    def step(self, phones: Floats, pause: np.float32, entering: Floats | np.float32, moment: int) -> None:
        """One moment on; `entering` is the score with which each lane begins, or all of them."""
        lanes = self._lanes
        speaks = self._in_phone >= self._in_pause
        best = np.where(speaks, self._in_phone, self._in_pause)
        begun = np.where(speaks, self._phone_begun, self._pause_begun)
        enter, enter_begun = self._enter, self._enter_begun
        enter[1:], enter_begun[1:] = best[:-1], begun[:-1]
        enter[lanes.repeats] = self._in_pause[lanes.repeats - 1]
        enter_begun[lanes.repeats] = self._pause_begun[lanes.repeats - 1]
        enter[lanes.first], enter_begun[lanes.first] = entering, moment
        stays = self._in_phone >= enter
        self._in_phone = np.where(stays, self._in_phone, enter) + phones[lanes.phones]
        self._phone_begun = np.where(stays, self._phone_begun, enter_begun)
        self._in_pause, self._pause_begun = best + pause, begun

    def ends(self) -> tuple[Floats, Numbers]:
        """The score of each lane's end, and at which moment it began."""
        last = self._lanes.last
        speaks = self._in_phone[last] >= self._in_pause[last]
        scores = np.where(speaks, self._in_phone[last], self._in_pause[last])
        return scores, np.where(speaks, self._phone_begun[last], self._pause_begun[last])


class _Search:
    """The best way to each state at each moment."""

    at: Floats  # moments + 1 x states: the best score of any way there
    ends: Floats  # moments x lanes: the same, of the ways that end in this word
    begun: Numbers  # moments x lanes: at which moment that word began
    waited: Floats  # moments + 1: the score of having said nothing so far

    def __init__(self, lanes: _Lanes, silent: Sequence[tuple[Numbers, Numbers]], network: Network) -> None:
        self.lanes, self.silent = lanes, silent
        self.start, self.final, self._size = network.start, network.final, network.size

    def over(self, reading: PhoneReading) -> None:
        """Lay all sentences over the sound."""
        moments, lanes = len(reading.pause), self.lanes
        self.at = np.full((moments + 1, self._size), NEVER)
        self.ends = np.full((moments, len(lanes.first)), NEVER)
        self.begun = np.zeros((moments, len(lanes.first)), np.int32)
        self.waited = np.concatenate([[0], np.cumsum(reading.pause)]).astype(np.float32)
        order, targets, firsts = _grouped(lanes.target)
        run = _Run(lanes)
        self._go_silently(0)
        for moment, pause in enumerate(reading.pause):
            run.step(reading.phones[moment], pause, self.at[moment, lanes.source], moment)
            self.ends[moment], self.begun[moment] = run.ends()
            self.at[moment + 1, targets] = np.maximum.reduceat(self.ends[moment][order], firsts)
            self._go_silently(moment + 1)

    def _go_silently(self, moment: int) -> None:
        scores = self.at[moment]
        scores[self.start] = max(scores[self.start], self.waited[moment])
        for sources, targets in self.silent:
            np.maximum.at(scores, targets, scores[sources])


class _Retraced:
    """Reads the sentences off a search that is done, from their ends back, the best first (A* search)."""

    def __init__(self, search: _Search, within: float) -> None:
        self._search = search
        self._least = search.at[-1, search.final] - np.float32(within)
        self._into: dict[int, NDArray[np.intp]] = _by_state(search.lanes.target)
        self._silently_into: dict[int, list[int]] = {}
        for sources, targets in search.silent:
            for source, target in zip(sources.tolist(), targets.tolist(), strict=True):
                self._silently_into.setdefault(target, []).append(source)

    def sentences(self, most: int) -> Iterator[tuple[tuple[int, ...], float]]:
        """The words of each by number, and its score; none twice, however many ways there are to say it."""
        search = self._search
        first = float(search.at[-1, search.final])
        waiting = [_Tail(-first, 0, search.final, len(search.ends), 0.0, ())] if first > NEVER / 2 else []
        told: set[tuple[int, ...]] = set()
        steps = count(1)
        while waiting and len(told) < most and next(steps) < MOST_STEPS:
            tail = heapq.heappop(waiting)
            if tail.state == WHOLE and tail.words not in told:
                told.add(tail.words)
                yield tail.words, -tail.score
            elif tail.state != WHOLE:
                for longer in self._longer(tail, steps):
                    if -longer.score > self._least:
                        heapq.heappush(waiting, longer)

    def _longer(self, tail: _Tail, steps: Iterator[int]) -> Iterator[_Tail]:
        """All that can stand before this tail: nothing, another state, or one more word."""
        search, state, moment, after = self._search, tail.state, tail.moment, tail.after
        if state == search.start:
            yield _Tail(-(after + float(search.waited[moment])), next(steps), WHOLE, 0, after, tail.words)
        for source in self._silently_into.get(state, ()):
            yield _Tail(-(after + float(search.at[moment, source])), next(steps), source, moment, after, tail.words)
        if not moment or state not in self._into:
            return
        lanes = self._into[state]
        scores = search.ends[moment - 1, lanes] + np.float32(after)
        for place in np.flatnonzero(scores > self._least).tolist():
            lane = lanes[place]
            source, begun = int(search.lanes.source[lane]), int(search.begun[moment - 1, lane])
            score = float(scores[place])
            words = (int(search.lanes.word[lane]), *tail.words)
            yield _Tail(-score, next(steps), source, begun, score - float(search.at[begun, source]), words)


class _Tail(NamedTuple):
    """The end of a sentence, and how good the best sentence is that ends so (`score`, its sign turned for the heap)."""

    score: float
    step: int  # none twice: what comes after it is never compared
    state: int  # where it begins; WHOLE when nothing is missing
    moment: int
    after: float  # the score of the tail alone
    words: tuple[int, ...]


def _by_state(states: Numbers) -> dict[int, NDArray[np.intp]]:
    """For each state the places at which it stands."""
    if not len(states):
        return {}
    order, found, firsts = _grouped(states)
    return dict(zip(found.tolist(), np.split(order, firsts[1:]), strict=True))


def _grouped(states: Numbers) -> tuple[NDArray[np.intp], Numbers, NDArray[np.intp]]:
    """An order that brings like states together, the states in it, and where each begins in that order."""
    order = np.argsort(states, kind="stable")
    found, firsts = np.unique(states[order], return_index=True)
    return order, found, firsts


def _in_rounds(arcs: Sequence[Arc]) -> list[tuple[Numbers, Numbers]]:
    """Silent arcs in an order in which each is taken after all that lead to it; together where they may be."""
    depth: dict[int, int] = {}
    for _ in arcs:
        before = dict(depth)
        for arc in arcs:
            depth[arc.target] = max(depth.get(arc.target, 0), depth.get(arc.source, 0) + 1)
        if depth == before:
            break
    rounds: dict[int, list[Arc]] = {}
    for arc in arcs:
        rounds.setdefault(depth.get(arc.source, 0), []).append(arc)
    return [
        (np.array([a.source for a in rounds[n]], np.int32), np.array([a.target for a in rounds[n]], np.int32))
        for n in sorted(rounds)
    ]
