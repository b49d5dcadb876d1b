"""A fault in the book's files: where it is, what is wrong, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from rapidfuzz import fuzz, process

from recipes.locate import line_of

Severity = Literal["fault", "warning"]
LIKE_IN_WHOLE = 60  # rapidfuzz ratio, 0..100: a slip of the finger
LIKE_IN_PART = 70  # rapidfuzz WRatio: a word of the name; below it a suggestion would be a guess


@dataclass(frozen=True)
class Fault:
    """One thing to mend. A fault keeps the book from loading; a warning does not."""

    file: str  # as named inside the book's folder: 'ingredients/spirits.toml'
    line: int  # 1-based
    entry: str  # the drink's or ingredient's name; empty for the file itself
    field: str  # the key; 'abv.value' inside a table; empty for the entry itself
    problem: str  # 'no ingredient is called "gni"'
    mend: str  # 'write "gin"'
    severity: Severity = "fault"

    def __str__(self) -> str:
        """File, line, entry, problem and mend on one line, as a compiler would print it."""
        where = ", ".join(part for part in (self.entry, self.field) if part)
        return f"{self.file}:{self.line}: {self.severity}: {where + ': ' if where else ''}{self.problem}; {self.mend}"


@dataclass(frozen=True)
class Page:
    """One file of the book, read and parsed."""

    file: str
    text: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class Place:
    """One entry of one page: knows its own name, and finds the line of any of its fields."""

    page: Page
    table: str = ""  # 'drink' for [[drink]]; empty for the keys at the top of the file
    index: int = 0
    entry: str = ""

    def fault(self, field: str, problem: str, mend: str, item: str = "", severity: Severity = "fault") -> Fault:
        """A fault in this entry's field; `item` is the list item or text within the field that is wrong."""
        line = line_of(self.page.text, self.table, self.index, field, item)
        return Fault(self.page.file, line, self.entry, field, problem, mend, severity)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known name that comes nearest in spelling, as a whole or else in part; None when none is near."""
    folded = {name: name.casefold() for name in known}
    whole = process.extractOne(word.casefold(), folded, scorer=fuzz.ratio, score_cutoff=LIKE_IN_WHOLE)
    match = whole or process.extractOne(word.casefold(), folded, scorer=fuzz.WRatio, score_cutoff=LIKE_IN_PART)
    return match[2] if match else None


def write_instead(word: str, known: Iterable[str], otherwise: str) -> str:
    """The mend for a wrong name: the nearest right one, else what to do otherwise."""
    near = nearest(word, known)
    return f'write "{near}"' if near else otherwise
