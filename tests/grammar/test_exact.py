"""The exact parse: which words are a sentence, and what their tags come to."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import jsgf
from grammar.exact import Edges, Mark, Parser, Reading

HEAD = "#JSGF V1.0;\ngrammar bar;\nimport <names.*>;\n"
GIVEN = frozenset({"names.drink"})


def readings(rules: str, text: str, edges: Edges | None = None) -> list[Reading]:
    """The readings of a text as rule <x>."""
    parser = Parser(jsgf.parse(HEAD + rules), GIVEN)
    return parser.sentences("x", [frozenset({word}) for word in text.split()], edges or {})


def marks(rules: str, text: str, edges: Edges | None = None) -> list[tuple[Mark, ...]]:
    """What the tags of each reading give."""
    return [reading.marks for reading in readings(rules, text, edges)]


@pytest.mark.parametrize(
    ("rules", "text", "is_said"),
    [
        ("<x> = stir it;", "stir it", True),
        ("<x> = stir it;", "stir", False),
        ("<x> = stir it;", "stir it now", False),
        ('<x> = "Stir It";', "stir it", True),
        ("<x> = stir | shake;", "shake", True),
        ("<x> = stir [it];", "stir", True),
        ("<x> = a* b;", "b", True),
        ("<x> = a* b;", "a a a b", True),
        ("<x> = a+ b;", "b", False),
        ("<x> = <y> b; <y> = a;", "a b", True),
        ("<x> = <NULL> a;", "a", True),
        ("<x> = <VOID> | a;", "a", True),
        ("<x> = <VOID>;", "a", False),
        ("<x> = /1/ a | /0/ b;", "b", False),
        ("<x> = a [<x>];", "a a a", True),
        ("<x> = b | a <x>;", "a a b", True),
        ("<x> = b | a <x>;", "a a", False),
        ("<x> = a <y> | b; <y> = c <x> | d;", "a c a c b", True),
        ("<x> = a [<x>] b;", "a a b b", True),
        ("<x> = ([a] [b])* c;", "a b b a c", True),
        ("<x> = a;", "", False),
        ("<x> = [a];", "", True),
        ("<x> = d | (a b | b a) c;", "b a c", True),
        ("<x> = d | (a b | b a) c;", "c b a", False),
        ("<x> = d | (a b c | a) d;", "a d", True),
        ("<x> = d | (a | b c) (d | e f);", "b c e f", True),
        ("<x> = d | (a | b c) [a] b+ (d | e f);", "b c b b d", True),
        ("<x> = d | a <y> b; <y> = c | a <y>;", "a a a c b", True),
    ],
)
def test_a_text_is_a_sentence_or_not(rules: str, text: str, is_said: bool) -> None:
    """All of the words, in order, and nothing else."""
    assert bool(readings(rules, text)) is is_said


@pytest.mark.parametrize(
    ("rules", "text", "expected"),
    [
        ("<x> = stir {how=stirred};", "stir", [Mark("how", "stirred", 0, 1)]),
        ("<x> = please (stir it) {what};", "please stir it", [Mark("what", None, 1, 3)]),
        ("<x> = <n> {count}; <n> = two {2};", "two", [Mark("count", Fraction(2), 0, 1)]),
        ("<x> = <n> {count}; <n> = two {2} dozen {*12};", "two dozen", [Mark("count", Fraction(24), 0, 2)]),
        ("<x> = <y> now; <y> = stir {how=stirred};", "stir now", [Mark("how", "stirred", 0, 1)]),
        ("<x> = (a {one=1} b) {two=2};", "a b", [Mark("one", "1", 0, 1), Mark("two", "2", 0, 2)]),
        ("<x> = (a {one=1} b) {!two};", "a b", [Mark("two", None, 0, 2)]),
        ("<x> = <n> {text}; <n> = two {2};", "two", [Mark("text", None, 0, 1)]),
    ],
)
def test_tags_give_slots(rules: str, text: str, expected: list[Mark]) -> None:
    """A value of their own, the number or the words of what they follow, or those words alone."""
    assert marks(rules, text) == [tuple(expected)]


class TestNames:
    """Rules without a body."""

    EDGES: ClassVar[Edges] = {("names.drink", 1): [(3, "Gin Fizz"), (2, "Gin")]}

    def test_a_name_gives_what_it_stands_for(self) -> None:
        """A slot holds the name as the book writes it."""
        assert marks("<x> = a <names.drink> {drink};", "a gin fizz", self.EDGES) == [(Mark("drink", "Gin Fizz", 1, 3),)]

    def test_a_name_that_stands_for_two_things_has_two_readings(self) -> None:
        """The caller asks which."""
        edges: Edges = {("names.drink", 0): [(1, "Gin Daisy"), (1, "Copper Daisy")]}
        assert {m[0].value for m in marks("<x> = <names.drink> {drink};", "daisy", edges)} == {
            "Gin Daisy",
            "Copper Daisy",
        }

    def test_words_for_themselves(self) -> None:
        """A new name is whatever was said."""
        assert marks("<x> = call it <names.drink> {text};", "call it foo", {("names.drink", 2): [(3, None)]}) == [
            (Mark("text", None, 2, 3),)
        ]


def test_the_heavier_reading_comes_first() -> None:
    """Weights say which of two readings is meant."""
    found = readings("<x> = /0.3/ a {one=1} | /1/ <y>; <y> = a {two=2};", "a")
    assert [reading.weight for reading in found] == [1.0, 0.3]
    assert found[0].marks == (Mark("two", "2", 0, 1),)


def test_any_of_the_words_heard_will_do() -> None:
    """A slip and its mends stand at one place."""
    parser = Parser(jsgf.parse(f"{HEAD}<x> = stir it;"), GIVEN)
    assert parser.sentences("x", [frozenset({"stri", "stir"}), frozenset({"it"})], {})


def test_a_rule_knows_what_it_begins_with() -> None:
    """Names are in angle brackets; what may be left out is looked through."""
    parser = Parser(jsgf.parse(f"{HEAD}<x> = [a] (b | <names.drink> | <y>) c; <y> = d+ | <VOID>;"), GIVEN)
    assert parser.begins("x") == {"a", "b", "<names.drink>", "d"}


@settings(deadline=None, max_examples=20)
@given(st.integers(1, 40))
def test_doubt_does_not_grow_without_bound(length: int) -> None:
    """A grammar that can read a text in a million ways answers at once, with the few that differ."""
    found = readings("<x> = (a | a a | a {t=1} | <y>)+; <y> = a+;", "a " * length)
    assert 1 <= len(found) <= 64
