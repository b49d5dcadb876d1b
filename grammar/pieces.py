"""A text cut into pieces: names, numbers and words, each as written, or as the slip it most likely is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from grammar.exact import Edges, Mark
from grammar.nearness import Near, NearNames, NearWords
from grammar.phrasebook import ITEMS, Phrasebook, rules_of
from grammar.sounds import Voice
from grammar.templates import CONTENT, WORD, Fill, Piece

# What it costs to take words for something else than they are. Likeness is 0..1; a slip costs what it lacks of 1.
NEAR_NAME = 0.74  # a name less alike than this is none
NEAR_WHOLE = 0.93  # nor is one that holds another drink's name, and something else
NEAR_RIVAL = 0.12  # a name less alike by more than this than the best is no rival to it
SLIP = 1.1  # per unlikeness
PART_OF_NAME = 0.2  # 'the fogbell' for a name of more words
SMALL_SLIP = 0.5  # of that, for a light or soft word
MENDED = 0.08  # a word mended, beside what it lacks
MOST_RIVALS = 4  # more names than this that fit as well say nothing
LIGHT_AS_ITEM = 0.2  # 'one' for a number
WINDOW = 4  # words taken together for a name that is not written as the book writes it

# The price of a piece when a text is cut: the cheapest cut wins, so few and long pieces, as written.
_NAME, _WORD = 0.10, 0.11
_UNKNOWN = 1.0
_NEAR = 0.3


@dataclass(frozen=True)
class Text:
    """A text in pieces."""

    words: tuple[str, ...]
    pieces: tuple[Piece, ...]

    @property
    def strange(self) -> tuple[Piece, ...]:
        """The pieces that could be nothing known."""
        return tuple(piece for piece in self.pieces if not piece.labels)

    @property
    def how(self) -> str:
        """'exact', or how the first piece that is not as written was made out."""
        return next((piece.how for piece in self.pieces if piece.how != "exact"), "fuzzy")

    def cost(self, marks: Sequence[Mark]) -> float:
        """What it costs to believe a parse of all the pieces: their slips, of names those that fill the slots."""
        taken = {(mark.start, mark.end): mark.value for mark in marks}
        total = 0.0
        for piece in self.pieces:
            fills = [fill for some in piece.labels.values() for fill in some]
            chosen = taken.get((piece.start, piece.end))
            costs = [fill.cost for fill in fills if fill.value == chosen] or [fill.cost for fill in fills]
            total += min(costs, default=0.0)
        return total

    def heard(self) -> list[frozenset[str]]:
        """At each place the words that may be meant."""
        heard = [frozenset({word}) for word in self.words]
        for piece in self.pieces:
            if piece.end - piece.start == 1:
                heard[piece.start] |= {label for label in piece.labels if "." not in label}
        return heard

    def edges(self) -> Edges:
        """The names that may stand in it."""
        edges: defaultdict[tuple[str, int], list[tuple[int, str | None]]] = defaultdict(list)
        for piece in self.pieces:
            for label, fills in piece.labels.items():
                for rule in rules_of(label.removeprefix("names.")) if label.startswith("names.") else ():
                    edges[rule, piece.start] += [
                        (piece.end, None if fill.value is None else str(fill.value)) for fill in fills
                    ]
        return edges

    def written(self) -> str:
        """The text with each item by its rule's name, to be held against the text of a template."""
        return " ".join(min(piece.labels, key=_length, default="") or "?" for piece in self.pieces)


def _length(label: str) -> tuple[bool, int]:
    return "." not in label, len(label)


class Cutter:
    """Cuts texts into pieces."""

    def __init__(self, book: Phrasebook, voice: Voice) -> None:
        self._book = book
        self._names = NearNames(book.wordings, voice)
        self._weigh = book.weigh
        self._known = book.words
        self._near_words = NearWords(book.carriers, voice)
        self._items = {rule: book.parser.begins(rule) for rule in ITEMS - {"values.title"}}

    def cut(self, words: Sequence[str]) -> Text:
        """The cheapest way to cut a text."""
        offered: list[list[tuple[float, Piece]]] = [[] for _ in words]
        for price, piece in self._offers(words):
            offered[piece.start].append((price, piece))
        best: list[tuple[float, Piece | None]] = [(0.0, None)] * (len(words) + 1)
        for at in range(len(words) - 1, -1, -1):
            best[at] = min(
                ((price + best[piece.end][0], piece) for price, piece in offered[at]), key=lambda offer: offer[0]
            )
        pieces: list[Piece] = []
        while (cut := best[pieces[-1].end if pieces else 0][1]) is not None:
            pieces.append(cut)
        return Text(tuple(words), tuple(pieces))

    def _offers(self, words: Sequence[str]) -> Iterator[tuple[float, Piece]]:
        for at, word in enumerate(words):
            spans: defaultdict[int, dict[str, list[Fill]]] = defaultdict(dict)
            for wording in self._book.wordings.at(words, at):
                fills = spans[at + len(wording.words)].setdefault(f"names.{wording.kind}", [])
                fills.append(Fill(wording.canonical))
            for rule, end, fill in self._values(words, at):
                spans[end].setdefault(rule, []).append(fill)
            one = spans[at + 1]
            for label, fill in self._parts_of_names(words, at, at + 1):
                one.setdefault(label, []).append(fill)
            yield self._word(word, at, one)
            for end, labels in spans.items():
                if end > at + 1:
                    yield _NAME, _piece(at, end, labels, min(self._weigh(label) for label in labels))
            yield from self._windows(words, at)

    def _values(self, words: Sequence[str], at: int) -> Iterator[tuple[str, int, Fill]]:
        heard = [frozenset({word}) for word in words]
        for rule, begins in self._items.items():
            if words[at] in begins:
                readings = self._book.parser.starts(rule, heard, at, {})
                for reading in readings:
                    if reading.end == max(r.end for r in readings):
                        yield rule, reading.end, Fill(reading.number, reading.marks)

    def _word(self, word: str, at: int, labels: dict[str, list[Fill]]) -> tuple[float, Piece]:
        named = bool(labels)
        weight = min([self._weigh(word), *(self._weigh(label) for label in labels)])
        if weight == 0.0:
            labels = {label: [replace(fill, cost=LIGHT_AS_ITEM) for fill in fills] for label, fills in labels.items()}
        if word in self._known:
            labels[word] = [Fill()]
            return _WORD, _piece(at, at + 1, labels, weight if weight != WORD or not named else CONTENT)
        return (_NAME, _piece(at, at + 1, labels, CONTENT)) if named else self._mended(word, at)

    def _mended(self, word: str, at: int) -> tuple[float, Piece]:
        near = self._near_words.to(word)
        if not near:
            return _UNKNOWN, Piece(at, at + 1, {}, CONTENT)
        labels = {
            label: [Fill(cost=(MENDED + SLIP * (1 - alike)) * (1 if self._weigh(label) >= WORD else SMALL_SLIP))]
            for label, alike in near.items()
        }
        weight = min(self._weigh(label) for label in near)
        how = "sound" if max(near.values()) == 1.0 else "fuzzy"
        return _NEAR + 1 - max(near.values()), _piece(at, at + 1, labels, weight, how)

    def _parts_of_names(self, words: Sequence[str], start: int, end: int) -> Iterator[tuple[str, Fill]]:
        if self._weigh(words[start]) < WORD:
            return
        found = self._book.wordings.with_part(tuple(words[start:end]))
        for kind in {wording.kind for wording in found}:
            names = dict.fromkeys(wording.canonical for wording in found if wording.kind == kind)
            if len(names) <= MOST_RIVALS:
                yield from ((f"names.{kind}", Fill(name, cost=PART_OF_NAME)) for name in names)

    def _windows(self, words: Sequence[str], start: int) -> Iterator[tuple[float, Piece]]:
        for end in range(start + 1, min(start + WINDOW, len(words)) + 1):
            window = words[start:end]
            if any(map(self._is_strange, window)) and self._weigh(window[0]) and self._weigh(window[-1]):
                least = NEAR_WHOLE if self._holds_drink(words, start, end) else NEAR_NAME
                near = [n for n in self._names.to(window) if n.likeness >= least]
                if near:
                    yield _NEAR + 1 - near[0].likeness, _near_piece(start, end, near)
            if end > start + 1 and (labels := _collected(self._parts_of_names(words, start, end))):
                yield _NEAR, _piece(start, end, labels, CONTENT, "fuzzy")

    def _holds_drink(self, words: Sequence[str], start: int, end: int) -> bool:
        """Whether a drink's name stands in these words, with more beside it: 'dirty martini' is another drink."""
        inside = [(at, name) for at in range(start, end) for name in self._book.wordings.at(words, at)]
        return any(name.kind == "drink" and at + len(name.words) <= end for at, name in inside)

    def _is_strange(self, word: str) -> bool:
        return word not in self._known


def _collected(found: Iterator[tuple[str, Fill]]) -> dict[str, list[Fill]]:
    labels: dict[str, list[Fill]] = {}
    for label, fill in found:
        labels.setdefault(label, []).append(fill)
    return labels


def _piece(start: int, end: int, labels: Mapping[str, Sequence[Fill]], weight: float, how: str = "exact") -> Piece:
    return Piece(start, end, {label: tuple(fills) for label, fills in labels.items()}, weight, how=how)


def _near_piece(start: int, end: int, near: Sequence[Near]) -> Piece:
    best = near[0].likeness
    labels: dict[str, list[Fill]] = {}
    for one in near:
        if one.likeness >= best - NEAR_RIVAL:
            fill = Fill(one.wording.canonical, cost=SLIP * (1 - one.likeness))
            labels.setdefault(f"names.{one.wording.kind}", []).append(fill)
    return _piece(start, end, labels, CONTENT, near[0].how)
