"""What is said of a supplier's price list: what it would change, what it changed, and what to do now."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.answers.figures import money_figure, percent_figure
from assistant.answers.list_lines import (
    TERMINAL,
    Door,
    fault_table,
    faults_said,
    more_near,
    near_table,
    others_fact,
)
from assistant.answers.pack_prices import pack_size
from assistant.answers.speech import capital, counted
from assistant.messages import Block, Card, Note, Reply, Row, Table
from assistant.office.supplier import Preview, Priced
from recipes.model import Book


def previewed(found: Preview, book: Book, door: Door = TERMINAL) -> Reply:
    """What the list would change; nothing is changed yet."""
    head = f"{_changes(len(found.changes))} would change" if found.changes else "No price would change"
    if found.faults:
        head = f"{faults_said(found.faults)}, so nothing can be taken from the list"
    elif found.changes:
        head += f". {door.take} make it so"
    return Reply(f"{head}. {_same(found)}".strip(), _card(found, book, door))


def applied(found: Preview, book: Book, undo: str, door: Door = TERMINAL) -> Reply:
    """What the list changed."""
    return Reply(f"{_changes(len(found.changes))} changed. {_same(found)}".strip(), _card(found, book, door), undo=undo)


def not_applied(found: Preview, book: Book, door: Door = TERMINAL) -> Reply:
    """Why the list changed nothing."""
    if found.faults:
        said = f"Nothing was changed: {faults_said(found.faults).lower()}."
        return Reply(said, _card(found, book, door), understood=False)
    return Reply("Nothing was changed: the list has no price that is not so already.", _card(found, book, door))


def _changes(count: int) -> str:
    return capital(counted(count, "price"))


def _same(found: Preview) -> str:
    count = len(found.unchanged)
    return f"{_changes(count)} {'stays' if count == 1 else 'stay'} the same." if count else ""


def _card(found: Preview, book: Book, door: Door) -> Card:
    blocks = (
        fault_table(found.faults, door),
        _change_table(found.changes, book),
        near_table(found.near, "Not taken: are any of these meant?"),
        more_near(found.near),
    )
    facts = others_fact(found.others, "things that are not in the book")
    shown = tuple(block for block in blocks if block is not None)
    return Card("import_prices", "Price list", facts, (*shown, *_advice(found, door)))


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


def _advice(found: Preview, door: Door) -> list[Block]:
    told = []
    if found.near:
        first = found.near[0]
        told += [door.match.format(first.name, first.near[0])]
    if found.made_here:
        told += [f"On the list, but the book makes them or has no pack for them: {', '.join(found.made_here)}."]
    return [Note(text, "muted") for text in told]
