"""JSGF is read as the Note of 2000 says, faults are told with line and mend, and a grammar can be written again."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import jsgf
from grammar.errors import JsgfError
from grammar.phrasebook import GIVEN, PHRASES
from grammar.rules import Choice, Expansion, Grammar, Maybe, Ref, Repeat, Rule, Sequence, Tagged, Word

HEAD = "#JSGF V1.0 UTF-8 en;\ngrammar bar;\n"


def body(text: str) -> Expansion:
    """The expansion that a rule's right side is read as; <a> to <c> are there to be named."""
    others = "".join(f"<{name}> = {name};\n" for name in "abc")
    return jsgf.parse(f"{HEAD}{others}<x> = {text};").rules["x"].body


READINGS = [
    ("shake", Word("shake")),
    ('"New Orleans"', Word("New Orleans")),
    (r'"say \"when\""', Word('say "when"')),
    ("<a>", Ref("a")),
    ("<NULL>", Ref("NULL")),
    ("shake it", Sequence((Word("shake"), Word("it")))),
    ("shake | stir", Choice((Word("shake"), Word("stir")))),
    ("/2/ shake | /0.5/ stir", Choice((Word("shake"), Word("stir")), (2.0, 0.5))),
    ("/1e-1/ shake | /3f/ stir", Choice((Word("shake"), Word("stir")), (0.1, 3.0))),
    ("[please]", Maybe(Word("please"))),
    ("<a>*", Repeat(Ref("a"), 0)),
    ("<a>+", Repeat(Ref("a"), 1)),
    ("shake {how}", Tagged(Word("shake"), "how")),
    ("shake {one} {two}", Tagged(Tagged(Word("shake"), "one"), "two")),
    (r"shake {a \} brace}", Tagged(Word("shake"), "a } brace")),
    ("<a>+ {many}", Tagged(Repeat(Ref("a"), 1), "many")),
    ("shake it | stir", Choice((Sequence((Word("shake"), Word("it"))), Word("stir")))),
    ("(shake | stir) it", Sequence((Choice((Word("shake"), Word("stir"))), Word("it")))),
    ("shake it {how}", Sequence((Word("shake"), Tagged(Word("it"), "how")))),
    ("shake // comment\n it", Sequence((Word("shake"), Word("it")))),
    ("shake /* a \n comment */ it", Sequence((Word("shake"), Word("it")))),
]


class TestReading:
    """Text to grammar."""

    @pytest.mark.parametrize(("text", "expected"), READINGS, ids=[text for text, _ in READINGS])
    def test_an_expansion_is_read(self, text: str, expected: Expansion) -> None:
        """Tokens, rules, groups, operators, tags, weights and comments bind as the Note's section 4 says."""
        assert body(text) == expected

    def test_header_name_and_imports_are_kept(self) -> None:
        """The self-identifying header, the grammar's full name and its imports are there to be written again."""
        grammar = jsgf.parse("#JSGF V1.0 ISO8859-1 en;\ngrammar com.bar.shelf;\nimport <other.*>;\n<x> = y;")
        assert (grammar.header, grammar.name, grammar.imports) == ("V1.0 ISO8859-1 en", "com.bar.shelf", ("other.*",))

    def test_only_public_rules_are_public(self) -> None:
        """The word 'public' before a rule is what makes it public."""
        grammar = jsgf.parse(f"{HEAD}public <x> = y; <z> = y;")
        assert [rule.name for rule in grammar.public] == ["x"]

    def test_a_documentation_comment_gives_examples(self) -> None:
        """What stands after @example in the comment before a rule is a sample sentence."""
        text = f"{HEAD}/**\n * Stirring.\n * @example stir it\n * @example stir that\n */\n<x> = stir (it | that);"
        assert jsgf.parse(text).rules["x"].examples == ("stir it", "stir that")

    def test_a_word_may_be_public_or_import(self) -> None:
        """The keywords are words like others inside a rule."""
        assert body("public import grammar") == Sequence((Word("public"), Word("import"), Word("grammar")))


FAULTS = [
    ("", 1, "no JSGF header"),
    ("grammar bar;", 1, "no JSGF header"),
    ("#JSGF V1.0;\n<x> = y;", 2, "'grammar' is missing"),
    ("#JSGF V1.0;\ngrammar ;", 2, "no name"),
    ("#JSGF V1.0;\ngrammar bar\n<x> = y;", 3, "';' is missing"),
    (f"{HEAD}<x> = y", 3, "';' is missing"),
    (f"{HEAD}<x> y;", 3, "'=' is missing"),
    (f"{HEAD}x = y;", 3, "not a rule to define"),
    (f"{HEAD}<x.y> = z;", 3, "not a rule to define"),
    (f"{HEAD}<NULL> = z;", 3, "has its meaning already"),
    (f"{HEAD}<x> = ;", 3, "nothing to say"),
    (f"{HEAD}<x> = a | ;", 3, "nothing to say"),
    (f"{HEAD}<x> = ();", 3, "nothing to say"),
    (f"{HEAD}<x> = {{tag}};", 3, "nothing to say"),
    (f"{HEAD}<x> = (a;", 3, "')' is missing"),
    (f"{HEAD}<x> = [a);", 3, "']' is missing"),
    (f"{HEAD}<x> = a**;", 3, "';' is missing"),
    (f"{HEAD}<x> = a\n| <z>;", 3, "<z> is not defined"),
    (f"{HEAD}<x> = a;\n<x> = b;", 4, "defined twice"),
    (f'{HEAD}<x> = "a;', 3, "cannot read '\"'"),
    (f"{HEAD}<x> = a {{b;", 3, "cannot read '{'"),
    (f"{HEAD}<x> = <a b>;", 3, "cannot read '<'"),
    (f"{HEAD}<x> = a /* b;", 3, "cannot read '/'"),
    (f"{HEAD}<x> = a ] b;", 3, "';' is missing"),
    (f"{HEAD}<x> = a }} b;", 3, "cannot read '}'"),
    (f"{HEAD}<x> = /0.5/ a | b;", 3, "some have none"),
    (f"{HEAD}<x> = <x> a;", 3, "left recursion"),
    (f"{HEAD}<x> = [b] <y>; <y> = <x> a | c;", 3, "left recursion"),
    (f"{HEAD}<x> = a <x>;", 3, "never be said to its end"),
    (f"{HEAD}<x> = {'(' * 50}a{')' * 50};", 3, "nested more than 40"),
]


class TestFaults:
    """A grammar that cannot be used."""

    @pytest.mark.parametrize(("text", "line", "problem"), FAULTS)
    def test_a_fault_has_file_line_problem_and_mend(self, text: str, line: int, problem: str) -> None:
        """Whoever edits a phrase is told where, what is wrong, and what would mend it."""
        with pytest.raises(JsgfError) as caught:
            jsgf.parse(text, "bar.jsgf")
        fault = caught.value
        assert (fault.file, fault.line) == ("bar.jsgf", line)
        assert problem in fault.problem
        assert fault.mend
        assert str(fault) == f"bar.jsgf:{line}: {fault.problem}; {fault.mend}"

    @settings(deadline=None)
    @given(st.text())
    def test_any_text_is_read_or_refused(self, text: str) -> None:
        """No text whatever breaks the reader."""
        for whole in (text, HEAD + text):
            with suppress(JsgfError):
                assert isinstance(jsgf.parse(whole), Grammar)


words = st.from_regex(r"[a-z' ]{1,8}", fullmatch=True).filter(lambda text: bool(text.strip())).map(Word)
expansions: st.SearchStrategy[Expansion] = st.recursive(
    words | st.just(Ref("NULL")),
    lambda inner: st.one_of(
        st.builds(Maybe, inner),
        st.builds(Repeat, inner, st.sampled_from((0, 1))),
        st.builds(Tagged, inner, st.from_regex(r"[a-z}\\]{1,5}", fullmatch=True)),
        st.lists(inner, min_size=2, max_size=3).map(lambda items: Sequence(tuple(items))),
        st.lists(inner, min_size=2, max_size=3).map(lambda items: Choice(tuple(items))),
        st.lists(inner, min_size=1, max_size=3).map(lambda items: Choice(tuple(items), (0.5,) * len(items))),
    ),
    max_leaves=12,
)


class TestWriting:
    """Grammar to text."""

    @settings(deadline=None)
    @given(expansions)
    def test_what_is_written_is_read_as_the_same(self, expansion: Expansion) -> None:
        """A grammar, written and read again, is the same grammar."""
        grammar = Grammar("bar", {"x": Rule("x", expansion, public=True)})
        assert jsgf.parse(jsgf.write(grammar)).rules["x"].body == _flat(expansion)

    def test_our_own_phrases_can_be_written_as_one_file(self) -> None:
        """The phrases with all they import are one text, which reads as the same rules again."""
        grammar = jsgf.load(PHRASES / "house.jsgf", GIVEN)
        again = jsgf.parse(jsgf.write(grammar))
        assert len(again.rules) == len(grammar.rules)
        assert jsgf.write(again) == jsgf.write(grammar)


def _flat(item: Expansion) -> Expansion:
    """As the reader gives it: it has no group of one."""
    match item:
        case Sequence(items):
            return Sequence(tuple(_flat(part) for part in items))
        case Choice(options, weights):
            return Choice(tuple(_flat(part) for part in options), weights)
        case Maybe(inner):
            return Maybe(_flat(inner))
        case Repeat(inner, least):
            return Repeat(_flat(inner), least)
        case Tagged(inner, tag):
            return Tagged(_flat(inner), tag.strip())
        case _:
            return item


class TestLoading:
    """A file and those it imports."""

    def test_imports_stand_beside_the_file(self, tmp_path: Path) -> None:
        """Rules of another file are known by their full name, and only the first file's public rules stay public."""
        (tmp_path / "main.jsgf").write_text("#JSGF V1.0;grammar main;import <more.drink>;public <ask> = a <drink>;")
        (tmp_path / "more.jsgf").write_text("#JSGF V1.0;grammar more;public <drink> = gimlet | <own>;<own> = fizz;")
        grammar = jsgf.load(tmp_path / "main.jsgf")
        assert list(grammar.rules) == ["main.ask", "more.drink", "more.own"]
        assert [rule.name for rule in grammar.public] == ["main.ask"]

    def test_a_file_that_is_no_text_is_refused(self, tmp_path: Path) -> None:
        """Bytes that are not UTF-8 are a fault of the file, told as such."""
        (tmp_path / "main.jsgf").write_bytes(b"#JSGF V1.0;\xff")
        with pytest.raises(JsgfError, match="not UTF-8"):
            jsgf.load(tmp_path / "main.jsgf")

    def test_a_missing_file_is_an_os_error(self, tmp_path: Path) -> None:
        """The file itself is the caller's affair."""
        with pytest.raises(FileNotFoundError):
            jsgf.load(tmp_path / "none.jsgf")
