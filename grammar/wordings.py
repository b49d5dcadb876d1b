"""The book's names as words that can be said: every wording, and what it stands for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from grammar.clean import phrase
from grammar.names import Name, Names

KINDS = ("drink", "ingredient", "family", "shelf", "person")
ONE_OF_A_KIND = frozenset({"shelf", "person"})  # of which nobody says more than one
PLURALS = {"drinks": "drink"}  # rule -> the kind of which it says more than one


@dataclass(frozen=True)
class Wording:
    """One way to say a name."""

    words: tuple[str, ...]
    kind: str
    canonical: str
    plural: bool = False

    @cached_property
    def joined(self) -> str:
        """The letters alone: how spelling is compared."""
        return "".join(self.words)


class Wordings:
    """All wordings of the book's names."""

    def __init__(self, names: Names) -> None:
        self.all: tuple[Wording, ...] = tuple(dict.fromkeys(_wordings(names)))
        self._by_first: defaultdict[str, list[Wording]] = defaultdict(list)
        for wording in self.all:
            self._by_first[wording.words[0]].append(wording)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that stands in a name."""
        return frozenset(word for wording in self.all for word in wording.words)

    def at(self, words: Sequence[str], start: int) -> Iterator[Wording]:
        """The wordings that stand in these words, from `start` on."""
        for wording in self._by_first.get(words[start], ()):
            if tuple(words[start : start + len(wording.words)]) == wording.words:
                yield wording

    def beginning(self, words: tuple[str, ...]) -> list[Wording]:
        """The longer names that begin with these words: 'fogbell'."""
        return self._parts[0].get(words, [])

    def ending(self, words: tuple[str, ...]) -> list[Wording]:
        """The longer names that end with these words: 'vermouth'."""
        return self._parts[1].get(words, [])

    def glued(self, letters: str) -> list[Wording]:
        """The wordings that are these letters, however they are parted: 'side car', 'oldfashioned'."""
        return self._by_letters.get(letters, [])

    @cached_property
    def _by_letters(self) -> Mapping[str, list[Wording]]:
        found: defaultdict[str, list[Wording]] = defaultdict(list)
        for wording in self.all:
            found[wording.joined].append(wording)
        return dict(found)

    @cached_property
    def _parts(self) -> tuple[Mapping[tuple[str, ...], list[Wording]], ...]:
        heads: defaultdict[tuple[str, ...], list[Wording]] = defaultdict(list)
        tails: defaultdict[tuple[str, ...], list[Wording]] = defaultdict(list)
        for wording in self.all:
            for cut in range(1, len(wording.words)) if not wording.plural else ():
                heads[wording.words[:cut]].append(wording)
                tails[wording.words[cut:]].append(wording)
        return dict(heads), dict(tails)

    def by_rule(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        """For each rule of the grammar 'names', what can be said for it: what the network takes."""
        rules: dict[str, list[tuple[str, ...]]] = {f"names.{rule}": [] for rule in (*KINDS, *PLURALS)}
        several = {kind: rule for rule, kind in PLURALS.items()}
        for wording in self.all:
            rule = several.get(wording.kind) if wording.plural else wording.kind
            if rule is not None:
                rules[f"names.{rule}"].append(wording.words)
        return {rule: tuple(dict.fromkeys(said)) for rule, said in rules.items()}


def _wordings(names: Names) -> Iterator[Wording]:
    for kind in KINDS:
        known: Iterable[Name] = getattr(names, kind)
        singular = [Wording(words, kind, name.canonical) for name in known for words in _ways(name)]
        yield from singular
        taken = {wording.words for wording in singular}
        if kind not in ONE_OF_A_KIND:
            for wording in singular:
                several = (*wording.words[:-1], plural(wording.words[-1]))
                if several not in taken:
                    yield Wording(several, kind, wording.canonical, plural=True)


def _ways(name: Name) -> Iterator[tuple[str, ...]]:
    for text in (name.canonical, *name.spoken, *name.sounds_like):
        words = phrase(text)
        if words := words[1:] if words[:1] == ("the",) else words:
            yield words  # an article is the phrases' business


def plural(word: str) -> str:
    """More than one: 'gimlets', 'daisies', 'dashes'; a word that ends in s stays as it is."""
    if word.endswith(("sh", "ch", "x", "z")):
        return f"{word}es"
    if word.endswith("s"):
        return word
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return f"{word[:-1]}ies"
    return f"{word}s"
