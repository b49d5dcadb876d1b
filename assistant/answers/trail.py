"""What is said of the trail: who changed what, and when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from assistant.answers.people import signed
from assistant.answers.speech import capital, counted
from assistant.memory import Entry
from assistant.messages import Card, Reply, Row, Table
from assistant.rights import EVERYBODYS

OF_THE_BOOK = "book"  # the kind of an entry that tells of an edit of the book's files
SHOWN = 40  # changes on the card
LOOKED_AT = 1_000  # lines of the trail, quiz marks among them
_KINDS = {
    "out": "out or in",
    "price": "price",
    "drink": "kept drink",
    "supplied": "supplier's name",
    "par": "par",
    "sold": "sold",
    "counted": "on hand",
    OF_THE_BOOK: "book",
}


def one_trail(remembered: Iterable[Entry], edited: Iterable[Entry]) -> tuple[Entry, ...]:
    """What the memory knows and what was edited in the book's files, in one row, newest first."""
    return tuple(sorted((*remembered, *edited), key=lambda entry: entry.at, reverse=True))


def changes_told(trail: Sequence[Entry], now: datetime, of: str = "") -> Reply:
    """'Who changed what?': the last change (`of` one thing) aloud, the latest on the card; `trail` is newest first."""
    changes = [entry for entry in trail if entry.kind not in EVERYBODYS and of in ("", entry.name)][:SHOWN]
    if not changes:
        return Reply(f"Nobody has changed {of} yet." if of else "Nothing has been changed yet.")
    last = changes[0]
    did = "took back a change of" if last.undoes else "changed"
    say = (
        f"The last change was {_ago(now, last.at)}: {signed(last.who)} {did} {last.name}. The card has those before it."
    )
    table = Table(tuple(_row(entry) for entry in changes), ("", "what", "before", "after", "who"))
    return Reply(say, Card("trail", "Who changed what", ("newest first",), (table,)))


def _row(entry: Entry) -> Row:
    undone = "taken back, " if entry.undoes else ""
    what = undone + _KINDS.get(entry.kind, entry.kind)
    cells = (what, _state(entry, entry.before), _state(entry, entry.after), signed(entry.who))
    return Row(capital(entry.name), cells, f"{entry.at:%Y-%m-%d %H:%M} UTC")


def _state(entry: Entry, columns: Mapping[str, str | int] | None) -> str:
    """What a row held, in a few letters."""
    if entry.kind == OF_THE_BOOK:
        return str(columns["changed"]) if columns else ""
    if entry.kind == "out":
        return "in" if columns is None else "out"
    if columns is None:
        return "as in the book" if entry.kind in ("price", "par") else "none"
    if entry.kind == "drink":
        return "in the book"
    return ", ".join(str(value) for key, value in columns.items() if key not in ("name", "at") and value != "")


def _ago(now: datetime, then: datetime) -> str:
    minutes = max(int((now - then).total_seconds() // 60), 0)
    if minutes < 1:
        return "just now"
    if minutes < 60:
        return _some(minutes, "minute")
    return _some(minutes // 60, "hour") if minutes < 60 * 48 else _some(minutes // (60 * 24), "day")


def _some(count: int, unit: str) -> str:
    return f"{counted(count, unit)} ago"
