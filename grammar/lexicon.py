"""The words of the phrases, names aside: which there are, and what each counts when a text differs from a phrase."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cached_property

from grammar.rules import Expansion, Grammar, Rule, Word, children
from grammar.templates import CHATTER, CONTENT, SOFT, WORD

VALUES, NUMBERS = "values", "numbers"  # the grammars of what fills slots
IDIOMS = "bar_talk."  # of what is meant word for word only: its words count for nothing elsewhere
SOFT_ITEMS = frozenset({"values.day", "values.moves"})  # that fill none


class Lexicon:
    """The words of one grammar of phrases; `items` are the rules that fill a slot whole."""

    def __init__(self, grammar: Grammar, items: Collection[str]) -> None:
        self._rules = {name: rule for name, rule in grammar.rules.items() if not name.startswith(IDIOMS)}
        self._items = items

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word of the phrases."""
        return self._of(self._rules.values())

    @cached_property
    def carriers(self) -> frozenset[str]:
        """The words that stand around names, numbers and other values."""
        return self._of(r for name, r in self._rules.items() if name.partition(".")[0] not in (VALUES, NUMBERS))

    @cached_property
    def values(self) -> frozenset[str]:
        """The words that fill slots: kinds, units, allergens, numbers."""
        return self._of(self._rules[name] for name in self._items)

    @cached_property
    def numbers(self) -> frozenset[str]:
        """The words that count."""
        return self._of(r for name, r in self._rules.items() if name.partition(".")[0] == NUMBERS)

    def listed(self, rule: str) -> frozenset[str]:
        """The words of a rule that is a plain list of words."""
        return self._of([self._rules[rule]])

    def weigh(self, label: str) -> float:
        """What a word counts, or an item by its rule's name: 0, CHATTER, SOFT, WORD or CONTENT (templates.py)."""
        return self._weights.get(label, WORD if label in self.carriers else CONTENT)

    @cached_property
    def _weights(self) -> dict[str, float]:
        heavier = [("hard", CONTENT), ("soft", SOFT), ("chatter", CHATTER), ("light", 0.0)]
        weights = {word: weight for rule, weight in heavier for word in self.listed(f"common.{rule}")}
        return weights | dict.fromkeys(SOFT_ITEMS, SOFT)

    @staticmethod
    def _of(rules: Collection[Rule] | Iterator[Rule]) -> frozenset[str]:
        return frozenset(word for rule in rules for word in _words(rule.body))


def _words(item: Expansion) -> Iterator[str]:
    if isinstance(item, Word):
        yield from item.words
    for part in children(item):
        yield from _words(part)
