"""How a database is opened, so that what was confirmed is never lost."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.pool import ConnectionPoolEntry

from assistant.errors import MemoryFailed
from assistant.schema import bring_up_to_date


@contextmanager
def translated() -> Iterator[None]:
    """Troubles of the database as MemoryFailed."""
    try:
        yield
    except (SQLAlchemyError, OSError) as cause:
        raise MemoryFailed(str(cause)) from cause


def open_engine(url: str) -> Engine:
    """An engine on the database of this URL, its tables made or brought up to date.

    SQLite writes ahead (readers never wait for a writer) and syncs fully on every commit. Raises NewerDatabase.
    """
    parsed = make_url(url)
    sqlite = parsed.get_backend_name() == "sqlite"
    if sqlite and parsed.database:
        Path(parsed.database).parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(parsed)
    if sqlite:
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    try:
        bring_up_to_date(engine)
    except Exception:
        engine.dispose()
        raise
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
