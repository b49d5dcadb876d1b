"""Names that nobody has heard before."""

from __future__ import annotations

import pytest

from assistant.newcomers import as_known, is_name, named_in


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("I'm Sam", "Sam"),
        ("i'm sam", "Sam"),
        ("im sam", "Sam"),
        ("Hi I'm Sam.", "Sam"),
        ("my name is Anne-Marie", "Anne-Marie"),
        ("My name's O'Neil", "O'Neil"),
        ("this is zoë", "Zoë"),
        ("call me Max Lee", "Max Lee"),
    ],
)
def test_whoever_says_who_they_are_is_named(said: str, name: str) -> None:
    """In the letters that names are written in."""
    assert named_in(said) == name


@pytest.mark.parametrize(
    "said", ["spec for a gimlet", "I'm", "this is the gimlet spec", "i'm 7", "who am i", "Sam", "I'm <b>Sam</b>"]
)
def test_other_talk_names_nobody(said: str) -> None:
    """More words than a name has, or letters that none has."""
    assert named_in(said) is None


@pytest.mark.parametrize("text", ["Sam", "Zoë", "李明", "J. R. Li", "O\u2019Neil"])
def test_names_of_any_script_are_names(text: str) -> None:
    """One to three words of letters."""
    assert is_name(text)


@pytest.mark.parametrize("text", ["", "Sam 2", "a" * 41, "a b c d", "<script>", "Sam\nAna", "../x", "\x00"])
def test_what_no_name_is_made_of(text: str) -> None:
    """Figures, signs, lines and too many letters."""
    assert not is_name(text)


def test_a_name_is_known_however_it_is_written() -> None:
    """'sam', typed on another phone, is the same Sam."""
    assert as_known("sam", ("Ana", "Sam")) == "Sam"
    assert as_known("Bo", ("Ana", "Sam")) == "Bo"
