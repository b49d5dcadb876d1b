"""What is said of a till's list of sales: what it counts, and why a line is no use."""

from __future__ import annotations

from assistant.answers.figures import figure
from assistant.answers.price_list import MOST_NEAR, fault_table
from assistant.answers.speech import capital, counted
from assistant.messages import Block, Card, Note, Reply, Row, Table
from assistant.office.sales import SalesPreview


def sales_shown(found: SalesPreview) -> Reply:
    """What the list counts; nothing is changed yet."""
    if found.faults:
        return Reply(f"{_faults(found)}, so nothing can be taken from the list.", _card(found))
    if not found.sold:
        return Reply("No drink of the book is on the list.", _card(found))
    return Reply(f"{_total(found)}. Add --apply to have it replace the list before.", _card(found))


def sales_taken(found: SalesPreview, undo: str) -> Reply:
    """What the list counts from now on."""
    return Reply(f"{_total(found)}. Ask for the menu engineering now.", _card(found), undo=undo)


def sales_not_taken(found: SalesPreview) -> Reply:
    """Why the list changed nothing."""
    if found.faults:
        return Reply(f"Nothing was changed: {_faults(found).lower()}.", _card(found), understood=False)
    if not found.sold:
        said = "Nothing was changed: no drink of the book is on the list."
        return Reply(said, _card(found), understood=False)
    return Reply("Nothing was changed: that list was taken already.", _card(found))


def _total(found: SalesPreview) -> str:
    return capital(f"{counted(sum(found.sold.values()), 'sale')} of {counted(len(found.sold), 'drink')}")


def _faults(found: SalesPreview) -> str:
    count = len(found.faults)
    return capital(f"{counted(count, 'line')} {'has a fault' if count == 1 else 'have faults'}")


def _card(found: SalesPreview) -> Card:
    ranked = sorted(found.sold.items(), key=lambda pair: pair[1], reverse=True)
    faults = fault_table(found.faults)
    blocks: list[Block] = [faults] if faults else []
    blocks += (
        [Table(tuple(Row(name, (figure(count, "sold"),)) for name, count in ranked), ("", "sold"))] if ranked else []
    )
    near = tuple(
        Row(f"line {one.line}", (one.name, ", ".join(one.near)), tone="muted") for one in found.near[:MOST_NEAR]
    )
    heads = ("", "on the list", "near to it in the book")
    blocks += [Table(near, heads, "Not counted: are any of these meant?")] if near else []
    more = len(found.near) - MOST_NEAR
    blocks += [Note(f"And {counted(more, 'line')} more whose names are only near.", "muted")] if more > 0 else []
    lines = "line" if found.others == 1 else "lines"
    facts = (f"{found.others:,} {lines} of things that are no drinks of the book",) if found.others else ()
    return Card("import_sales", "Sales", facts, tuple(blocks))
