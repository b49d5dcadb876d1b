"""A grammar as a network of words: what a recogniser takes as its finite-state grammar.

The phrases are made into the smallest deterministic automaton, in which a name of the book, or a number, is one arc.
Each such arc then leads silently into a room: the smallest automaton of those names, laid once for each place that they
go on to, however many phrases carry them. Without rooms (deterministic throughout) our own phrases make twice the arcs,
and a decoder that keeps words by state takes four times as long over them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from grammar import rules
from grammar.automaton import Automaton, Draft, TooLarge
from grammar.errors import JsgfError
from grammar.rules import Choice, Expansion, Grammar, Maybe, Ref, Repeat, Rule, Tagged, Word

Wordings = Mapping[str, Collection[tuple[str, ...]]]  # name of a given rule -> what can be said for it, in words
SILENT = ""  # the word of an arc that says nothing


@dataclass(frozen=True)
class Arc:
    """From one state to another by one word, or silently: into a room, out of it, or to the final state."""

    source: int
    target: int
    word: str


@dataclass(frozen=True)
class Network:
    """States 0 to `size` - 1; no two arcs of a state have the same word, unless they are silent."""

    start: int
    final: int  # the one state in which a sentence ends
    arcs: tuple[Arc, ...]
    size: int

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that can be said."""
        return frozenset(arc.word for arc in self.arcs) - {SILENT}

    @cached_property
    def _by_state(self) -> Mapping[int, tuple[Arc, ...]]:
        found: defaultdict[int, list[Arc]] = defaultdict(list)
        for arc in self.arcs:
            found[arc.source].append(arc)
        return {state: tuple(arcs) for state, arcs in found.items()}

    def accepts(self, words: Iterable[str]) -> bool:
        """Whether these words are a sentence."""
        states = self._silently({self.start})
        for word in words:
            states = self._silently({a.target for s in states for a in self._by_state.get(s, ()) if a.word == word})
        return self.final in states

    def _silently(self, states: set[int]) -> set[int]:
        """The states, and all that they lead to without a word."""
        reached = set(states)
        waiting = list(states)
        while waiting:
            for arc in self._by_state.get(waiting.pop(), ()):
                if arc.word == SILENT and arc.target not in reached:
                    reached.add(arc.target)
                    waiting.append(arc.target)
        return reached

    def sentence(self, choose: Callable[[Sequence[Arc]], Arc]) -> tuple[str, ...]:
        """One sentence; at each state `choose` picks the way on (`random.Random(7).choice`)."""
        said: list[str] = []
        state = self.start
        while state != self.final:
            arc = choose(self._by_state[state])
            state = arc.target
            if arc.word != SILENT:
                said.append(arc.word)
        return tuple(said)


def build(grammar: Grammar, names: Wordings | None = None, rooms: Collection[str] = ()) -> Network:
    """The network of all public rules of a checked grammar.

    Args:
        grammar: as `jsgf.load` or `jsgf.parse` gives it.
        names: for each rule without a body, what can be said for it. Each has rooms of its own.
        rooms: other rules that have rooms of their own: those used in many places.

    Raises JsgfError for a rule that contains itself other than at its end, when nothing can be said, and when there is
    more to say than fits: a rule that names another twice, which does the same, and so on, doubles it each time.
    """
    builder = _Builder(grammar, names or {}, frozenset(rooms) | frozenset(names or {}))
    try:
        phrases = builder.phrases()
        if not phrases.finals:
            problem = f"the grammar {grammar.name!r} has no public rule that can be said"
            raise JsgfError(grammar.file, 1, problem, "make one public, and let it say something")
        return _Rooms(phrases, builder).network()
    except (TooLarge, RecursionError):
        mend = "name fewer rules within rules, or say less in one sentence"
        raise JsgfError(grammar.file, 1, "there is more to say than can be listened for", mend) from None


class _Builder:
    """Rules laid out as arcs, each use of a rule by itself: the sharing is found afterwards."""

    def __init__(self, grammar: Grammar, names: Wordings, rooms: frozenset[str]) -> None:
        self._grammar = grammar
        self._names = names
        self._rooms = rooms
        self._draft = Draft()

    def phrases(self) -> Automaton:
        """All public rules, with a room as one arc."""
        self._draft = Draft()
        begin, end = self._draft.state(), self._draft.state()
        for rule in self._grammar.public:
            self._rule(rule, begin, end, {})
        return self._draft.automaton(begin, end).minimal()

    def room(self, name: str) -> Automaton:
        """What can be said for one name."""
        self._draft = Draft()
        begin, end = self._draft.state(), self._draft.state()
        if name in self._names:
            for wording in self._names[name]:
                self._words(wording, begin, end)
        else:
            rule = self._grammar.rules[name]
            self._lay(rule.body, begin, end, {}, rule)
        return self._draft.automaton(begin, end).minimal()

    def _rule(self, rule: Rule, begin: int, end: int, inside: Mapping[str, tuple[int, int]]) -> None:

        entry = self._draft.state()
        self._draft.silent(begin, entry)
        self._lay(rule.body, entry, end, {**inside, rule.name: (entry, end)}, rule)

    def _lay(self, item: Expansion, begin: int, end: int, inside: Mapping[str, tuple[int, int]], rule: Rule) -> None:
        match item:
            case Word():
                self._words(item.words, begin, end)
            case Ref(name):
                self._ref(name, begin, end, inside, rule)
            case rules.Sequence(items):
                for part in items[:-1]:
                    middle = self._draft.state()
                    self._lay(part, begin, middle, inside, rule)
                    begin = middle
                self._lay(items[-1], begin, end, inside, rule)
            case Choice():
                for option, weight in item.weighted():
                    if weight > 0:
                        self._lay(option, begin, end, inside, rule)
            case Maybe(inner):
                self._draft.silent(begin, end)
                self._lay(inner, begin, end, inside, rule)
            case Repeat():
                self._repeat(item, begin, end, inside, rule)
            case Tagged(inner):
                self._lay(inner, begin, end, inside, rule)

    def _words(self, words: Sequence[str], begin: int, end: int) -> None:
        for word in words[:-1]:
            middle = self._draft.state()
            self._draft.arc(begin, word, middle)
            begin = middle
        if words:
            self._draft.arc(begin, words[-1], end)
        else:
            self._draft.silent(begin, end)

    def _ref(self, name: str, begin: int, end: int, inside: Mapping[str, tuple[int, int]], rule: Rule) -> None:
        if name == rules.NULL:
            self._draft.silent(begin, end)
        elif name in self._rooms:
            if name not in self._names or self._names[name]:  # a book without families says no phrase about one
                self._draft.arc(begin, _label(name), end)
        elif name in inside:
            entry, leave = inside[name]
            if leave != end:
                mend = "let a rule name itself only at its very end, or use + or *"
                raise self._fault(rule, f"<{name}> contains itself in its middle", mend)
            self._draft.silent(begin, entry)
        elif name in self._grammar.rules:
            self._rule(self._grammar.rules[name], begin, end, inside)
        elif name != rules.VOID:
            raise self._fault(rule, f"no names were given for <{name}>", "hand them to the network")

    def _repeat(self, item: Repeat, begin: int, end: int, inside: Mapping[str, tuple[int, int]], rule: Rule) -> None:
        before, after = self._draft.state(), self._draft.state()
        self._draft.silent(begin, before)
        self._lay(item.item, before, after, inside, rule)
        self._draft.silent(after, before)
        self._draft.silent(after, end)
        if not item.least:
            self._draft.silent(begin, end)

    def _fault(self, rule: Rule, problem: str, mend: str) -> JsgfError:
        return JsgfError(self._grammar.file, rule.line, problem, mend)


def _label(name: str) -> str:
    """The arc that says 'any of these'; no word of a grammar can hold '<'."""
    return f"<{name}>"


class _Rooms:
    """The phrases with their rooms opened."""

    def __init__(self, phrases: Automaton, builder: _Builder) -> None:
        self._phrases = phrases
        self._builder = builder
        self._plans: dict[str, Automaton] = {}  # label -> its room, as it is laid
        self._doors: dict[tuple[str, int], int] = {}  # label and the state it leads to -> the first state of the room
        self._arcs: list[Arc] = []
        self._size = 0

    def network(self) -> Network:
        """With one final state: that which ends and goes no further, reached by silent arcs from any other end."""
        phrases = self._phrases
        states = self._lay(phrases)
        dead_ends = [states[s] for s in phrases.finals if not phrases.arcs[s]]
        final = dead_ends[0] if dead_ends else self._states(1)[0]
        self._arcs += [Arc(states[s], final, SILENT) for s in sorted(phrases.finals) if states[s] != final]
        return Network(states[phrases.start], final, tuple(self._arcs), self._size)

    def _states(self, count: int) -> list[int]:
        self._size += count
        return list(range(self._size - count, self._size))

    def _lay(self, plan: Automaton, leads_to: int | None = None) -> list[int]:
        """The states of an automaton, laid anew; where it ends and goes no further, it is at `leads_to` already."""
        states = self._states(len(plan.arcs))
        if leads_to is not None:
            states = [leads_to if s in plan.finals and not plan.arcs[s] else new for s, new in enumerate(states)]
            self._arcs += [Arc(states[s], leads_to, SILENT) for s in sorted(plan.finals) if states[s] != leads_to]
        for source, arcs in enumerate(plan.arcs):
            for word, target in sorted(arcs.items()):
                here, there = states[source], states[target]
                self._arcs.append(Arc(here, self._door(word, there), SILENT) if "<" in word else Arc(here, there, word))
        return states

    def _door(self, label: str, leads_to: int) -> int:
        if label not in self._plans:
            self._plans[label] = self._builder.room(label[1:-1])
        if (label, leads_to) not in self._doors:
            plan = self._plans[label]
            self._doors[label, leads_to] = self._lay(plan, leads_to)[plan.start]
        return self._doors[label, leads_to]
