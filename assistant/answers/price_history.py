"""What an ingredient's pack has cost: every price that was set, by whom and when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from assistant.answers.figures import money_figure
from assistant.answers.pack_prices import no_pack, pack_said, pack_size
from assistant.answers.speech import capital, counted
from assistant.memory import Entry
from assistant.messages import Card, Reply, Row, Table
from recipes.model import Book
from recipes.units import Quantity, quantity

BOOK_PRICE = "the price in the book"


def price_history(name: str, entries: Sequence[Entry], book: Book) -> Reply:
    """The history of one ingredient's price, newest first; `book` is the book as it stands now."""
    pack, house = book.ingredients[name].pack, book.house
    if pack is None:
        return Reply(no_pack(name, book))
    say = f"{capital(name)} is {pack_said(pack, house)}. "
    if not entries:
        return Reply(f"{say}That is {BOOK_PRICE}; it was never changed here.")
    told = ((entry, "undone" if entry.undoes else "") for entry in entries)
    rows = tuple(Row(when(entry.at), (_price_cell(entry, book), entry.who), note) for entry, note in told)
    card = Card("price_history", name, (pack_size(pack).text,), (Table(rows, ("", "price", "by")),))
    return Reply(f"{say}It was changed {counted(len(entries), 'time')}.", card)


def when(moment: datetime) -> str:
    """By the clock on this machine's wall: '6 May 2024, 12:00'."""
    at = moment.astimezone()
    return f"{at.day} {at:%B %Y, %H:%M}"


def _price_cell(entry: Entry, book: Book) -> str:
    price = _price(entry)
    return BOOK_PRICE if price is None else money_figure(price, book.house).text


def _price(entry: Entry) -> Quantity | None:
    return None if entry.after is None else quantity(Decimal(entry.after["price"]), "money")
