"""The phrases as templates: what bears the meaning of each, whatever small words stand between.

A template is what is left of a phrase without its light words: content words, soft words, and items (a name, a number)
that fill slots. A text that no phrase fits word for word is compared with these.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from rapidfuzz import fuzz

from grammar import rules
from grammar.exact import Mark
from grammar.rules import Choice, Expansion, Grammar, Maybe, Ref, Repeat, Tagged, Word
from grammar.wordings import PLURALS

# What it costs that text or template lacks something that the other has, or has it otherwise. An answer may cost no
# more than ACCEPT (matcher.py).
CONTENT = 1.0  # an item, a hard word, or a word that no phrase has
WORD = 0.38  # any other word, beside one that both have
SOFT = 0.12  # a soft word
CHATTER = 0.04  # a word of everyday talk, in the text
RANKED = 0.2  # the weight of a phrase; in proportion to what it lacks of 1
SWAPPED = 0.2  # two parts in the other order
WORDING = 0.25  # small words wholly unlike; in proportion
COMPARED = 60  # templates looked at closely, of those that share most with the text


class Part(NamedTuple):
    """One part of a template: a word, or the name of a rule whose value fills `slot`.

    A tuple, since forms are compared by their parts a million times while the phrases are read.
    """

    label: str
    slot: str = ""


@dataclass(frozen=True)
class Template:
    """One phrase without its small words."""

    parts: tuple[Part, ...]
    settings: tuple[tuple[str, str], ...]  # the slots that its tags give a value of their own, `intent` among them
    text: str  # the phrase in full, items by their rule's name
    weight: float = 1.0

    @cached_property
    def words_only(self) -> bool:
        """Whether it has no item."""
        return all("." not in part.label for part in self.parts)


@dataclass(frozen=True)
class Fill:
    """What an item of the text can put into a slot."""

    value: str | Fraction | None = None
    marks: tuple[Mark, ...] = ()  # slots that the item fills by itself: a unit, a role
    cost: float = 0.0  # 0 as written; more for a slip


@dataclass(frozen=True)
class Piece:
    """One piece of a text: a word or an item, and what it may be."""

    start: int
    end: int
    labels: Mapping[str, tuple[Fill, ...]]
    weight: float  # what it costs to leave it out
    how: str = "exact"  # 'exact', or how a slip was made out: 'fuzzy' or 'sound'
    meant: tuple[frozenset[str], ...] = ()  # of a slip, the words that may be meant at each place

    @property
    def shown(self) -> str:
        """A word or a rule's name for it."""
        return min(self.labels, key=lambda label: ("." in label, label), default="?")


@dataclass(frozen=True)
class Match:
    """A template beside a text."""

    template: Template
    cost: float
    taken: tuple[tuple[Part, Piece], ...]
    left_over: tuple[str, ...]  # what of the text it does not take
    says: float  # what weighs most of that in the text which says what is asked; 0 where all of it fills slots

    @property
    def labels(self) -> tuple[str, ...]:
        """What of the text the template takes."""
        return tuple(part.label for part, _ in self.taken)

    @property
    def fills_something(self) -> bool:
        """Whether a name or a number of the text fills a slot."""
        return any("." in label for label in self.labels)


class Templates:
    """All templates of a rule, found by what they share with a text."""

    def __init__(self, grammar: Grammar, rule: str, items: Collection[str], weigh: Callable[[str], float]) -> None:
        """With `weigh`, what a word counts, or an item by its rule's name: 0, SOFT, WORD or CONTENT."""
        self._weigh = weigh
        self.all = tuple(_Expander(grammar, items, weigh).templates(rule))
        self._having: defaultdict[str, set[int]] = defaultdict(set)
        self._labels = [frozenset(part.label for part in template.parts) for template in self.all]
        self._needs = [frozenset(p.label for p in t.parts if self._is_needed(t, p)) for t in self.all]
        self._weights = [sum(weigh(part.label) for part in template.parts) for template in self.all]
        for number, labels in enumerate(self._labels):
            for label in labels:
                self._having[label].add(number)
        self._wordless = frozenset(n for n, labels in enumerate(self._labels) if all("." in label for label in labels))

    def nearest(self, pieces: Sequence[Piece]) -> list[Match]:
        """The templates most like a text, best first."""
        ranked = heapq.nsmallest(COMPARED, self._candidates(pieces), key=lambda n: (self._far(n, pieces), n))
        matches = (self._match(self.all[n], pieces) for n in ranked)
        return sorted((m for m in matches if m), key=lambda m: (m.cost, -m.template.weight))

    def _is_needed(self, template: Template, part: Part) -> bool:
        return bool(part.slot) or template.words_only or self._weigh(part.label) == CONTENT

    def _candidates(self, pieces: Sequence[Piece]) -> list[int]:
        """The templates that share a word with the text, or have none, and of which it has all they need."""
        labels = {label for piece in pieces for label in piece.labels}
        words = {label for piece in pieces if piece.weight for label in piece.labels if "." not in label}
        sharing = self._wordless.union(*(self._having.get(word, ()) for word in words))
        return [number for number in sharing if self._needs[number] <= labels]

    def _far(self, number: int, pieces: Sequence[Piece]) -> float:
        """Roughly what a template costs: its parts that the text lacks, and the text's that it lacks."""
        labels = self._labels[number]
        shared = sum(max(piece.weight, SOFT) for piece in pieces if not labels.isdisjoint(piece.labels))
        return self._weights[number] - 2 * shared

    def _match(self, template: Template, pieces: Sequence[Piece]) -> Match | None:
        free = list(pieces)
        taken: list[tuple[Part, Piece]] = []
        cost = 0.0
        reached = 0
        for part in template.parts:
            ahead = [p for p in free if part.label in p.labels]
            if ahead:
                piece = next((p for p in ahead if p.start >= reached), ahead[0])
                cost += SWAPPED if piece.start < reached else 0
                reached = max(reached, piece.end)
                free.remove(piece)
                taken.append((part, piece))
            elif self._is_needed(template, part):
                return None
            else:
                cost += self._weigh(part.label)
        if _run_together(template, taken):
            return None
        said = [part for part, _ in taken if self._weigh(part.label) == WORD]
        if not said and any(self._weigh(part.label) == WORD for part in template.parts):
            return None
        cost += sum(self._left_over(piece, template, bool(said)) for piece in free)
        cost += WORDING * _unlike(template, pieces, taken) + RANKED * (1 - template.weight)
        says = max((self._saying(part) for part, _ in taken), default=0.0)
        return Match(template, cost, tuple(taken), tuple(piece.shown for piece in free), says)

    @staticmethod
    def _left_over(piece: Piece, template: Template, said: bool) -> float:
        """What a piece costs that the template lacks; a word of other phrases less, beside one that both have."""
        if template.words_only and (piece.weight >= SOFT or piece.how != "exact"):
            return CONTENT
        return piece.weight if said or piece.weight < WORD else CONTENT

    def _saying(self, part: Part) -> float:
        weight = self._weigh(part.label)
        return 0.0 if part.slot or ("." in part.label and weight < WORD) else weight


def _run_together(template: Template, taken: Sequence[tuple[Part, Piece]]) -> bool:
    """Whether two names stand side by side that a phrase keeps apart: 'cherry brandy' is neither of the two."""
    names = sorted(
        ((piece, part) for part, piece in taken if part.label.startswith("names.")), key=lambda n: n[0].start
    )
    return any(
        first.end == second.start and f"{one.label} {other.label}" not in template.text
        for (first, one), (second, other) in pairwise(names)
    )


def _unlike(template: Template, pieces: Sequence[Piece], taken: Sequence[tuple[Part, Piece]]) -> float:
    """How unlike the words of a text and a template are, from 0 to 1; what a template takes as an item is alike."""
    labels = {piece.start: part.label for part, piece in taken}
    text = " ".join(labels.get(piece.start) or piece.shown for piece in pieces)
    return 1 - fuzz.ratio(text, template.text) / 100


Form = tuple[tuple[Part, ...], tuple[tuple[str, str], ...]]  # what tells one template from another
Forms = dict[Form, tuple[str, float]]  # and its words in full, shortest first, with its weight


class _Expander:
    """Every way to say a rule, small words and repetition aside."""

    def __init__(self, grammar: Grammar, items: Collection[str], weigh: Callable[[str], float]) -> None:
        self._grammar = grammar
        self._items = items
        self._weigh = weigh
        self._known: dict[str, Forms] = {}

    def templates(self, rule: str) -> Iterator[Template]:
        """The templates of a rule."""
        for (parts, settings), (text, weight) in self._rule(rule).items():
            if parts and ("intent", "answer") not in settings:
                yield Template(parts, settings, text, weight)

    def _rule(self, name: str) -> Forms:
        if name not in self._known:
            self._known[name] = self._forms(self._grammar.rules[name].body)
        return self._known[name]

    def _forms(self, item: Expansion) -> Forms:
        match item:
            case Word():
                parts = tuple(Part(word) for word in item.words if self._weigh(word))
                return {(parts, ()): (" ".join(item.words), 1.0)}
            case Ref(name):
                return self._ref(name)
            case rules.Sequence(items):
                forms: Forms = {((), ()): ("", 1.0)}
                for part in items:
                    forms = _one_after_other(forms, self._forms(part))
                return forms
            case Choice():
                return _either(_weighed(self._forms(option), weight) for option, weight in item.weighted())
            case Maybe(inner):
                return _either([{((), ()): ("", 1.0)}, self._forms(inner)])
            case Repeat(inner, least):
                return self._forms(inner) if least else _either([{((), ()): ("", 1.0)}, self._forms(inner)])
            case Tagged(inner, tag):
                return dict(_tagged(self._forms(inner), tag))

    def _ref(self, name: str) -> Forms:
        kind, _, rule = name.rpartition(".")
        label = f"{kind}.{PLURALS.get(rule, rule)}"
        if name in self._items:
            return {((Part(label),), ()): (label, 1.0)}
        return self._rule(name) if name not in rules.SPECIAL else {}


def _one_after_other(first: Forms, second: Forms) -> Forms:
    forms: Forms = {}
    for (parts, settings), (text, weight) in first.items():
        for (more, others), (rest, factor) in second.items():
            _keep(forms, (parts + more, settings + others), f"{text} {rest}".strip(), weight * factor)
    return forms


def _either(many: Iterable[Forms]) -> Forms:
    forms: Forms = {}
    for some in many:
        for form, (text, weight) in some.items():
            _keep(forms, form, text, weight)
    return forms


def _keep(forms: Forms, form: Form, text: str, weight: float) -> None:
    old = forms.get(form)
    if old is None or (weight, -len(text)) > (old[1], -len(old[0])):
        forms[form] = (text, weight)


def _weighed(forms: Forms, by: float) -> Forms:
    return {form: (text, weight * by) for form, (text, weight) in forms.items()}


def _tagged(forms: Forms, tag: str) -> Iterator[tuple[Form, tuple[str, float]]]:
    """With a tag: a setting, or the slot of the one item before it. Whole stretches of speech make no template."""
    slot, equals, value = (part.strip() for part in tag.partition("="))
    for (parts, settings), said in forms.items():
        if equals:
            yield (parts, (*settings, (slot, value))), said
        elif len(parts) == 1 and "." in parts[0].label:
            yield ((parts[0]._replace(slot=slot),), settings), said
