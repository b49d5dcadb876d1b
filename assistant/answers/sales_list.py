"""What is said of a till's list of sales: what it counts, and what was taken of it."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.answers.figures import figure
from assistant.answers.list_lines import (
    TERMINAL,
    Door,
    fault_table,
    faults_said,
    more_near,
    near_table,
    others_fact,
)
from assistant.answers.speech import capital, counted
from assistant.messages import Block, Card, Reply, Row, Table
from assistant.office.sales import SalesPreview


def sales_shown(found: SalesPreview, door: Door = TERMINAL) -> Reply:
    """What the list counts; nothing is changed yet."""
    if found.faults:
        return Reply(f"{faults_said(found.faults)}, so nothing can be taken from the list.", _card(found))
    if not found.sold:
        return Reply("No drink of the book is on the list.", _card(found))
    return Reply(f"{_total(found)}. {door.take} have it replace the list before.", _card(found))


def sales_taken(found: SalesPreview, undo: str) -> Reply:
    """What the list counts from now on."""
    return Reply(f"{_total(found)}. Ask for the menu engineering now.", _card(found), undo=undo)


def sales_not_taken(found: SalesPreview) -> Reply:
    """Why the list changed nothing."""
    if found.faults:
        return Reply(f"Nothing was changed: {faults_said(found.faults).lower()}.", _card(found), understood=False)
    if not found.sold:
        said = "Nothing was changed: no drink of the book is on the list."
        return Reply(said, _card(found), understood=False)
    return Reply("Nothing was changed: that list was taken already.", _card(found))


def _total(found: SalesPreview) -> str:
    return capital(f"{counted(sum(found.sold.values()), 'sale')} of {counted(len(found.sold), 'drink')}")


def _card(found: SalesPreview) -> Card:
    blocks = (
        fault_table(found.faults),
        _sold_table(found.sold),
        near_table(found.near, "Not counted: are any of these meant?"),
        more_near(found.near),
    )
    facts = others_fact(found.others, "things that are no drinks of the book")
    return Card("import_sales", "Sales", facts, tuple(block for block in blocks if block is not None))


def _sold_table(sold: Mapping[str, int]) -> Block | None:
    ranked = sorted(sold.items(), key=lambda pair: pair[1], reverse=True)
    rows = tuple(Row(name, (figure(count, "sold"),)) for name, count in ranked)
    return Table(rows, ("", "sold")) if rows else None
