"""What is said of a supplier's price list: what it would change, why a line is no use, and what to do now."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.answers.figures import money_figure, percent_figure
from assistant.answers.pack_prices import pack_size
from assistant.answers.speech import capital, counted
from assistant.errors import ListRefused
from assistant.messages import Block, Card, Note, Reply, Row, Table
from assistant.office.pack_sizes import Unsized
from assistant.office.supplier import LARGE, LineFault, NearLine, Preview, Priced
from assistant.office.written_money import Unread
from recipes.model import Book

MOST_NEAR = 25  # lines offered; the rest are counted

REFUSALS = {  # what cannot be read at all, by ListRefused.reason; {0} and {1} are what it names
    "empty": "The file is empty.",
    "too long": "The file is too long for a price list or a sales list. Twenty million letters are the most.",
    "workbook": "That is a workbook, not a list. Save it as CSV from the program that made it, and give me that.",
    "no text": "That is no text in any encoding I know. Save the list as CSV, in UTF-8.",
    "quote": "A quotation mark on line {0} is never closed, so I cannot tell where its line ends. Mend it first.",
    "no heading": 'I found no heading that names the columns I need. The list begins with "{0}". Say which column '
    "holds what, for example --columns item=1,pack=2,price=3.",
    "two columns": 'Two columns could be the {0}: "{1}" and "{2}". Say which with --columns {0}="{1}".',
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
    "large": "The price moves more than {large} times. Check the pack; if it is right, add --large-changes.",
}


def refused(error: ListRefused) -> Reply:
    """Why a list cannot be read at all."""
    said = REFUSALS[error.reason].format(*(*error.told, "", ""))
    return Reply(f"{said} Nothing was changed.", understood=False)


def previewed(found: Preview, book: Book) -> Reply:
    """What the list would change; nothing is changed yet."""
    head = f"{_changes(len(found.changes))} would change" if found.changes else "No price would change"
    if found.faults:
        head = f"{_faults(found)}, so nothing can be taken from the list"
    elif found.changes:
        head += ". Add --apply to make it so"
    return Reply(f"{head}. {_same(found)}".strip(), _card(found, book))


def applied(found: Preview, book: Book, undo: str) -> Reply:
    """What the list changed."""
    return Reply(f"{_changes(len(found.changes))} changed. {_same(found)}".strip(), _card(found, book), undo=undo)


def not_applied(found: Preview, book: Book) -> Reply:
    """Why the list changed nothing."""
    if found.faults:
        return Reply(f"Nothing was changed: {_faults(found).lower()}.", _card(found, book), understood=False)
    return Reply("Nothing was changed: the list has no price that is not so already.", _card(found, book))


def _changes(count: int) -> str:
    return capital(counted(count, "price"))


def _faults(found: Preview) -> str:
    count = len(found.faults)
    return capital(f"{counted(count, 'line')} {'has a fault' if count == 1 else 'have faults'}")


def _same(found: Preview) -> str:
    count = len(found.unchanged)
    return f"{_changes(count)} {'stays' if count == 1 else 'stay'} the same." if count else ""


def _card(found: Preview, book: Book) -> Card:
    tables = (fault_table(found.faults), _change_table(found.changes, book), _near(found.near))
    blocks = tuple(table for table in tables if table is not None)
    return Card("import_prices", "Price list", _facts(found), (*blocks, *_left(found)))


def _facts(found: Preview) -> tuple[str, ...]:
    lines = "line" if found.others == 1 else "lines"
    return (f"{found.others:,} {lines} of things that are not in the book",) if found.others else ()


def fault_table(faults: tuple[LineFault, ...]) -> Block | None:
    """The lines to mend, each with how; None where there are none."""
    rows = tuple(Row(f"line {fault.line}", (fault.name,), _mend(fault), "warn") for fault in faults)
    return Table(rows, title="Mend these first") if rows else None


def _mend(fault: LineFault) -> str:
    return FAULTS[fault.reason].format(fault.said, large=LARGE)


def _change_table(changes: Iterable[Priced], book: Book) -> Block | None:
    rows = tuple(_change(priced, book) for priced in changes)
    return Table(rows, ("", "pack", "new", "was", "change"), "Prices of the book's packs") if rows else None


def _change(priced: Priced, book: Book) -> Row:
    pack, house = book.ingredients[priced.ingredient].pack, book.house
    old, new = priced.old.magnitude, priced.new.magnitude
    change = percent_figure((new - old) / old * 100 if old else None)
    size = pack_size(pack) if pack else ""
    note = f"line {priced.line}: {f'{priced.pack} at ' if priced.pack else ''}{priced.said}"
    note += "; no size is written, so the book's is taken" if priced.assumed else ""
    return Row(
        priced.ingredient, (size, money_figure(priced.new, house), money_figure(priced.old, house), change), note
    )


def _near(lines: tuple[NearLine, ...]) -> Block | None:
    rows = tuple(
        Row(f"line {line.line}", (line.name, ", ".join(line.near)), tone="muted") for line in lines[:MOST_NEAR]
    )
    return (
        Table(rows, ("", "on the list", "near to it in the book"), "Not taken: are any of these meant?")
        if rows
        else None
    )


def _left(found: Preview) -> list[Block]:
    more = len(found.near) - MOST_NEAR
    told = [f"And {counted(more, 'line')} more whose names are only near."] if more > 0 else []
    if found.near:
        first = found.near[0]
        told += [f'To have one taken now and always: --match "{first.name}={first.near[0]}".']
    if found.made_here:
        told += [f"On the list, but the book makes them or has no pack for them: {', '.join(found.made_here)}."]
    return [Note(text, "muted") for text in told]
