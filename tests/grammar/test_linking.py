"""Grammars that import one another become one, and what cannot be is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar import jsgf
from grammar.errors import JsgfError
from grammar.rules import Grammar, Ref, Sequence, Word

OTHER = "grammar other; public <x> = one; <hidden> = two;"
THIRD = "grammar third; public <x> = three;"


def load(tmp_path: Path, main: str, given: frozenset[str] = frozenset()) -> Grammar:
    """A grammar that may import `other` and `third`."""
    for name, text in (("main", f"grammar main; {main}"), ("other", OTHER), ("third", THIRD)):
        (tmp_path / f"{name}.jsgf").write_text(f"#JSGF V1.0; {text}", encoding="utf-8")
    return jsgf.load(tmp_path / "main.jsgf", given)


@pytest.mark.parametrize(
    ("main", "meant"),
    [
        ("import <other.*>; <r> = a <x>;", "other.x"),
        ("import <other.x>; <r> = a <x>;", "other.x"),
        ("import <other.x>; <r> = a <other.x>;", "other.x"),
        ("import <other.*>; import <third.*>; <r> = a <third.x>;", "third.x"),
        ("import <other.*>; <r> = a <x>; <x> = mine;", "main.x"),
        ("import <other.*>; <r> = a <main.x>; <x> = mine;", "main.x"),
    ],
)
def test_a_name_means_the_nearest_rule(tmp_path: Path, main: str, meant: str) -> None:
    """A rule's own grammar comes first, then what is imported; a full name says which."""
    assert load(tmp_path, main).rules["main.r"].body == Sequence((Word("a"), Ref(meant)))


@pytest.mark.parametrize(
    ("main", "problem"),
    [
        ("import <nowhere.*>; <r> = a;", "no grammar 'nowhere'"),
        ("import <other.nothing>; <r> = a;", "no public rule <nothing>"),
        ("import <other.hidden>; <r> = a;", "no public rule <hidden>"),
        ("import <other.*>; <r> = <hidden>;", "<hidden> is not defined"),
        ("import <other.*>; import <third.*>; <r> = <x>;", "more than one grammar"),
        ("<r> = <x>;", "<x> is not defined"),
        ("<r> = <names.drink>;", "<names.drink> is not defined"),
    ],
)
def test_a_name_without_one_meaning_is_refused(tmp_path: Path, main: str, problem: str) -> None:
    """Undefined, hidden and doubtful names are faults of the file that uses them."""
    with pytest.raises(JsgfError) as caught:
        load(tmp_path, main)
    assert problem in caught.value.problem
    assert caught.value.file == str(tmp_path / "main.jsgf")


def test_rules_without_a_body_come_in_by_import(tmp_path: Path) -> None:
    """The book's names are a grammar that has no file."""
    grammar = load(tmp_path, "import <names.*>; <r> = a <drink>;", frozenset({"names.drink"}))
    assert grammar.rules["main.r"].body == Sequence((Word("a"), Ref("names.drink")))


def test_the_fault_names_the_file_that_has_it(tmp_path: Path) -> None:
    """A fault in an imported file is told with that file's name and line."""
    load(tmp_path, "import <other.*>; <r> = <x>;")
    (tmp_path / "other.jsgf").write_text("#JSGF V1.0;\ngrammar other;\npublic <x> = <x> one | two;", encoding="utf-8")
    with pytest.raises(JsgfError) as caught:
        jsgf.load(tmp_path / "main.jsgf")
    assert (caught.value.file, caught.value.line) == (str(tmp_path / "other.jsgf"), 3)


@pytest.mark.parametrize(
    "rules",
    [
        "<r> = a <r> | b;",
        "<r> = a [<r>];",
        "<r> = a <s>; <s> = b <r> | c;",
        "<r> = (a | <NULL>) b <r> | c;",
    ],
)
def test_recursion_to_the_right_is_allowed(tmp_path: Path, rules: str) -> None:
    """The Note allows a rule that comes back to itself after a word."""
    assert load(tmp_path, rules).rules


@pytest.mark.parametrize(
    "rules",
    [
        "<r> = <r> | a;",
        "<r> = [a] <r> | b;",
        "<r> = a* <r> b | c;",
        "<r> = <n> <r> a | b; <n> = <NULL> | x;",
        "<r> = <s> a | b; <s> = <r> | c;",
        "<r> = (<r> {tag} | b) c;",
    ],
)
def test_recursion_to_the_left_is_refused(tmp_path: Path, rules: str) -> None:
    """However it is hidden: it would never get to a word."""
    with pytest.raises(JsgfError, match="left recursion"):
        load(tmp_path, rules)


def test_runaway_chains_of_rules_are_refused(tmp_path: Path) -> None:
    """Rules within rules within rules, more than a hundred deep, are no grammar of a bar."""
    chain = " ".join(f"<r{n}> = a <r{n + 1}>;" for n in range(150))
    with pytest.raises(JsgfError, match="nested more than"):
        load(tmp_path, f"{chain} <r150> = end;")
