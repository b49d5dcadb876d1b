"""Our phrases and a book's names together."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar import phrasebook
from grammar.command import Command, Intent
from grammar.errors import GrammarError, PhraseError
from grammar.lexicon import SOFT_ITEMS
from grammar.matcher import Matcher
from grammar.names import Name, Names
from grammar.rules import refs
from tests.grammar.book_names import NAMES

BOOK = phrasebook.load(NAMES)
MATCHER = Matcher(NAMES)


@pytest.mark.parametrize("intent", Intent)
class TestEveryIntent:
    """Nothing is asked that cannot be said."""

    def test_has_a_rule(self, intent: Intent) -> None:
        """One rule says all that a recogniser hears for it."""
        rules = phrasebook.phrases().rules
        heard = {name for rule in (phrasebook.REQUEST, phrasebook.REPLY) for name in refs(rules[rule].body)}
        assert phrasebook.rule_of(intent).name in heard

    def test_has_examples_that_mean_it(self, intent: Intent) -> None:
        """One to three sentences for the help page, each with names of the book and each understood."""
        examples = BOOK.examples(intent)
        assert 1 <= len(examples) <= 3
        for example in examples:
            meaning = MATCHER.understand(example)
            assert isinstance(meaning, Command), example
            assert meaning.intent is intent, example

    def test_can_be_asked_for_without_names(self, intent: Intent) -> None:
        """A book without a name still has a help page."""
        assert all("<" not in example for example in phrasebook.load(Names()).examples(intent))


def test_examples_take_the_books_own_names() -> None:
    """What the help page offers can be asked in this very bar."""
    book = phrasebook.load(Names(drink=(Name("Foghorn"), Name("Low Tide"))))
    assert book.examples(Intent.COMPARE) == ("compare the Foghorn and the Low Tide",)


def test_every_rule_is_used() -> None:
    """No phrase lies about that nothing says, apart from the lists for the matcher."""
    grammar = phrasebook.phrases()
    used = {name for rule in grammar.rules.values() for name in refs(rule.body)}
    lists = {f"common.{name}" for name in ("light", "soft", "hard", "chatter", "around", "noise")}
    roots = {phrasebook.TEXT, phrasebook.ASKED, phrasebook.COMMAND, phrasebook.REPLY}
    assert set(grammar.rules) - used == lists | roots


def test_items_and_slots_are_those_of_the_phrases() -> None:
    """What the matcher takes as one item is a rule of the phrases."""
    assert set(phrasebook.phrases().rules) >= phrasebook.ITEMS
    assert SOFT_ITEMS <= phrasebook.ITEMS


@pytest.mark.parametrize(
    ("tag", "problem"),
    [
        ("colour", "no slot"),
        ("intent=fly", "no intent"),
        ("intent", "no intent"),
        ("drink=", "no slot"),
        ("x=1", "no slot"),
    ],
)
def test_a_tag_that_means_nothing_is_a_fault(
    tag: str, problem: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever edits a phrase is told which tag no one will read."""
    (tmp_path / "house.jsgf").write_text(f"#JSGF V1.0;grammar house;public <command> = stir {{{tag}}};")
    monkeypatch.setattr(phrasebook, "PHRASES", tmp_path)
    with pytest.raises(PhraseError) as caught:
        phrasebook.phrases.__wrapped__()
    assert caught.value.rule == "house.command"
    assert problem in caught.value.problem
    assert str(caught.value).startswith(f"<house.command> {{{tag}}}: ")
    assert isinstance(caught.value, GrammarError)
