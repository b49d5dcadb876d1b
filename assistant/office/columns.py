"""Which column of a list holds what: told by its heading, by words kept as data, or given by the person.

The separator is found on the way: it is the one under which a heading can be read.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import islice
from statistics import median_low
from typing import Literal

from assistant.errors import ListRefused
from assistant.office.spreadsheet import SEPARATORS, Line, lines_of

Kind = Literal["prices", "sales"]

HEADING_WITHIN = 40  # lines: above a heading stand the supplier's name, a date and the like
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_NOT_WORDS = re.compile(r"[^\w\s]|_")


@dataclass(frozen=True)
class Sheet:
    """A list with its columns known: what each holds -> its place; the lines below the heading."""

    places: Mapping[str, int]
    headings: Mapping[str, str]  # as written, for the columns that were told by their heading
    width: int | None  # cells of the heading; None where there is none
    lines: tuple[Line, ...]

    def cell(self, line: Line, column: str) -> str:
        """What a line has in a column; empty where it has nothing, or where there is no such column."""
        return line.cell(self.places.get(column))


@dataclass(frozen=True)
class _Words:
    needs: tuple[tuple[str, ...], ...]  # each met by any one of its columns
    words: Mapping[str, frozenset[str]]


def fold(text: str) -> str:
    """Small letters and single spaces; brackets, marks and signs left out."""
    bare = _NOT_WORDS.sub(" ", _BRACKETS.sub(" ", unicodedata.normalize("NFC", text)))
    return " ".join(bare.casefold().split())


def sheet_of(text: str, kind: Kind, given: Mapping[str, str] | None = None) -> Sheet:
    """The list in a text, with `given` columns (what it holds -> its heading, or its number from 1) before our words.

    Raises ListRefused: 'no such column', 'two columns', 'no heading' or 'quote'.
    """
    known = _words(kind)
    for column in given or {}:
        if column not in known.words:
            raise ListRefused("no such column", column, ", ".join(known.words))
    numbers = {column: int(told) - 1 for column, told in (given or {}).items() if told.isdecimal() and int(told)}
    words = dict(known.words) | {c: frozenset({fold(told)}) for c, told in (given or {}).items() if c not in numbers}
    found = [sheet for mark in SEPARATORS if (sheet := _cut(text, mark, known, words, numbers)) is not None]
    if not found:
        raise ListRefused("no heading", *_first_line(text))
    return max(found, key=lambda sheet: len(sheet.places))


def kinds_of_column(kind: Kind) -> tuple[str, ...]:
    """What a column of such a list can hold."""
    return tuple(_words(kind).words)


def first_lines(text: str, most: int) -> tuple[tuple[str, ...], ...]:
    """The first lines as cells, cut at the separator that cuts them into the most columns."""
    tries = [_first_cut(text, mark, most) for mark in SEPARATORS]
    return max(tries, key=lambda lines: median_low([len(line) for line in lines] or [0]))


def _first_cut(text: str, separator: str, most: int) -> tuple[tuple[str, ...], ...]:
    try:
        return tuple(line.cells for line in islice(lines_of(text, separator), most))
    except ListRefused:
        return ()


@cache
def _words(kind: Kind) -> _Words:
    table = tomllib.loads((files("assistant.office") / "columns.toml").read_text("utf-8"))[kind]
    needs = tuple(tuple(need.split(" or ")) for need in table["needs"])
    return _Words(needs, {column: frozenset(map(fold, words)) for column, words in table["words"].items()})


def _cut(
    text: str, separator: str, known: _Words, words: Mapping[str, frozenset[str]], numbers: Mapping[str, int]
) -> Sheet | None:
    """The list as cut at one separator; None where what it needs is in no line."""
    if _enough(numbers, known):
        lines = tuple(lines_of(text, separator)) if any(separator in line for line in text.splitlines()) else ()
        wide = [line for line in lines if len(line.cells) > max(numbers.values())]
        return Sheet(numbers, {}, None, lines) if len(wide) * 2 > len(lines) else None
    try:
        heading = next(
            (line for line in islice(lines_of(text, separator), HEADING_WITHIN) if _is(line, known, words, numbers)),
            None,
        )
    except ListRefused:
        return None
    if heading is None:
        return None
    places = {
        column: _one(heading, column, words[column]) for column in _named(heading, words) if column not in numbers
    }
    body = tuple(line for line in lines_of(text, separator) if line.number > heading.number)
    return Sheet({**places, **numbers}, {c: heading.cells[at] for c, at in places.items()}, len(heading.cells), body)


def _is(line: Line, known: _Words, words: Mapping[str, frozenset[str]], numbers: Mapping[str, int]) -> bool:
    return _enough({**dict.fromkeys(_named(line, words), 0), **numbers}, known)


def _enough(columns: Mapping[str, int], known: _Words) -> bool:
    return all(any(column in columns for column in need) for need in known.needs)


def _named(line: Line, words: Mapping[str, frozenset[str]]) -> list[str]:
    folded = {fold(cell) for cell in line.cells}
    return [column for column, names in words.items() if names & folded]


def _one(line: Line, column: str, names: frozenset[str]) -> int:
    places = [at for at, cell in enumerate(line.cells) if fold(cell) in names]
    if len(places) > 1:
        raise ListRefused("two columns", column, *(line.cells[at] for at in places))
    return places[0]


def _first_line(text: str) -> tuple[str, ...]:
    return tuple(line.strip()[:80] for line in text.splitlines() if line.strip())[:1]
