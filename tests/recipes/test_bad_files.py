"""Whatever is done to a book's file, it ends in a book or in faults with a line and a mend, never in a failure."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recipes.loader import book_of, texts_of

VALUES = ('"x"', '""', "0", "-1", "1e999", "nan", "inf", "true", "[]", "{}", "[[]]", "1979-05-27", "9" * 40, "{a = 1}")
AMOUNTS = (
    '"2 oz gin"',
    '["2 oz gin"]',
    '["1/0 oz gin"]',
    '["-1 oz gin"]',
    '["1e999 ml gin"]',
    '"0 ml"',
    '"½ oz gin"',
    '"\\u0000"',
)
LINES = (
    "[[drink]]",
    "[[drinks]]",
    "[house]",
    "[a.b]",
    "x = 1",
    'name = "Gimlet"',
    "",
    "# note",
    '"""',
    "]",
    "\x00",
    "\u202e",
)
CHANGE = st.tuples(
    st.integers(0, 10_000),
    st.sampled_from(("value", "line", "lost", "twice", "letter")),
    st.sampled_from(VALUES + AMOUNTS),
    st.sampled_from(LINES),
)


@cache
def shipped() -> Mapping[str, str]:
    """The files of the book that ships."""
    return MappingProxyType(texts_of(Path(str(files("recipes") / "book"))))


def changed(text: str, changes: list[tuple[int, str, str, str]]) -> str:
    """The text with some of its lines changed as a slip, or malice, would change them."""
    lines = text.split("\n")
    for number, how, value, line in changes:
        at = number % len(lines)
        match how:
            case "value":
                lines[at] = f"{lines[at].partition('=')[0]}= {value}" if "=" in lines[at] else line
            case "line":
                lines.insert(at, line)
            case "lost":
                lines[at] = ""
            case "twice":
                lines.insert(at, lines[at])
            case "letter":
                middle = len(lines[at]) // 2
                lines[at] = lines[at][:middle] + value[:1] + lines[at][middle + 1 :]
    return "\n".join(lines)


@settings(max_examples=60, deadline=None)
@given(data=st.data(), changes=st.lists(CHANGE, min_size=1, max_size=4))
def test_a_changed_file_is_a_book_or_has_faults_that_can_be_mended(
    data: st.DataObject, changes: list[tuple[int, str, str, str]]
) -> None:
    """Each fault names a file that is there, a line that is in it, and what to do."""
    name = data.draw(st.sampled_from(sorted(shipped())))
    texts = {**shipped(), name: changed(shipped()[name], changes)}
    book, faults = book_of(texts)
    assert book is not None or faults
    for fault in faults:
        assert 1 <= fault.line <= texts[fault.file].count("\n") + 1
        assert fault.problem
        assert fault.mend


@settings(max_examples=60, deadline=None)
@given(text=st.text(max_size=200))
def test_any_text_at_all_is_a_page_or_a_fault(text: str) -> None:
    """Beside the good files, a file of anything."""
    book, faults = book_of({**shipped(), "anything.toml": text})
    assert (book is None) == bool(faults)


BAD = {
    "brackets without end": "x = " + "[" * 5_000,
    "brackets closed again": "x = " + "[" * 5_000 + "]" * 5_000,
    "braces without end": "x = " + "{a=" * 5_000,
    "more digits than are read": "x = " + "9" * 5_000,
    "a power beyond all": "x = 1e" + "9" * 50,
    "a heading misspelt": '[[drinks]]\nname = "Gimlet"\n',
    "a key of no shelf": "x = 1\n",
}


@pytest.mark.parametrize("case", BAD)
def test_it_is_one_fault_of_that_file(case: str) -> None:
    """What no reader can read, and what would be passed over, is told with its file."""
    book, faults = book_of({**shipped(), "anything.toml": BAD[case]})
    assert book is None
    assert {fault.file for fault in faults} == {"anything.toml"}
