"""The exact parse: a text that the grammar says word for word, and the slots that its tags give.

A memoised top-down parse of the grammar's tree. It is safe from running away: grammars that begin with themselves are
refused when read, each rule is tried once at each word, and readings that mean the same are one. It is quick, since of
thousands of phrases only those are tried that begin as the text goes on, and of which it has, further on, what they are
never said without.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from operator import or_

from grammar import rules
from grammar.numbers import added, counted, is_number_tag
from grammar.rules import Choice, Expansion, Grammar, Maybe, Ref, Repeat, Tagged, Word

AS_SAID = frozenset({"text"})  # slots that take the words themselves, whatever they stand for
ALONE = "!"  # before a slot's name: the words themselves, and nothing within them fills a slot
MAX_READINGS = 64  # of one rule at one word; more is noise
Edges = Mapping[tuple[str, int], Sequence[tuple[int, str | None]]]  # at a word, a rule: up to where, and as what
Needed = tuple[frozenset[str], ...]  # what is said without fail, one of each in this order: words and given rules
Heard = Sequence[Collection[str]]  # at each place the words that may have been said: one, or a slip and its corrections


@dataclass(frozen=True)
class Mark:
    """One slot filled: by a value, a number, or (None) by the words themselves, from word `start` up to `end`."""

    slot: str
    value: str | Fraction | None
    start: int
    end: int


@dataclass(frozen=True)
class Reading:
    """One way in which words are a sentence."""

    end: int  # the word after the last
    marks: tuple[Mark, ...] = ()
    number: Fraction | None = None
    name: str | None = None
    weight: float = 1.0


class Parser:
    """The parse of one grammar; holds nothing from one text to the next."""

    def __init__(self, grammar: Grammar, given: frozenset[str]) -> None:
        self._grammar = grammar
        self._given = given
        self._parts = _Parts(grammar, given)

    def sentences(self, rule: str, words: Heard, edges: Edges) -> list[Reading]:
        """The readings of all the words as this rule, heaviest first."""
        found = [reading for reading in self.starts(rule, words, 0, edges) if reading.end == len(words)]
        return sorted(found, key=lambda reading: -reading.weight)

    def starts(self, rule: str, words: Heard, at: int, edges: Edges) -> list[Reading]:
        """The readings as this rule of any words from `at` on."""
        return _Run(self._grammar, self._given, self._parts, words, edges).rule(rule, at)

    def begins(self, rule: str) -> frozenset[str]:
        """The words, and in angle brackets the given rules, that this rule can begin with."""
        return self._parts.first(self._grammar.rules[rule].body)[0]


@dataclass(frozen=True)
class _Options:
    """The options of a choice that may be said, each with its weight and what it is never said without."""

    all: tuple[tuple[Expansion, float, Needed], ...]
    silent: frozenset[int]  # the places of those that may say nothing
    by_first: Mapping[str, frozenset[int]]  # and of those that can begin so

    def ahead(self, labels: Collection[str], there: Sequence[frozenset[str]]) -> Iterator[tuple[Expansion, float]]:
        """Those that can go on with one of `labels` and find what they need, in their order.

        `there`: what is to come from here on, from the next word on, and so forth; what is needed second, say, cannot
        be the first of it.
        """
        for place in sorted(self.silent.union(*(self.by_first.get(label, ()) for label in labels))):
            option, weight, needed = self.all[place]
            if len(needed) <= len(there) and not any(map(frozenset.isdisjoint, needed, there)):
                yield option, weight


class _Parts:
    """What each part of a grammar can begin with, whether it may say nothing, and what it is never said without.

    Words, and in angle brackets given rules. Parts are known by their identity, since the grammar keeps them.
    """

    def __init__(self, grammar: Grammar, given: frozenset[str]) -> None:
        self._grammar = grammar
        self._given = given
        self._first: dict[int, tuple[frozenset[str], bool]] = {}
        self._needed: dict[int, Needed] = {}
        self._options: dict[int, _Options] = {}

    def first(self, item: Expansion) -> tuple[frozenset[str], bool]:
        """What it can begin with, and whether it may say nothing."""
        if id(item) not in self._first:
            self._first[id(item)] = self._find(item)
        return self._first[id(item)]

    def needed(self, item: Expansion) -> Needed:
        """What is in every sentence of it."""
        if id(item) not in self._needed:
            self._needed[id(item)] = ()  # what comes back to itself needs no more than the rest of it does
            self._needed[id(item)] = self._need(item)
        return self._needed[id(item)]

    def options(self, item: Choice) -> _Options:
        """The options of a choice, looked through once."""
        if id(item) not in self._options:
            self._options[id(item)] = self._look_through(item)
        return self._options[id(item)]

    def _look_through(self, item: Choice) -> _Options:
        sayable = [(option, weight) for option, weight in item.weighted() if weight > 0]
        firsts = [self.first(option) for option, _ in sayable]
        by_first: defaultdict[str, set[int]] = defaultdict(set)
        for place, (labels, _) in enumerate(firsts):
            for label in labels:
                by_first[label].add(place)
        return _Options(
            tuple((option, weight, self.needed(option)) for option, weight in sayable),
            frozenset(place for place, (_, silent) in enumerate(firsts) if silent),
            {label: frozenset(places) for label, places in by_first.items()},
        )

    def _need(self, item: Expansion) -> Needed:
        match item:
            case Word():
                return tuple(frozenset({word}) for word in item.words)
            case Ref(name):
                if name in self._given:
                    return (frozenset({f"<{name}>"}),)
                return () if name in rules.SPECIAL else self.needed(self._grammar.rules[name].body)
            case Choice(options):
                return tuple(frozenset().union(*each) for each in zip(*map(self.needed, options), strict=False))
            case Maybe():
                return ()
            case Repeat(inner, least):
                return self.needed(inner) if least else ()
            case Tagged(inner):
                return self.needed(inner)
            case rules.Sequence(items):
                return tuple(needed for part in items for needed in self.needed(part))

    def _find(self, item: Expansion) -> tuple[frozenset[str], bool]:
        match item:
            case Word():
                return frozenset(item.words[:1]), not item.words
            case Ref(name):
                return self._ref(name)
            case Choice(options):
                parts = [self.first(option) for option in options]
                return frozenset().union(*(words for words, _ in parts)), any(silent for _, silent in parts)
            case Maybe(inner):
                return self.first(inner)[0], True
            case Repeat(inner, least):
                return self.first(inner)[0], not least or self.first(inner)[1]
            case Tagged(inner):
                return self.first(inner)
            case rules.Sequence(items):
                words: frozenset[str] = frozenset()
                for part in items:
                    more, silent = self.first(part)
                    words |= more
                    if not silent:
                        return words, False
                return words, True

    def _ref(self, name: str) -> tuple[frozenset[str], bool]:
        if name in rules.SPECIAL:
            return frozenset(), name == rules.NULL
        if name in self._given:
            return frozenset({f"<{name}>"}), False
        return self.first(self._grammar.rules[name].body)


class _Run:
    """One parse."""

    def __init__(
        self,
        grammar: Grammar,
        given: frozenset[str],
        parts: _Parts,
        words: Heard,
        edges: Edges,
    ) -> None:
        self._grammar = grammar
        self._given = given
        self._parts = parts
        self._words = words
        self._edges = edges
        self._rules: dict[tuple[str, int], list[Reading]] = {}
        self._next = [frozenset(heard) for heard in words] + [frozenset()]
        for (name, at), found in edges.items():
            if found:
                self._next[at] |= {f"<{name}>"}
        to_come = [*accumulate(reversed(self._next[:-1]), or_)][::-1]  # from each word on
        self._there = [to_come[at:] for at in range(len(self._next))]

    def rule(self, name: str, at: int) -> list[Reading]:
        """The readings of a rule from a word on."""
        if name in self._given:
            return [Reading(end, name=value) for end, value in self._edges.get((name, at), ())]
        if name in rules.SPECIAL:
            return [Reading(at)] if name == rules.NULL else []
        if (name, at) not in self._rules:
            found = self._walk(self._grammar.rules[name].body, Reading(at))
            self._rules[name, at] = _distinct(found)
        return self._rules[name, at]

    def _walk(self, item: Expansion, so_far: Reading) -> list[Reading]:
        match item:
            case Word():
                return self._said(item.words, so_far)
            case Ref(name):
                return [_joined(so_far, more) for more in self.rule(name, so_far.end)]
            case rules.Sequence(items):
                readings = [so_far]
                for part in items:
                    begun = [before for before in readings if self._may_follow(part, before.end)]
                    readings = [after for before in begun for after in self._walk(part, before)]
                return readings
            case Choice():
                return self._options(item, so_far)
            case Maybe(inner):
                return [so_far, *self._walk(inner, so_far)] if self._may_follow(inner, so_far.end) else [so_far]
            case Repeat():
                return self._repeated(item, so_far)
            case Tagged(inner, tag):
                own = self._walk(inner, Reading(so_far.end))
                return [_tagged(so_far, more, tag) for more in own]

    def _may_follow(self, item: Expansion, at: int) -> bool:
        """Whether the next words begin as a part does, or it may say nothing."""
        words, silent = self._parts.first(item)
        return silent or not self._next[at].isdisjoint(words)

    def _said(self, words: Sequence[str], so_far: Reading) -> list[Reading]:
        end = so_far.end + len(words)
        heard = self._words[so_far.end : end]
        if len(heard) < len(words) or any(word not in may for word, may in zip(words, heard, strict=True)):
            return []
        return [Reading(end, so_far.marks, so_far.number, so_far.name, so_far.weight)]

    def _options(self, item: Choice, so_far: Reading) -> list[Reading]:
        found: list[Reading] = []
        for option, weight in self._parts.options(item).ahead(self._next[so_far.end], self._there[so_far.end]):
            weighed = so_far if weight == 1 else replace(so_far, weight=so_far.weight * weight)
            found += self._walk(option, weighed)
        return found

    def _repeated(self, item: Repeat, so_far: Reading) -> list[Reading]:
        found = [] if item.least else [so_far]
        latest = [so_far]
        while latest:
            latest = [after for before in latest for after in self._walk(item.item, before) if after.end > before.end]
            latest = _distinct(latest)
            found += latest
        return found


def _joined(before: Reading, more: Reading) -> Reading:
    return Reading(
        more.end,
        before.marks + more.marks,
        added(before.number, more.number),
        more.name,
        before.weight * more.weight,
    )


def _tagged(before: Reading, own: Reading, tag: str) -> Reading:
    joined = _joined(before, own)
    if is_number_tag(tag):
        return replace(joined, number=counted(tag, before.number, own.number))
    slot, equals, value = (part.strip() for part in tag.partition("="))
    if slot.startswith(ALONE):
        return replace(joined, marks=(*before.marks, Mark(slot.removeprefix(ALONE), None, before.end, own.end)))
    filled = value if equals else own.name if own.name is not None else own.number
    if slot in AS_SAID and not equals:
        filled = None
    return replace(joined, marks=(*joined.marks, Mark(slot, filled, before.end, own.end)))


def _distinct(readings: list[Reading]) -> list[Reading]:
    """Each meaning once, with its heaviest weight."""
    best: dict[tuple[object, ...], Reading] = {}
    for reading in readings:
        key = (reading.end, reading.marks, reading.number, reading.name)
        if key not in best or best[key].weight < reading.weight:
            best[key] = reading
    return list(best.values())[:MAX_READINGS]
