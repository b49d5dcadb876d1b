"""The sentence of a network that is nearest to some words, for a recogniser that strays from its grammar."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grammar.network import SILENT, Arc, Network


@dataclass(frozen=True)
class Near:
    """A sentence, and how many words had to be changed, dropped or added to get there."""

    words: tuple[str, ...]
    edits: int


class Finder:
    """Finds the nearest sentences of one network."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._out: defaultdict[int, list[Arc]] = defaultdict(list)
        for arc in network.arcs:
            self._out[arc.source].append(arc)

    def nearest(self, words: Sequence[str], most_edits: int) -> Near | None:
        """The nearest sentence within so many edits, by Dijkstra's algorithm; of several, any."""
        best: dict[tuple[int, int], int] = {}
        waiting: list[tuple[int, int, int, tuple[str, ...]]] = [(0, 0, self._network.start, ())]
        while waiting:
            edits, behind, state, said = heapq.heappop(waiting)
            at = -behind
            if best.get((state, at), most_edits + 1) <= edits:
                continue
            best[state, at] = edits
            if state == self._network.final and at == len(words):
                return Near(said, edits)
            for cost, to, then, word in self._steps(state, words, at):
                if edits + cost <= most_edits:
                    heapq.heappush(waiting, (edits + cost, -then, to, (*said, word) if word else said))
        return None

    def _steps(self, state: int, words: Sequence[str], at: int) -> Iterator[tuple[int, int, int, str]]:
        """The ways on: what each costs, where it leads, how many words are then dealt with, and what is said."""
        more = at < len(words)
        if more:
            yield 1, state, at + 1, ""
        for arc in self._out[state]:
            if arc.word == SILENT:
                yield 0, arc.target, at, ""
                continue
            yield 1, arc.target, at, arc.word
            if more:
                yield int(arc.word != words[at]), arc.target, at + 1, arc.word
