"""A text cut into pieces: names, numbers and words, each as written, or as the slip it most likely is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from grammar.exact import Edges, Mark
from grammar.nearness import Near, NearNames
from grammar.phrasebook import ITEMS, TITLE, Phrasebook, rules_of
from grammar.slips import SLIP, Slip, Slips
from grammar.sounds import Voice
from grammar.templates import CONTENT, WORD, Fill, Piece

NEAR_WHOLE = 0.93  # a name less alike than this is none of words that begin or end small, or hold a drink's own name
NEAR_RIVAL = 0.12  # a name less alike by more than this than the best is no rival to it
GLUED = 0.05  # what it costs to part a name's letters otherwise: 'side car'
PART_OF_NAME = 0.2  # what it costs to take 'the fogbell' for a name of more words
END_OF_NAME = 0.6  # 'beer' for the one name that ends so: more likely another thing
LIGHT_AS_ITEM = 0.2  # and 'one' for a number
MOST_RIVALS = 4  # more names than this that fit as well say nothing
WINDOW = 4  # words taken together for a name that is not written as the book writes it

# The price of a piece when a text is cut: the cheapest cut wins, so few and long pieces, as written.
_NAME, _WORD = 0.10, 0.11
_NEAR = 0.3
_UNKNOWN = 1.0

Labels = dict[str, list[Fill]]


@dataclass(frozen=True)
class Text:
    """A text in pieces."""

    words: tuple[str, ...]
    pieces: tuple[Piece, ...]

    @property
    def has_strangers(self) -> bool:
        """Whether a piece can be nothing known."""
        return any(not piece.labels for piece in self.pieces)

    @property
    def how(self) -> str:
        """How the first piece that is not as written was made out."""
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
            for at in range(piece.start, piece.end):
                heard[at] |= piece.meant[at - piece.start] if piece.meant else frozenset()
        return heard

    def edges(self) -> Edges:
        """The names that may stand in it."""
        edges: defaultdict[tuple[str, int], list[tuple[int, str | None]]] = defaultdict(list)
        for piece in self.pieces:
            for label, fills in piece.labels.items():
                grammar, _, kind = label.partition(".")
                for rule in rules_of(kind) if grammar == "names" else ():
                    edges[rule, piece.start] += [(piece.end, str(fill.value)) for fill in fills]
        return edges


class Cutter:
    """Cuts texts into pieces."""

    def __init__(self, book: Phrasebook, voice: Voice) -> None:
        self._book = book
        self._names = NearNames(book.wordings, voice)
        self._slips = Slips(book, voice)
        self._items = {rule: book.parser.begins(rule) for rule in sorted(ITEMS - {TITLE})}

    def cut(self, words: Sequence[str]) -> Text:
        """The cheapest way to cut a text."""
        slips = self._slips.of(words)
        heard = [frozenset({word, *slip.meant}) for word, slip in zip(words, slips, strict=True)]
        best: list[tuple[float, Piece | None]] = [(0.0, None)] * (len(words) + 1)
        for at in range(len(words) - 1, -1, -1):
            offers = ((price + best[piece.end][0], piece) for price, piece in self._offers(words, slips, heard, at))
            best[at] = min(offers, key=lambda offer: offer[0])
        pieces: list[Piece] = []
        while (cheapest := best[pieces[-1].end if pieces else 0][1]) is not None:
            pieces.append(cheapest)
        return Text(tuple(words), tuple(pieces))

    def _offers(
        self, words: Sequence[str], slips: Sequence[Slip], heard: Sequence[frozenset[str]], at: int
    ) -> Iterator[tuple[float, Piece]]:
        """The pieces that may begin at a word, with their prices."""
        spans: defaultdict[int, Labels] = defaultdict(dict)
        for wording in self._book.wordings.at(words, at):
            spans[at + len(wording.words)].setdefault(f"names.{wording.kind}", []).append(Fill(wording.canonical))
        for rule, end, fill in self._values(slips, heard, at):
            spans[end].setdefault(rule, []).append(fill)
        yield self._word(words[at], slips[at], at, spans.pop(at + 1, {}))
        for end, labels in spans.items():
            is_name = any(label.startswith("names.") for label in labels)  # as the book writes it, so no slip
            slipped = [] if is_name else [slip for slip in slips[at:end] if slip.cost]
            meant = tuple(heard[at:end]) if slipped else ()
            weight = min(self._book.lexicon.weigh(label) for label in labels)
            piece = _piece(at, end, labels, weight, _how(slipped))
            yield _NAME + sum(slip.cost for slip in slipped), replace(piece, meant=meant)
        yield from self._unwritten(words, at)

    def _values(
        self, slips: Sequence[Slip], heard: Sequence[frozenset[str]], at: int
    ) -> Iterator[tuple[str, int, Fill]]:
        for rule, begins in self._items.items():
            if heard[at].isdisjoint(begins):
                continue
            readings = self._book.parser.starts(rule, heard, at, {})
            for reading in readings:
                if reading.end == max(r.end for r in readings):
                    cost = sum(slip.cost for slip in slips[at : reading.end])
                    yield rule, reading.end, Fill(reading.number, reading.marks, cost)

    def _word(self, word: str, slip: Slip, at: int, labels: Labels) -> tuple[float, Piece]:
        named = bool(labels)
        for label, fill in self._parts_of_names((word,)):
            labels.setdefault(label, []).append(fill)
        weigh = self._book.lexicon.weigh
        if word in self._book.lexicon.words:
            weight = min([weigh(word), *(weigh(label) for label in labels)])
            if weight == 0.0:
                labels = {rule: [replace(fill, cost=LIGHT_AS_ITEM) for fill in fills] for rule, fills in labels.items()}
            labels[word] = [Fill()]
            return _WORD, _piece(at, at + 1, labels, CONTENT if named and weight == WORD else weight)
        if slip.meant and not any(label.startswith("names.") for label in labels):
            labels |= {meant: [Fill(cost=cost)] for meant, cost in slip.meant.items()}
            piece = _piece(at, at + 1, labels, min(weigh(label) for label in labels), slip.how)
            return _NEAR + slip.cost, replace(piece, meant=(frozenset(slip.meant),))
        if not labels:
            return _UNKNOWN, Piece(at, at + 1, {}, CONTENT)
        return (_NAME if named else _NEAR), _piece(at, at + 1, labels, CONTENT)

    def _parts_of_names(self, words: Sequence[str]) -> Iterator[tuple[str, Fill]]:
        """Longer names that begin or end with these words."""
        if self._book.lexicon.weigh(words[0]) < WORD or self._book.lexicon.numbers.issuperset(words):
            return
        heads, tails = self._book.wordings.beginning(tuple(words)), self._book.wordings.ending(tuple(words))
        for kind in dict.fromkeys(wording.kind for wording in (*heads, *tails)):
            names = dict.fromkeys(wording.canonical for wording in (*heads, *tails) if wording.kind == kind)
            if len(names) > MOST_RIVALS or (kind == "drink" and self._book.lexicon.values.issuperset(words)):
                continue
            cost = PART_OF_NAME if len(names) > 1 or any(w.kind == kind for w in heads) else END_OF_NAME
            yield from ((f"names.{kind}", Fill(name, cost=cost)) for name in names)

    def _unwritten(self, words: Sequence[str], start: int) -> Iterator[tuple[float, Piece]]:
        """Names that are not as the book writes them: misspelled, misheard, or cut short."""
        for end in range(start + 1, min(start + WINDOW, len(words)) + 1):
            window = words[start:end]
            near = self._near(words, start, end)
            if near:
                yield _NEAR + 1 - near[0].likeness, _near_piece(start, end, near)
            labels: Labels = {}
            for wording in self._book.wordings.glued("".join(window)):
                labels.setdefault(f"names.{wording.kind}", []).append(Fill(wording.canonical, cost=GLUED))
            for label, fill in self._parts_of_names(window) if len(window) > 1 and not labels else ():
                labels.setdefault(label, []).append(fill)
            if labels:
                yield _NEAR, _piece(start, end, labels, CONTENT, "fuzzy")

    def _near(self, words: Sequence[str], start: int, end: int) -> list[Near]:
        window = words[start:end]
        if self._book.lexicon.words.issuperset(window) or any(map(self._stands_around_names, window)):
            return []
        small = not self._book.lexicon.weigh(window[0]) or not self._book.lexicon.weigh(window[-1])
        least = NEAR_WHOLE if small or self._holds_drink(words, start, end) else 0.0
        return [near for near in self._names.close(window) if near.likeness >= least]

    def _stands_around_names(self, word: str) -> bool:
        """Whether it is a word of the phrases, and of no name: 'much', 'recipe'."""
        book = self._book
        return word in book.lexicon.words and book.lexicon.weigh(word) >= WORD and word not in book.wordings.words

    def _holds_drink(self, words: Sequence[str], start: int, end: int) -> bool:
        """Whether a drink's name stands in these words: 'dirty martini' is another drink."""
        inside = [(at, name) for at in range(start, end) for name in self._book.wordings.at(words, at)]
        return any(name.kind == "drink" and at + len(name.words) <= end for at, name in inside)


def _how(slips: Sequence[Slip]) -> str:
    return next((slip.how for slip in slips if slip.meant), "exact")


def _piece(start: int, end: int, labels: Mapping[str, Sequence[Fill]], weight: float, how: str = "exact") -> Piece:
    return Piece(start, end, {label: tuple(fills) for label, fills in labels.items()}, weight, how)


def _near_piece(start: int, end: int, near: Sequence[Near]) -> Piece:
    best = near[0].likeness
    labels: Labels = {}
    for one in near:
        if one.likeness >= best - NEAR_RIVAL:
            fill = Fill(one.wording.canonical, cost=SLIP * (1 - one.likeness))
            labels.setdefault(f"names.{one.wording.kind}", []).append(fill)
    return _piece(start, end, labels, CONTENT, near[0].how)
