"""A till's list of what was sold: which drink, how many. It replaces the list before it, whole or not at all."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from assistant.answers.base import Change, Sold
from assistant.errors import ListRefused
from assistant.office.columns import Sheet, fold, sheet_of
from assistant.office.near_names import NearNames
from assistant.office.spreadsheet import Line, text_of
from assistant.office.supplier import LineFault, NearLine
from recipes.model import Book

NOTHING_GIVEN: Mapping[str, str] = MappingProxyType({})
_WHOLE = re.compile(r"(\d+)(?:[.,]0{1,2})?")  # '1.000' may be one or a thousand, so it is neither
MOST_SOLD = 1_000_000  # of one drink in one period; more is a slip


@dataclass(frozen=True)
class SalesPreview:
    """What a sales list says. With faults it is not taken."""

    sold: Mapping[str, int]  # by drink, as the book writes it
    faults: tuple[LineFault, ...]  # reason 'count'
    near: tuple[NearLine, ...]
    others: int  # lines of things that are no drinks of the book

    def as_changes(self, before: Mapping[str, int]) -> tuple[Change, ...]:
        """What is to be remembered in place of the list before."""
        gone = [Sold(drink, None) for drink in before if drink not in self.sold]
        new = [Sold(drink, count) for drink, count in self.sold.items() if before.get(drink) != count]
        return (*gone, *new)


def read_sales(
    data: bytes, book: Book, columns: Mapping[str, str] = NOTHING_GIVEN, matches: Mapping[str, str] = NOTHING_GIVEN
) -> SalesPreview:
    """What a sales list says; `matches`: a name of the till -> a drink. A drink on several lines is added up.

    Raises ListRefused when the list cannot be read at all, or a match names a drink that the book lacks.
    """
    missing = [drink for drink in matches.values() if drink not in book.drinks]
    if missing:
        raise ListRefused("no such drink", *missing)
    reading = _Sales(book, {fold(name): drink for name, drink in matches.items()})
    sheet = sheet_of(text_of(data), "sales", columns)
    for line in sheet.lines:
        reading.take(line, sheet)
    return SalesPreview(dict(reading.sold), tuple(reading.faults), tuple(reading.near), reading.others)


@dataclass
class _Sales:
    book: Book
    matches: Mapping[str, str]
    sold: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    faults: list[LineFault] = field(default_factory=list)
    near: list[NearLine] = field(default_factory=list)
    others: int = 0

    def __post_init__(self) -> None:
        called: dict[str, set[str]] = defaultdict(set)
        for drink in self.book.drinks.values():
            for name in drink.spoken:
                called[fold(name)].add(drink.name)
        self._known = {name: drinks.pop() for name, drinks in called.items() if len(drinks) == 1}
        self._known |= {fold(name): name for name in self.book.drinks} | dict(self.matches)
        self._nearest = NearNames((name, name) for name in self.book.drinks)

    def take(self, line: Line, sheet: Sheet) -> None:
        """Add one line up, or note why not."""
        name, count = sheet.cell(line, "item"), sheet.cell(line, "sold").replace(" ", "")
        drink = self._known.get(fold(name))
        if drink is None:
            self._pass(line.number, name)
        elif (whole := _WHOLE.fullmatch(count)) is None or int(whole[1]) > MOST_SOLD:
            self.faults.append(LineFault(line.number, drink, "count", count))
        else:
            self.sold[drink] += int(whole[1])

    def _pass(self, number: int, name: str) -> None:
        near = self._nearest.near(name)
        if near:
            self.near.append(NearLine(number, name, near))
        else:
            self.others += 1
