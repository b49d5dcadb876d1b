"""The tables of the memory, and how a database is opened so that what was confirmed is never lost."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import (
    JSON,
    Column,
    Connection,
    Engine,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
)
from sqlalchemy.engine import make_url
from sqlalchemy.pool import ConnectionPoolEntry

metadata = MetaData()


def _state(name: str, *columns: Column[int] | Column[str]) -> Table:
    """A table of what holds now: one row for each name at each venue; `number` keeps the order of writing."""
    return Table(
        name,
        metadata,
        Column("number", Integer, primary_key=True, autoincrement=True),
        Column("venue", String(80), nullable=False),
        Column("name", String(200), nullable=False),
        *columns,
        UniqueConstraint("venue", "name"),
    )


STATE = {
    "out": _state("out_of_stock"),
    "price": _state("pack_price", Column("price", String(40), nullable=False)),  # money, a decimal number
    "drink": _state("kept_drink", Column("document", Text, nullable=False)),  # assistant.kept
    "mark": _state(
        "quiz_mark",
        Column("trainee", String(200), nullable=False),
        Column("drink", String(200), nullable=False),
        Column("kind", String(200), nullable=False),
        Column("points", Integer, nullable=False),
        Column("out_of", Integer, nullable=False),
    ),
    "test": _state(
        "floor_test",
        Column("trainee", String(200), nullable=False),
        Column("title", String(200), nullable=False),
        Column("points", Integer, nullable=False),
        Column("out_of", Integer, nullable=False),
        Column("passed", Integer, nullable=False),  # 1 or 0
    ),
    "supplied": _state("supplier_name", Column("ingredients", Text, nullable=False)),  # names, one a line
    "sold": _state("sold", Column("count", Integer, nullable=False)),
}

TRAIL = Table(
    "trail",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("token", String(40), nullable=False, unique=True),
    Column("venue", String(80), nullable=False),
    Column("at", String(40), nullable=False),  # ISO 8601, UTC
    Column("who", String(200), nullable=False),
    Column("kind", String(20), nullable=False),  # a key of STATE
    Column("name", String(200), nullable=False),  # what was changed: the name of its row
    Column("before", JSON(none_as_null=True)),  # the row as it was; null: there was none
    Column("after", JSON(none_as_null=True)),  # the row as it became; null: taken away
    Column("undoes", String(40), unique=True),  # token of the change that this one takes back
)

TOGETHER = Table(
    "changed_together",  # the changes of one import: made together, undone together
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("venue", String(80), nullable=False),
    Column("token", String(40), nullable=False, index=True),  # of all of them
    Column("part", String(40), nullable=False, unique=True),  # token of one of them, in the trail
)


def open_engine(url: str) -> Engine:
    """An engine on the database of this URL, its tables made if they are not there.

    SQLite writes ahead (readers never wait for a writer) and syncs fully on every commit.
    """
    parsed = make_url(url)
    sqlite = parsed.get_backend_name() == "sqlite"
    if sqlite and parsed.database:
        Path(parsed.database).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(parsed)
    if sqlite:
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    metadata.create_all(engine)
    return engine


def _set_up_sqlite(connection: object, _record: ConnectionPoolEntry) -> None:
    connection.isolation_level = None  # type: ignore[attr-defined]  # sqlite3: we say BEGIN ourselves
    cursor = connection.cursor()  # type: ignore[attr-defined]
    for pragma in ("busy_timeout = 5000", "journal_mode = WAL", "synchronous = FULL"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    """Take the write lock at once where a change is coming, so that nothing read for it can go stale."""
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
