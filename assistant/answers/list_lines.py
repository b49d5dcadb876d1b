"""What is said of any list's lines: why it cannot be read, which lines to mend, which names are only near to ours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.answers.speech import capital, counted
from assistant.errors import ListRefused
from assistant.messages import Block, Note, Reply, Row, Table
from assistant.office.pack_sizes import Unsized
from assistant.office.supplier import LARGE, LineFault, NearLine
from assistant.office.written_money import Unread

MOST_NEAR = 25  # lines offered; the rest are counted

REFUSALS = {  # what cannot be read at all, by ListRefused.reason; {0} and {1} are what it names
    "empty": "The file is empty.",
    "too long": "The file is too long for a price list or a sales list. Twenty million letters are the most.",
    "workbook": "That is a workbook, not a list. Save it as CSV from the program that made it, and give me that.",
    "no text": "That is no text in any encoding I know. Save the list as CSV, in UTF-8.",
    "quote": "A quotation mark on line {0} is never closed, so I cannot tell where its line ends. Mend it first.",
    "no heading": 'I found no heading that names the columns I need. The list begins with "{0}". {columns}',
    "two columns": 'Two columns could be the {0}: "{1}" and "{2}". {which}',
    "no such column": 'I know no column "{0}". There are: {1}.',
    "currency": 'The column "{0}" is in another currency than the book, which counts in {1}.',
    "no such ingredient": "The book has no {0}. Write the ingredient as the book does.",
    "no such name": 'The list has no "{0}". Write the name as the list does.',
    "no such drink": "The book has no drink {0}. Write the drink as the book does.",
    "no recipe": "There is no schema.org Recipe in that file.",
    "no json": "That is no JSON: line {0} cannot be read.",
}
FAULTS = {
    Unread.NOTHING: "No price is on the line. Write one, or take the line out.",
    Unread.NO_NUMBER: '"{0}" is no price. Write a number.',
    Unread.TWO_WAYS: '"{0}" can be read two ways. Write it with two decimals.',
    Unread.CURRENCY: '"{0}" is in another currency than the book.',
    Unread.NOT_POSITIVE: '"{0}" is not more than nothing. Write what a pack costs.',
    Unsized.NOT_UNDERSTOOD: 'I do not understand the pack "{0}". Write it like 6 x 700 ml.',
    Unsized.NO_UNIT: '"{0}" has no unit. Write ml, l, g or kg behind it.',
    Unsized.OTHER_KIND: 'The book does not buy it by "{0}". Write the pack the way the book has it.',
    Unsized.HOW_MANY: 'How many pieces is "{0}"? Write them, like 12 pieces.',
    "cells": "The line has more cells than the heading. Put quotation marks round what holds a comma.",
    "twice": "It is there more than once, at different prices (lines {0}). Keep one of them.",
    "count": '"{0}" is no whole number of drinks. Write one, without marks in it.',
    "large": "The price moves more than {large} times. Check the pack; if it is right, {allow_large}.",
}


@dataclass(frozen=True)
class Door:
    """How a list is gone on with, where it is given: in the terminal, or on the page."""

    take: str  # what makes it so
    columns: str  # how to say which column holds what
    which: str  # and which of two; {0} is what it holds, {1} a heading
    allow_large: str  # that large changes are right
    match: str  # how to have a near name taken; {0} is the list's, {1} ours


TERMINAL = Door(
    take="Add --apply to",
    columns="Say which column holds what, for example --columns item=1,pack=2,price=3.",
    which='Say which with --columns {0}="{1}".',
    allow_large="add --large-changes",
    match='To have one taken now and always: --match "{0}={1}".',
)
PAGE = Door(
    take="Press Take it to",
    columns="Say above the columns what each of them holds.",
    which="Say above the columns which it is.",
    allow_large="say below the list that large changes are right",
    match="To have one taken now and always, choose ours beside it.",
)


def refused(error: ListRefused, door: Door = TERMINAL) -> Reply:
    """Why a list cannot be read at all."""
    told = (*error.told, "", "")
    said = REFUSALS[error.reason].format(*told, columns=door.columns, which=door.which.format(*told))
    return Reply(f"{said} Nothing was changed.", understood=False)


def faults_said(faults: Sequence[LineFault]) -> str:
    """How many lines have a fault, without a stop: 'Two lines have faults'."""
    return capital(f"{counted(len(faults), 'line')} {'has a fault' if len(faults) == 1 else 'have faults'}")


def fault_table(faults: Sequence[LineFault], door: Door = TERMINAL) -> Block | None:
    """The lines to mend, each with how; None where there are none."""
    rows = tuple(Row(f"line {fault.line}", (fault.name,), _mend(fault, door), "warn") for fault in faults)
    return Table(rows, title="Mend these first") if rows else None


def _mend(fault: LineFault, door: Door) -> str:
    return FAULTS[fault.reason].format(fault.said, large=LARGE, allow_large=door.allow_large)


def near_table(lines: Sequence[NearLine], title: str) -> Block | None:
    """The first of the lines whose names are only near to ours; None where there are none."""
    rows = tuple(
        Row(f"line {line.line}", (line.name, ", ".join(line.near)), tone="muted") for line in lines[:MOST_NEAR]
    )
    return Table(rows, ("", "on the list", "near to it in the book"), title) if rows else None


def more_near(lines: Sequence[NearLine]) -> Block | None:
    """How many of those lines the table leaves out; None where it has them all."""
    more = len(lines) - MOST_NEAR
    return Note(f"And {counted(more, 'line')} more whose names are only near.", "muted") if more > 0 else None


def others_fact(count: int, what: str) -> tuple[str, ...]:
    """How many lines are about what the book does not have, as a fact under the card's title; none goes unsaid."""
    return (f"{count:,} {'line' if count == 1 else 'lines'} of {what}",) if count else ()
