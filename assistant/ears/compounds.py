"""Words that are said in one breath, made one word of: 'gin and tonic', 'how much'.

PocketSphinx goes over every state of its grammar, once for each phone, in each frame, whether anything is said there or
not (`fsg_history_end_frame`). Our book has some 10,000, and that was most of the work. A state with one way in, or one
way out, only hands on: taken out, its words are joined to their neighbours. The same can be said, an eighth of the
states is left, a second of sound takes a third of the work (0.22 s before, 0.08 after), and more is heard right
(86 and 89% of 160 lines), for within a word the decoder knows each phone's neighbours. In exchange nobody can pause
inside a compound, so none is long.
"""

from __future__ import annotations

from collections import defaultdict

from grammar.network import Arc, Network

MOST_WORDS = 3  # of a compound: longer ones save little more, and a speaker must pause somewhere


def compounded(network: Network, most_words: int = MOST_WORDS) -> Network:
    """The same sentences with fewer states; a word of it may be several, with spaces between them."""
    draft = _Draft(network)
    waiting = dict.fromkeys(range(network.size))  # in order, each once
    while waiting:
        state, _ = waiting.popitem()
        if state not in (network.start, network.final):
            waiting.update(dict.fromkeys(draft.take_out(state, most_words)))
    return draft.network()


class _Draft:
    """A network in the making: the arcs that lead to each state, and on from it."""

    def __init__(self, network: Network) -> None:
        self._start, self._final = network.start, network.final
        self._to: defaultdict[int, set[Arc]] = defaultdict(set)
        self._on: defaultdict[int, set[Arc]] = defaultdict(set)
        for arc in network.arcs:
            self._lay(arc)

    def take_out(self, state: int, most_words: int) -> list[int]:
        """Join the words before a state to those after it, if that takes no more arcs; the states beside it, if so."""
        before, after = self._to[state], self._on[state]
        if not 0 < len(before) * len(after) <= len(before) + len(after):
            return []
        joined = {Arc(b.source, a.target, f"{b.word} {a.word}".strip()) for b in before for a in after}
        is_loop = any(arc.source in (state, arc.target) for arc in joined)
        if is_loop or any(arc.word.count(" ") >= most_words for arc in joined):
            return []
        for arc in before | after:
            self._to[arc.target].discard(arc)
            self._on[arc.source].discard(arc)
        for arc in joined:
            self._lay(arc)
        return sorted({end for arc in joined for end in (arc.source, arc.target)})

    def network(self) -> Network:
        """As it stands, its states numbered anew."""
        arcs = sorted({arc for arcs in self._on.values() for arc in arcs}, key=lambda a: (a.source, a.target, a.word))
        kept = sorted({self._start, self._final, *(s for arc in arcs for s in (arc.source, arc.target))})
        number = {state: place for place, state in enumerate(kept)}
        renamed = tuple(Arc(number[arc.source], number[arc.target], arc.word) for arc in arcs)
        return Network(number[self._start], number[self._final], renamed, len(kept))

    def _lay(self, arc: Arc) -> None:
        self._on[arc.source].add(arc)
        self._to[arc.target].add(arc)
