"""Which words of a text that was not understood stand where a name should: 'cosmopolitan', in 'make a cosmopolitan'."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grammar import phrasebook
from grammar.nearness import NearNames
from grammar.phrasebook import Phrasebook, rules_of
from grammar.pieces import Text
from grammar.sounds import Voice
from grammar.templates import CONTENT, Fill, Piece, Templates

LONGEST = 6  # words of a name that the book lacks
BRIDGED = 2  # small words that may stand within it: 'death in the afternoon'
BRIDGES = frozenset({"of", "on", "in", "the", "and", "a", "to"})
SHOWN = 3  # names offered in its place
ALIKE = 0.5  # and how alike they must be
MOST = 0.5  # the cost beyond which a template says nothing of where a name stands
KINDS = ("drink", "ingredient")  # what is asked for most, first
_HERE = "?"  # what such a name stands for while the text is parsed


@dataclass(frozen=True)
class Stranger:
    """Words, from `start` up to `end`, taken for a name that the book lacks."""

    start: int
    end: int
    kind: str
    near: tuple[str, ...]


class Strangers:
    """Finds them."""

    def __init__(self, book: Phrasebook, templates: Templates, voice: Voice) -> None:
        self._book = book
        self._templates = templates
        self._names = NearNames(book.wordings, voice)
        self._small = book.lexicon.listed("common.light") | book.lexicon.listed("common.soft")
        self._frame = book.lexicon.carriers | book.lexicon.numbers | self._small
        self._units = book.lexicon.listed("values.unit_of_one") | book.lexicon.listed("values.unit_of_more")

    def find(self, cut: Text) -> Stranger | None:
        """The first stranger, if there is one and something is asked about it."""
        runs = self._runs(cut)
        if not runs:
            return None
        start, end = runs[0]
        kinds = self._asked(cut, runs) or self._templated(cut, runs)
        kind = next((kind for kind in KINDS if kind in kinds), None)
        return Stranger(start, end, kind, self._near(cut.words[start:end], kind)) if kind else None

    def _runs(self, cut: Text) -> list[tuple[int, int]]:
        """Stretches of names and of words that no phrase has, more than one name in each; the oddest first."""
        stretches: list[tuple[int, int]] = []
        odd = [self._is_odd(cut, at) for at in range(len(cut.words))]
        named = [
            any(label.startswith("names.") for label in piece.labels)
            for piece in cut.pieces
            for _ in range(piece.start, piece.end)
        ]
        for at in range(len(cut.words)):
            if not odd[at] and not named[at]:
                continue
            start, end = stretches[-1] if stretches else (0, 0)
            bridge = cut.words[end:at]
            if stretches and (
                not bridge or (odd[at] and odd[end - 1] and len(bridge) <= BRIDGED and BRIDGES.issuperset(bridge))
            ):
                stretches[-1] = (start, at + 1)
            else:
                stretches.append((at, at + 1))
        whole = {(piece.start, piece.end) for piece in cut.pieces if piece.labels}
        whole |= {
            (at, at + len(name.words)) for at in range(len(cut.words)) for name in self._book.wordings.at(cut.words, at)
        }
        found = [run for run in stretches if run not in whole and run[1] - run[0] <= LONGEST]
        return sorted(found, key=lambda run: not any(odd[run[0] : run[1]]))

    def _is_odd(self, cut: Text, at: int) -> bool:
        word = cut.words[at]
        if word in self._units and cut.words[at + 1 : at + 2] == ("of",):
            return False
        return word not in self._frame and not any(True for _ in self._book.wordings.at(cut.words, at))

    def _asked(self, cut: Text, runs: Sequence[tuple[int, int]]) -> set[str]:
        """What the first stranger is, where a phrase fits word for word."""
        edges = {at: list(found) for at, found in cut.edges().items()}
        for start, end in runs:
            for rule in (rule for kind in KINDS for rule in rules_of(kind)):
                edges.setdefault((rule, start), []).append((end, _HERE))
        readings = self._book.parser.sentences(phrasebook.ASKED, cut.heard(), edges)
        marks = (mark for reading in readings for mark in reading.marks if mark.value == _HERE)
        return {_kind(mark.slot) for mark in marks if (mark.start, mark.end) == runs[0]}

    def _templated(self, cut: Text, runs: Sequence[tuple[int, int]]) -> set[str]:
        """The same, where small words differ; a word must say what is asked."""
        labels = {f"names.{kind}": (Fill(_HERE),) for kind in KINDS}
        strangers = [Piece(start, end, labels, CONTENT) for start, end in runs]
        rest = [p for p in cut.pieces if all(p.end <= start or p.start >= end for start, end in runs)]
        matches = self._templates.nearest(sorted([*rest, *strangers], key=lambda piece: piece.start))
        taken = (pair for m in matches if m.cost <= MOST and m.says for pair in m.taken)
        return {_kind(part.slot) for part, piece in taken if piece is strangers[0]}

    def _near(self, words: Sequence[str], kind: str) -> tuple[str, ...]:
        """The names most like these words, and those that stand among them."""
        inside = [w.canonical for at in range(len(words)) for w in self._book.wordings.at(words, at) if w.kind == kind]
        alike = [n.wording.canonical for n in self._names.to(words) if n.wording.kind == kind and n.likeness >= ALIKE]
        return tuple(dict.fromkeys([*inside, *alike]))[:SHOWN]


def _kind(slot: str) -> str:
    return slot.removesuffix("_2")
