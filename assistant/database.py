"""How a database is opened, so that what was confirmed is never lost."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote, urlencode

from sqlalchemy import Connection, Dialect, Engine, create_engine, event, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError, DisconnectionError, SQLAlchemyError
from sqlalchemy.pool import ConnectionPoolEntry

from assistant.errors import Damaged, DiskFull, MemoryFailed, ReadOnly
from assistant.schema import bring_up_to_date

PRIMARY = 0xFF  # the part of SQLite's result code that names the kind of trouble
BY_SQLITE = {  # https://www.sqlite.org/rescode.html
    sqlite3.SQLITE_FULL: DiskFull,
    sqlite3.SQLITE_READONLY: ReadOnly,
    sqlite3.SQLITE_CORRUPT: Damaged,
    sqlite3.SQLITE_NOTADB: Damaged,
}
FIXED = {"mode": "ro", "immutable": "1"}  # https://www.sqlite.org/uri.html
READING_ONLY = "reading only"  # noted with a connection that was opened while its file could not be written
SERVED = {"pool_pre_ping": True, "pool_size": 1, "max_overflow": 1}  # of a database server that many venues share
WRITING_FAILED = frozenset({sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_FSYNC, sqlite3.SQLITE_IOERR_TRUNCATE})
BY_POSTGRES = {"53100": DiskFull, "25006": ReadOnly, "XX001": Damaged}  # SQLSTATE, PostgreSQL 15, Appendix A

COUNTED = text(
    "INSERT INTO venue (name, changes) VALUES (:venue, :more)"
    " ON CONFLICT (name) DO UPDATE SET changes = venue.changes + :more"
)


@contextmanager
def translated() -> Iterator[None]:
    """Troubles of the database as MemoryFailed."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error, OSError) as cause:
        trouble = cause.orig or cause if isinstance(cause, DBAPIError) else cause
        told = str(trouble).partition("\n")[0]  # further lines of PostgreSQL's tell the values in a row
        raise _kind_of(trouble)(told) from cause


def _kind_of(trouble: BaseException) -> type[MemoryFailed]:
    code = getattr(trouble, "sqlite_errorcode", 0)
    if code in WRITING_FAILED:
        return DiskFull
    by_sqlite = BY_SQLITE.get(code & PRIMARY, MemoryFailed)
    return BY_POSTGRES.get(getattr(trouble, "sqlstate", None) or "", by_sqlite)


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A transaction that sees all of the database as it is at one moment. Troubles come as MemoryFailed."""
    if engine.dialect.name == "postgresql":  # SQLite's readers see no other
        engine = engine.execution_options(isolation_level="REPEATABLE READ")
    with translated(), engine.begin() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that changes something. Troubles come as MemoryFailed."""
    try:
        with translated(), engine.execution_options(writing=True).begin() as connection:
            yield connection
    except DiskFull as failed:  # of a disk that turned read-only in use, SQLite says no more than that writing failed
        if engine.url.get_backend_name() == "sqlite" and not _can_be_written(Path(str(engine.url.database))):
            raise ReadOnly(*failed.args) from failed.__cause__
        raise


@contextmanager
def changing(engine: Engine, venue: str) -> Iterator[Connection]:
    """A transaction that changes something of a venue: one at a time for each venue, whichever process it comes from.

    What is read in it cannot have been changed by another before it ends. Troubles come as MemoryFailed.
    """
    with writing(engine) as connection:
        count_changes(connection, venue, 0)
        yield connection


def count_changes(connection: Connection, venue: str, more: int) -> None:
    """Count changes of a venue, and hold back all others that would change something there until this has ended."""
    connection.execute(COUNTED, {"venue": venue, "more": more})


@contextmanager
def opened(url: str, as_it_is: bool = False) -> Iterator[Engine]:
    """An engine on the database of this URL, as `open_engine` makes it, let go of at the end.

    `as_it_is`: whatever its schema is, that stays so.
    """
    with translated():
        engine = _engine_on(url) if as_it_is else open_engine(url)
    try:
        yield engine
    finally:
        engine.dispose()


def open_engine(url: str) -> Engine:
    """An engine on the database of this URL, its tables made or brought up to date.

    SQLite writes ahead (readers never wait for a writer) and syncs fully on every commit. A file on a disk that cannot
    be written is opened to be read, and anew once it can. Raises NewerDatabase.
    """
    engine = _engine_on(url)
    try:
        bring_up_to_date(engine)
    except Exception:
        engine.dispose()
        raise
    return engine


def _engine_on(url: str) -> Engine:
    parsed = make_url(url)
    sqlite = parsed.get_backend_name() == "sqlite"
    engine = create_engine(parsed, hide_parameters=True, **({} if sqlite else SERVED))  # no speech in errors and logs
    if sqlite:
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    if sqlite and parsed.database:
        file = Path(parsed.database)
        file.parent.mkdir(parents=True, exist_ok=True)
        _follow(engine, file)
    return engine


def _follow(engine: Engine, file: Path) -> None:
    """Open a file of SQLite's as it can be opened at the time, and no longer only to be read once it can be written."""

    def open_as_it_is(_dialect: Dialect, entry: ConnectionPoolEntry, where: list[str], how: dict[str, object]) -> None:
        entry.info[READING_ONLY] = not _can_be_written(file)
        if is_fixed(file):
            where[:] = [f"file:{quote(str(file))}?{urlencode(FIXED)}"]
            how["uri"] = True

    def look_again(_connection: object, entry: ConnectionPoolEntry, _lent: object) -> None:
        if entry.info[READING_ONLY] and _can_be_written(file):
            raise DisconnectionError  # have the pool open another in its place

    event.listen(engine, "do_connect", open_as_it_is)
    event.listen(engine, "checkout", look_again)


def _can_be_written(file: Path) -> bool:
    """Whether a database's file and its folder may be written by us, as far as their disk says."""
    return os.access(file.parent, os.W_OK) and (not file.exists() or os.access(file, os.W_OK))


def is_fixed(file: Path) -> bool:
    """Whether a database's file is whole and cannot be changed from here: its disk or its folder may only be read.

    SQLite then has to be told so, since it could not even note down that it is reading.
    """
    ahead = file.with_name(f"{file.name}-wal")
    whole = file.is_file() and not (ahead.exists() and ahead.stat().st_size)
    return whole and not _can_be_written(file)


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
