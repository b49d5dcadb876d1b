"""What a shift changes, kept safe: what is out, prices as bought, drinks kept by voice, quiz marks, what was sold.

The one door to the database. The book's files stay the source of recipes; this holds what is laid over them. Each
change is in one transaction with its line in the trail (who, when, what it was before and after), so a change is either
wholly there, trail and all, or not at all; changes that wait for each other share one (`assistant.turns`). Several
venues may share one database: the book is one, kept drinks included, and the rest is each venue's own.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from decimal import Decimal
from types import MappingProxyType

from pydantic import ValidationError
from sqlalchemy import ColumnElement, Connection, RowMapping, Select, bindparam, func, select

from assistant import kept
from assistant.answers.base import (
    Change,
    Counted,
    FloorTest,
    Introduced,
    KeepDrink,
    Marked,
    SetOut,
    SetPar,
    SetPrice,
    Sold,
    Supplied,
)
from assistant.database import changing, count_changes, open_engine, reading, translated
from assistant.errors import AlreadyUndone, ChangedSince, NameTaken, UnknownChange
from assistant.pin_store import PinStore, has_pin
from assistant.tables import BOOK, SHARED, STATE, TOGETHER, TRAIL, VENUE
from assistant.turns import Turns
from recipes.model import Drink
from recipes.stocktake import OnHand
from recipes.units import Quantity, quantity

Clock = Callable[[], datetime]
Columns = Mapping[str, str | int]

# Asked before every answer, so put together once.
VERSION = select(func.sum(VENUE.c.changes)).where((VENUE.c.name == bindparam("venue")) | (VENUE.c.name == BOOK))


def utc_now() -> datetime:
    """The time now, with its zone."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Remembered:
    """All that holds now, as of one moment."""

    version: int  # grows with every change
    out: frozenset[str]
    prices: Mapping[str, Quantity]  # money for a pack, by ingredient
    drinks: tuple[Drink, ...]  # in the order they were kept
    unreadable: tuple[str, ...] = ()  # names of kept drinks whose documents cannot be read
    supplied: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    # what suppliers call things -> ingredients of the book
    sold: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))  # by drink, in the last period
    people: tuple[str, ...] = ()  # who have said who they are, in that order
    counted: Mapping[str, Counted] = field(default_factory=lambda: MappingProxyType({}))  # by ingredient
    pars: Mapping[str, Quantity] = field(default_factory=lambda: MappingProxyType({}))  # by ingredient
    has_pin: bool = False  # the manager has one


@dataclass(frozen=True)
class Entry:
    """One line of the trail. `before` and `after` are the columns of the row that changed; None: there was no row."""

    token: str
    at: datetime
    who: str
    kind: str  # a key of STATE: 'out', 'price', 'drink', 'mark', ...; 'together' for many undone at once
    name: str
    before: Columns | None
    after: Columns | None
    undoes: str | None


class Memory:
    """The memory of one venue. Safe to use from several threads, and by several processes on one database.

    Every method raises MemoryFailed when the database cannot be read or written; then nothing has changed. Opening also
    raises NewerDatabase.
    """

    def __init__(self, url: str, clock: Clock = utc_now, venue: str = "house") -> None:
        self._clock = clock
        self._venue = venue
        self._turns = Turns(self._writing)
        with translated():
            self._engine = open_engine(url)
        self.pins = PinStore(self._engine, venue)

    def close(self) -> None:
        """Let go of the database; safe to call twice."""
        self._engine.dispose()

    def version(self) -> int:
        """A number that grows with every change: the same number means that nothing has changed."""
        with self._reading() as connection:
            return _version(connection, self._venue)

    def recall(self) -> Remembered:
        """All that holds now."""
        with self._reading() as connection:
            version = _version(connection, self._venue)
            out = frozenset(str(row["name"]) for row in self._rows(connection, "out"))
            prices = {
                str(row["name"]): quantity(Decimal(row["price"]), "money") for row in self._rows(connection, "price")
            }
            documents = {str(row["name"]): str(row["document"]) for row in self._rows(connection, "drink")}
            supplied = {
                str(row["name"]): tuple(str(row["ingredients"]).splitlines())
                for row in self._rows(connection, "supplied")
            }
            sold = {str(row["name"]): int(row["count"]) for row in self._rows(connection, "sold")}
            counted = {str(row["name"]): kept.read_count(row) for row in self._rows(connection, "counted")}
            pars = {str(row["name"]): kept.read_size(str(row["par"])) for row in self._rows(connection, "par")}
            people = tuple(str(row["name"]) for row in self._rows(connection, "person"))
            pin = has_pin(connection, self._venue)
        drinks, unreadable = _read_drinks(documents)
        laid_over = MappingProxyType(prices), drinks, unreadable, MappingProxyType(supplied), MappingProxyType(sold)
        return Remembered(version, out, *laid_over, people, MappingProxyType(counted), MappingProxyType(pars), pin)

    def marks(self, trainee: str) -> tuple[Marked, ...]:
        """The quiz marks of one trainee, oldest first."""
        with self._reading() as connection:
            rows = self._dated(connection, "mark", trainee=trainee)
        return tuple(
            Marked(row["trainee"], row["drink"], row["kind"], row["points"], row["out_of"], at) for row, at in rows
        )

    def tests(self) -> tuple[FloorTest, ...]:
        """The floor tests of every trainee, oldest first."""
        with self._reading() as connection:
            rows = self._dated(connection, "test")
        return tuple(
            FloorTest(row["trainee"], row["title"], row["points"], row["out_of"], bool(row["passed"]), at)
            for row, at in rows
        )

    def apply(self, change: Change, who: str) -> str:
        """Make a change; return the token that undoes it. Raises NameTaken for a drink to be kept under one's name."""
        return self._turns.make(lambda connection: self._make(connection, change, who))

    def apply_together(self, changes: Sequence[Change], who: str) -> str:
        """Make several changes, each of another thing, all or none; return the token that undoes them all."""
        return self._turns.make(
            lambda connection: self._bound(connection, [self._make(connection, change, who) for change in changes])
        )

    def undo(self, token: str, who: str) -> Entry:
        """Put back what a change, or what changes made together, took away.

        Returns the trail's new line, whose own token undoes the undoing; for changes made together a line of kind
        'together', with their number for its name. Raises UnknownChange, AlreadyUndone, or ChangedSince when one of
        them was changed again later; then nothing is undone.
        """
        return self._turns.make(lambda connection: self._undo(connection, token, who))

    def kinds(self, token: str) -> frozenset[str]:
        """The kinds of what a change, or the changes made together, changed; none for a token that is not known."""
        with self._reading() as connection:
            parts = self._parts(connection, token) or [token]
            return frozenset(entry.kind for entry in self._trail(connection, TRAIL.c.token.in_(parts)))

    def trail(self, limit: int = 100) -> tuple[Entry, ...]:
        """The latest changes, newest first: who changed what, and when."""
        with self._reading() as connection:
            return self._trail(connection, limit=limit)

    def history(self, kind: str, name: str) -> tuple[Entry, ...]:
        """All changes of one thing, newest first: every price that was ever set for an ingredient."""
        with self._reading() as connection:
            return self._trail(connection, TRAIL.c.kind == kind, TRAIL.c.name == name)

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with reading(self._engine) as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with changing(self._engine, self._venue) as connection:
            yield connection

    def _rows(self, connection: Connection, kind: str, **where: str) -> list[RowMapping]:
        table = STATE[kind]
        query = select(table).where(table.c.venue == self._place(kind)).order_by(table.c.number)
        for column, value in where.items():
            query = query.where(table.c[column] == value)
        return list(connection.execute(query).mappings())

    def _dated(self, connection: Connection, kind: str, **where: str) -> list[tuple[RowMapping, datetime]]:
        """Rows that are named for the change that made them, with the time of that change."""
        table = STATE[kind]
        query = select(table, TRAIL.c.at).join(TRAIL, TRAIL.c.token == table.c.name)
        query = query.where(table.c.venue == self._venue).order_by(TRAIL.c.number)
        for column, value in where.items():
            query = query.where(table.c[column] == value)
        return [(row, datetime.fromisoformat(row["at"])) for row in connection.execute(query).mappings()]

    def _place(self, kind: str) -> str:
        """The venue whose rows of this kind are ours."""
        return BOOK if kind in SHARED else self._venue

    def _row(self, connection: Connection, kind: str, name: str) -> Columns | None:
        rows = self._rows(connection, kind, name=name)
        return {key: value for key, value in rows[0].items() if key not in ("number", "venue")} if rows else None

    def _make(self, connection: Connection, change: Change, who: str) -> str:
        token = uuid.uuid4().hex
        kind, name, after = _as_row(change, token)
        count_changes(connection, self._place(kind), 1)  # from here on no other venue changes what they share
        before = self._row(connection, kind, name)
        if isinstance(change, KeepDrink) and before not in (None, after):
            raise NameTaken(kind, name)
        self._write(connection, Entry(token, self._clock(), who, kind, name, before, after, None))
        return token

    def _undo(self, connection: Connection, token: str, who: str) -> Entry:
        parts = self._parts(connection, token)
        if not parts:
            return self._take_back(connection, token, who)
        undone = [self._take_back(connection, part, who).token for part in parts]
        new = self._bound(connection, undone)
        return Entry(new, self._clock(), who, "together", str(len(undone)), None, None, undoes=token)

    def _take_back(self, connection: Connection, token: str, who: str) -> Entry:
        old = self._find(connection, token)
        count_changes(connection, self._place(old.kind), 1)
        if self._trail(connection, TRAIL.c.undoes == token):
            raise AlreadyUndone(token, old.kind, old.name)
        if not _is_last(token, self._trail(connection, TRAIL.c.kind == old.kind, TRAIL.c.name == old.name)):
            raise ChangedSince(token, old.kind, old.name)
        entry = Entry(uuid.uuid4().hex, self._clock(), who, old.kind, old.name, old.after, old.before, undoes=token)
        self._write(connection, entry)
        return entry

    def _bound(self, connection: Connection, parts: Sequence[str]) -> str:
        """A token that stands for all of these."""
        token = uuid.uuid4().hex
        if parts:
            rows = [{"venue": self._venue, "token": token, "part": part} for part in parts]
            connection.execute(TOGETHER.insert(), rows)
        return token

    def _parts(self, connection: Connection, token: str) -> list[str]:
        query = select(TOGETHER.c.part).where(TOGETHER.c.venue == self._venue, TOGETHER.c.token == token)
        return list(connection.execute(query.order_by(TOGETHER.c.number)).scalars())

    def _write(self, connection: Connection, entry: Entry) -> None:
        """Put the row as the entry says, and the entry into the trail."""
        table, place = STATE[entry.kind], self._place(entry.kind)
        connection.execute(table.delete().where(table.c.venue == place, table.c.name == entry.name))
        if entry.after is not None:
            connection.execute(table.insert(), {"venue": place, **entry.after})
        line = {**vars(entry), "at": entry.at.astimezone(UTC).isoformat(), "venue": self._venue}
        connection.execute(TRAIL.insert(), line)

    def _find(self, connection: Connection, token: str) -> Entry:
        found = self._trail(connection, TRAIL.c.token == token)
        if not found:
            raise UnknownChange(token)
        return found[0]

    def _trail(
        self, connection: Connection, *where: ColumnElement[bool], limit: int | None = None
    ) -> tuple[Entry, ...]:
        query: Select[tuple[object, ...]] = select(*(TRAIL.c[name] for name in Entry.__dataclass_fields__))
        ours = (TRAIL.c.venue == self._venue) | TRAIL.c.kind.in_(SHARED)
        query = query.where(ours, *where).order_by(TRAIL.c.number.desc()).limit(limit)
        rows = connection.execute(query).mappings()
        return tuple(Entry(**{**row, "at": datetime.fromisoformat(row["at"])}) for row in rows)


def _version(connection: Connection, venue: str) -> int:
    return int(connection.execute(VERSION, {"venue": venue}).scalar() or 0)


def _is_last(token: str, changes: Iterable[Entry]) -> bool:
    """Whether no later change of the same thing stands; `changes` newest first. What was undone no longer stands."""
    undone: set[str | None] = set()
    for change in changes:
        if change.token == token:
            return True
        if change.token not in undone:
            if change.undoes is None:
                return False
            undone.add(change.undoes)
    return False


def _as_row(change: Change, token: str) -> tuple[str, str, Columns | None]:
    """The kind of a change, the name of its row, and the row's columns (None: no row)."""
    match change:
        case SetOut(ingredient, out):
            return "out", ingredient, {"name": ingredient} if out else None
        case SetPrice(ingredient, price):
            return "price", ingredient, {"name": ingredient, "price": str(price.to("money").magnitude)}
        case SetPar(ingredient, par):
            return "par", ingredient, None if par is None else {"name": ingredient, "par": kept.written_size(par)}
        case KeepDrink(drink):
            return "drink", drink.name, {"name": drink.name, "document": kept.written(drink)}
        case Marked():
            return "mark", token, {"name": token, **_undated(change)}
        case FloorTest():
            return "test", token, {"name": token, **_undated(change), "passed": int(change.passed)}
        case Supplied(name, ingredients):
            return "supplied", name, {"name": name, "ingredients": "\n".join(ingredients)} if ingredients else None
        case Sold(drink, count):
            return "sold", drink, None if count is None else {"name": drink, "count": count}
        case Counted(ingredient, on_hand):
            return "counted", ingredient, kept.written_count(change) if on_hand != OnHand() else None
        case Introduced(name):
            return "person", name, {"name": name}


def _undated(change: Marked | FloorTest) -> dict[str, str | int]:
    """The columns of a change; its time is the trail's."""
    return {name: value for name, value in vars(change).items() if name != "at"}


def _read_drinks(documents: Mapping[str, str]) -> tuple[tuple[Drink, ...], tuple[str, ...]]:
    drinks: list[Drink] = []
    unreadable: list[str] = []
    for name, document in documents.items():
        try:
            drinks.append(kept.read(document))
        except ValidationError:
            unreadable.append(name)
    return tuple(drinks), tuple(unreadable)
