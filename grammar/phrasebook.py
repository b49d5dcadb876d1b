"""All that can be said: our phrase files with the book's names in them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

from grammar import jsgf, network
from grammar.command import Intent
from grammar.errors import PhraseError
from grammar.exact import ALONE, Parser
from grammar.lexicon import Lexicon
from grammar.names import Names
from grammar.numbers import is_number_tag
from grammar.rules import Expansion, Grammar, Rule, Tagged, children, refs
from grammar.templates import Templates
from grammar.wordings import KINDS, PLURALS, Wordings

PHRASES = Path(__file__).with_name("phrases")
TEXT = "house.text"  # what text is parsed by, with the words before and after
ASKED = "house.asked"  # without the leads that anything may follow
SAID = "house.said"  # the same without any
MEANT = "house.meant"  # of that, what may also be said in words that are like it
COMMAND = "house.command"  # what a recogniser listens for
REPLY = "house.reply"  # the same, while a question of the quiz is open
REQUEST = "house.request"  # the rules of the first, one an intent
TITLE = "values.title"  # a new drink's name: any words when typed
GIVEN = frozenset(f"names.{rule}" for rule in (*KINDS, *PLURALS))
_VALUES = (
    *("unit", "reading", "measure", "money", "percent", "part", "role", "kind", "bottle", "allergen"),
    *("strong", "stronger", "strength", "day", "moves", "use_what", "title"),
)
# What fills a slot beside the names: one item to the matcher, one room to a recogniser.
ITEMS = frozenset({f"values.{rule}" for rule in _VALUES} | {"numbers.count", "numbers.pour"})
SLOTS = frozenset(
    {
        *("drink", "drink_2", "drink_3", "drink_4", "ingredient", "ingredient_2", "family", "family_2", "shelf"),
        "person",
        *("count", "count_2", "count_3", "count_4", "amount", "unit", "percent", "money", "part", "role", "text"),
    }
)
_PLACEHOLDER = re.compile(r"<(\w+)>")


class Phrasebook:
    """The phrases and one book's names."""

    def __init__(self, names: Names) -> None:
        self.names = names
        self.wordings = Wordings(names)
        self.grammar = phrases()
        self.lexicon = lexicon()
        self.parser = parser()

    def network(self, in_quiz: bool = False) -> network.Network:
        """Everything that can be said now, as a network of words for a recogniser: commands, or answers to a quiz."""
        said = REPLY if in_quiz else COMMAND
        rules = {name: replace(rule, public=name == said) for name, rule in self.grammar.rules.items()}
        return network.build(replace(self.grammar, rules=rules), self.wordings.by_rule(), ITEMS)

    def examples(self, intent: Intent) -> tuple[str, ...]:
        """Two or three sentences that mean this, with names of the book in them."""
        rule = rule_of(intent)
        used = {kind: iter(getattr(self.names, kind)) for kind in KINDS}

        def name(match: re.Match[str]) -> str:
            found = next(used[match[1]], None)
            return found.canonical if found else f"a {match[1]}"

        return tuple(_PLACEHOLDER.sub(name, example) for example in rule.examples)


def load(names: Names) -> Phrasebook:
    """The phrasebook for these names."""
    return Phrasebook(names)


@cache
def phrases() -> Grammar:
    """Our phrase files, read and checked once. Raises JsgfError or PhraseError when one is at fault."""
    grammar = jsgf.load(PHRASES / "house.jsgf", GIVEN)
    for rule in grammar.rules.values():
        for tag in tags(rule.body):
            _check_tag(rule, tag)
    return grammar


@cache
def parser() -> Parser:
    """The parser of our phrases."""
    return Parser(phrases(), GIVEN | {TITLE})


@cache
def lexicon() -> Lexicon:
    """The words of our phrases."""
    return Lexicon(phrases(), ITEMS - {TITLE})


@cache
def templates() -> Templates:
    """Our phrases as templates."""
    return Templates(phrases(), MEANT, ITEMS | GIVEN, lexicon().weigh)


@cache
def rule_of(intent: Intent) -> Rule:
    """The rule that says all that means this intent."""
    tag = f"intent={intent.value}"
    rules = phrases().rules
    named = (*refs(rules[REQUEST].body), *refs(rules[REPLY].body))
    return next(rules[name] for name in named if tag in tags(rules[name].body))


def rules_of(kind: str) -> tuple[str, ...]:
    """The rules that a name of this kind fills: in a text, more than one is said where one is meant, and back."""
    return (f"names.{kind}", *(f"names.{rule}" for rule, of in PLURALS.items() if of == kind))


def tags(item: Expansion) -> Iterator[str]:
    """Every tag in an expansion."""
    if isinstance(item, Tagged):
        yield item.tag
    for part in children(item):
        yield from tags(part)


def _check_tag(rule: Rule, tag: str) -> None:
    slot, equals, value = (part.strip() for part in tag.removeprefix(ALONE).partition("="))
    if is_number_tag(tag) or (slot in SLOTS and (value or not equals)):
        return
    if slot != "intent":
        raise PhraseError(rule.name, tag, f"no slot {slot!r}; there are {', '.join(sorted(SLOTS))}")
    if value not in set(Intent):
        raise PhraseError(rule.name, tag, f"no intent {value!r}")
