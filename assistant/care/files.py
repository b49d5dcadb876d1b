"""A SQLite database as a file: where it is, whether it is sound, and a copy of it made whole or not at all."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import urlencode

from sqlalchemy.engine import make_url

from assistant.database import FIXED, is_fixed
from assistant.schema import SCHEMA
from assistant.tables import TRAIL

BESIDE = ("-wal", "-shm")  # what SQLite keeps beside its file while it is in use
SPOILT = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})
BUSY_S = 5.0  # to wait for another process


def file_of(url: str) -> Path | None:
    """The file of a SQLite database; None for another kind, or one in memory."""
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite" or parsed.database in (None, "", ":memory:"):
        return None
    return Path(str(parsed.database))


def is_spoilt(file: Path) -> bool:
    """Whether a file that should be a database of SQLite's is none, or is damaged.

    Raises sqlite3.Error when that cannot be found out: it is busy, or may not be read.
    """
    try:
        with closing(_reading(file)) as raw:
            return bool(raw.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok")
    except sqlite3.DatabaseError as error:
        if (error.sqlite_errorcode & 0xFF) in SPOILT:
            return True
        raise


def release_in(file: Path) -> int:
    """The number of our schema in a file; 0 where there is none. Raises sqlite3.Error."""
    with closing(_reading(file)) as raw:
        tables = {name for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if SCHEMA.name in tables:
            return int(raw.execute(f"SELECT release FROM {SCHEMA.name}").fetchone()[0])
        return 1 if TRAIL.name in tables else 0


def copy_whole(file: Path, to: Path) -> None:
    """Copy a database as it is at one moment, whoever is writing to it. Raises sqlite3.Error."""
    with closing(_reading(file)) as source, closing(sqlite3.connect(to)) as copy:
        source.backup(copy)
    in_one_file(to)


def in_one_file(file: Path) -> None:
    """Have SQLite keep nothing beside a database that nobody is using."""
    with closing(sqlite3.connect(file)) as raw:
        raw.execute("PRAGMA journal_mode = DELETE")


def _reading(file: Path) -> sqlite3.Connection:
    how = urlencode(FIXED) if is_fixed(file) else "mode=ro"
    return sqlite3.connect(f"{file.resolve().as_uri()}?{how}", uri=True, timeout=BUSY_S)


@contextmanager
def new_file(to: Path) -> Iterator[Path]:
    """A name to write a file under, which becomes `to` when all went well: on the disk whole, or not there. OSError."""
    to.parent.mkdir(parents=True, exist_ok=True)
    part = to.with_name(f".{to.name}.{os.getpid()}.part")
    try:
        yield part
        with part.open("rb+") as written:
            os.fsync(written.fileno())
        part.replace(to)
    finally:
        for left in (part, *(part.with_name(part.name + beside) for beside in BESIDE)):
            left.unlink(missing_ok=True)
