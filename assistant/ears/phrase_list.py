"""A network as a list of phrases, for a recogniser that takes no network."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping

from grammar.network import SILENT, Arc, Network


def phrase_list(network: Network) -> tuple[str, ...]:
    """Sentences of the network in which each of its arcs is said at least once.

    All pairs of words that may follow each other would be four times as many, for our own book; a recogniser that
    learns which word follows which backs off to single words for the pairs that it has not seen.
    """
    ways_in, ways_out = _from_start(network), _to_final(network)
    phrases: dict[str, None] = {}
    said: set[Arc] = set()
    for arc in network.arcs:
        if arc not in said and arc.source in ways_in and arc.target in ways_out:
            path = [*_back(ways_in, arc.source), arc, *_on(ways_out, arc.target)]
            said.update(path)
            phrases[" ".join(step.word for step in path if step.word != SILENT)] = None
    phrases.pop("", None)
    return tuple(phrases)


def _from_start(network: Network) -> Mapping[int, Arc | None]:
    """For each state that can be reached, the last arc of a shortest way to it."""
    out: dict[int, list[Arc]] = {}
    for arc in network.arcs:
        out.setdefault(arc.source, []).append(arc)
    found: dict[int, Arc | None] = {network.start: None}
    waiting = deque([network.start])
    while waiting:
        for arc in out.get(waiting.popleft(), ()):
            if arc.target not in found:
                found[arc.target] = arc
                waiting.append(arc.target)
    return found


def _to_final(network: Network) -> Mapping[int, Arc | None]:
    """For each state from which a sentence can end, the first arc of a shortest way on."""
    into: dict[int, list[Arc]] = {}
    for arc in network.arcs:
        into.setdefault(arc.target, []).append(arc)
    found: dict[int, Arc | None] = {network.final: None}
    waiting = deque([network.final])
    while waiting:
        for arc in into.get(waiting.popleft(), ()):
            if arc.source not in found:
                found[arc.source] = arc
                waiting.append(arc.source)
    return found


def _back(ways: Mapping[int, Arc | None], state: int) -> Iterator[Arc]:
    path: list[Arc] = []
    while (arc := ways[state]) is not None:
        path.append(arc)
        state = arc.source
    yield from reversed(path)


def _on(ways: Mapping[int, Arc | None], state: int) -> Iterator[Arc]:
    while (arc := ways[state]) is not None:
        yield arc
        state = arc.target
