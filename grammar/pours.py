"""A build as it is recited: 'two ounces gin, three quarters lime and three quarters simple'."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from grammar import phrasebook
from grammar.clean import words
from grammar.exact import Reading
from grammar.names import Names
from grammar.numbers import as_decimal
from grammar.phrasebook import Phrasebook

MEASURES = ("values.measure", "numbers.pour", "numbers.number")  # what an amount is read as, the fuller first
USUAL = "oz"  # the unit of an amount that has none
METRIC, METRIC_FROM = "ml", Decimal(10)  # nobody pours ten ounces: a number like that is millilitres


class SaidPour(NamedTuple):
    """One line of a recited build."""

    amount: Decimal
    unit: str  # as the book writes it: 'oz', 'ml', 'dash'
    ingredient: str  # as the book writes it


def parse_pours(text: str, names: Names) -> tuple[SaidPour, ...]:
    """The pours that a text recites, in its order.

    An ingredient takes the amount said before it; after 'each' or 'equal parts', several take one amount. An amount
    without a unit has the unit said before it if that is ounces or millilitres, else ounces, or millilitres from 10 up.
    An ingredient said without an amount ('topped with soda') is left out.
    """
    book = _book(names)
    spoken = [said.word for said in words(text)]
    return tuple(_pours(spoken, book))


@lru_cache(maxsize=2)
def _book(names: Names) -> Phrasebook:
    return phrasebook.load(names)


def _pours(spoken: Sequence[str], book: Phrasebook) -> Iterator[SaidPour]:
    amount: tuple[Decimal, str] | None = None
    usual = ""
    shared = False
    at = 0
    while at < len(spoken):
        name = max(book.wordings.at(spoken, at), key=lambda w: (w.kind == "ingredient", len(w.words)), default=None)
        if name is not None and name.kind == "ingredient":
            if amount is not None:
                yield SaidPour(*amount, name.canonical)
            amount = amount if shared else None
            at += len(name.words)
        elif (said := _amount(spoken, at, book)) is not None:
            end, number, unit = said
            usual = unit if unit in (USUAL, METRIC) else usual
            amount = (number, unit or usual or (METRIC if number >= METRIC_FROM else USUAL))
            shared = False
            at = end
        else:
            if spoken[at : at + 2] == ["equal", "parts"]:
                amount = (Decimal(1), "part")
            shared = shared or spoken[at] in ("each", "equal")
            at += 1


def _amount(spoken: Sequence[str], at: int, book: Phrasebook) -> tuple[int, Decimal, str] | None:
    """The longest amount that begins at a word: the word after it, the number, and its unit if it has one."""
    heard = [frozenset({word}) for word in spoken]
    found = [reading for rule in MEASURES for reading in book.parser.starts(rule, heard, at, {})]
    best = max((r for r in found if r.number is not None), key=lambda r: (r.end, bool(r.marks)), default=None)
    if best is None or best.number is None:
        return None
    return best.end, as_decimal(best.number), _unit(best)


def _unit(reading: Reading) -> str:
    return next((str(mark.value) for mark in reading.marks if mark.slot == "unit"), "")
