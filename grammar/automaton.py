"""Finite automata over words: drafted with silent moves, made deterministic by subsets and minimal by refinement."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import count

MOST_STATES = 100_000  # fifty times the house's own grammar
MOST_WORK = 5_000_000  # states looked at while they are put together or told apart: a few seconds


class TooLarge(Exception):  # noqa: N818  # says what happened, not that it is an error
    """There is more to say than fits; `build` tells it as a fault of the grammar."""


@dataclass(frozen=True)
class Automaton:
    """Deterministic: `arcs[state]` maps a word to the state it leads to."""

    start: int
    finals: frozenset[int]
    arcs: tuple[dict[str, int], ...]

    def minimal(self) -> Automaton:
        """The smallest automaton with the same sentences: states that cannot be told apart are one (Moore, 1956).

        Raises TooLarge when that would take too long: most take a few rounds, a chain as many as it has states.
        """
        alive = self._alive()
        block = [0 if state in self.finals else 1 for state in range(len(self.arcs))]
        blocks = 0
        for _ in range(max(MOST_WORK // max(len(self.arcs), 1), 1)):
            signs: defaultdict[object, int] = defaultdict(count().__next__)
            block = [
                signs[block[state], frozenset((word, block[to]) for word, to in arcs.items() if to in alive)]
                if state in alive
                else -1
                for state, arcs in enumerate(self.arcs)
            ]
            if len(signs) == blocks:
                return self._merged(block, blocks)
            blocks = len(signs)
        raise TooLarge

    def _alive(self) -> set[int]:
        """The states from which a sentence can still end."""
        before: defaultdict[int, list[int]] = defaultdict(list)
        for state, arcs in enumerate(self.arcs):
            for to in arcs.values():
                before[to].append(state)
        alive = set(self.finals)
        waiting = list(alive)
        while waiting:
            for state in before[waiting.pop()]:
                if state not in alive:
                    alive.add(state)
                    waiting.append(state)
        return alive

    def _merged(self, block: list[int], blocks: int) -> Automaton:
        arcs: list[dict[str, int]] = [{} for _ in range(blocks)]
        for state, out in enumerate(self.arcs):
            if block[state] >= 0:
                arcs[block[state]] = {word: block[to] for word, to in out.items() if block[to] >= 0}
        finals = frozenset(block[state] for state in self.finals)
        return Automaton(max(block[self.start], 0), finals, tuple(arcs))


class Draft:
    """An automaton being drawn: any number of arcs with the same word, and silent moves."""

    def __init__(self) -> None:
        self._arcs: list[list[tuple[str, int]]] = []
        self._silent: list[list[int]] = []

    def state(self) -> int:
        """A new state. Raises TooLarge."""
        if len(self._arcs) == MOST_STATES:
            raise TooLarge
        self._arcs.append([])
        self._silent.append([])
        return len(self._arcs) - 1

    def arc(self, source: int, word: str, target: int) -> None:
        """One more way from a state, by a word."""
        self._arcs[source].append((word, target))

    def silent(self, source: int, target: int) -> None:
        """One more way from a state, by saying nothing."""
        self._silent[source].append(target)

    def automaton(self, start: int, final: int) -> Automaton:
        """The deterministic automaton with the same sentences, by the subset construction (Rabin and Scott, 1959).

        Raises TooLarge.
        """
        closures: dict[int, frozenset[int]] = {}
        first = self._closure(start, closures)
        numbers = {first: 0}
        waiting = [first]
        arcs: list[dict[str, int]] = []
        work = 0
        for subset in waiting:
            moves: defaultdict[str, set[int]] = defaultdict(set)
            for state in subset:
                for word, target in self._arcs[state]:
                    closure = self._closure(target, closures)
                    moves[word] |= closure
                    work += len(closure)
            if work > MOST_WORK:
                raise TooLarge
            out: dict[str, int] = {}
            for word, targets in moves.items():
                reached = frozenset(targets)
                if reached not in numbers:
                    if len(numbers) == MOST_STATES:
                        raise TooLarge
                    numbers[reached] = len(waiting)
                    waiting.append(reached)
                out[word] = numbers[reached]
            arcs.append(out)
        return Automaton(0, frozenset(n for subset, n in numbers.items() if final in subset), tuple(arcs))

    def _closure(self, state: int, known: dict[int, frozenset[int]]) -> frozenset[int]:
        """What is reached by saying nothing; of those, only the states that have words to say or end matter."""
        if state not in known:
            reached = {state}
            waiting = [state]
            while waiting:
                for target in self._silent[waiting.pop()]:
                    if target not in reached:
                        reached.add(target)
                        waiting.append(target)
            known[state] = frozenset(s for s in reached if self._arcs[s] or not self._silent[s])
        return known[state]
