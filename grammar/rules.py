"""A grammar as a tree: what jsgf.py reads and writes, and what the network and the parse are made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

NULL = "NULL"  # the rule that is always there and says nothing
VOID = "VOID"  # the rule that can never be said
SPECIAL = frozenset({NULL, VOID})


@dataclass(frozen=True)
class Word:
    """A token: one word, or several in quotes."""

    text: str

    @cached_property
    def words(self) -> tuple[str, ...]:
        """The words to be said, in lower case."""
        return tuple(self.text.lower().split())


@dataclass(frozen=True)
class Ref:
    """A rule named in angle brackets."""

    name: str


@dataclass(frozen=True)
class Sequence:
    """One after the other."""

    items: tuple[Expansion, ...]


@dataclass(frozen=True)
class Choice:
    """One of these; `weights` is empty, or one for each option."""

    options: tuple[Expansion, ...]
    weights: tuple[float, ...] = ()

    def weighted(self) -> Iterator[tuple[Expansion, float]]:
        """Each option with its weight: 1 where none is written."""
        yield from zip(self.options, self.weights or (1.0,) * len(self.options), strict=True)


@dataclass(frozen=True)
class Maybe:
    """In square brackets: said or left out."""

    item: Expansion


@dataclass(frozen=True)
class Repeat:
    """Said over and over: at least `least` times (0 for the star, 1 for the plus)."""

    item: Expansion
    least: int


@dataclass(frozen=True)
class Tagged:
    """With a tag in braces, that says what it means."""

    item: Expansion
    tag: str


Expansion = Word | Ref | Sequence | Choice | Maybe | Repeat | Tagged


@dataclass(frozen=True)
class Rule:
    """One definition."""

    name: str
    body: Expansion
    public: bool = False
    line: int = 0
    doc: str = ""  # the documentation comment before it, without its stars

    @property
    def examples(self) -> tuple[str, ...]:
        """The sample sentences that its documentation comment gives, one after each `@example`."""
        return tuple(line.split("@example", 1)[1].strip() for line in self.doc.splitlines() if "@example" in line)


@dataclass(frozen=True)
class Grammar:
    """One grammar: its rules by name, in the order of the file."""

    name: str
    rules: Mapping[str, Rule]
    imports: tuple[str, ...] = ()  # 'numbers.count', 'numbers.*'
    header: str = "V1.0"  # version, encoding and locale, as written
    file: str = ""

    @property
    def public(self) -> tuple[Rule, ...]:
        """The rules that can be spoken, or used from another grammar."""
        return tuple(rule for rule in self.rules.values() if rule.public)


def children(item: Expansion) -> tuple[Expansion, ...]:
    """The parts that an expansion is made of, one level down."""
    match item:
        case Word() | Ref():
            return ()
        case Sequence(items):
            return items
        case Choice(options):
            return options
        case Maybe() | Repeat() | Tagged():
            return (item.item,)


def refs(item: Expansion) -> Iterator[str]:
    """Every rule that an expansion names, at any depth."""
    if isinstance(item, Ref):
        yield item.name
    for part in children(item):
        yield from refs(part)
