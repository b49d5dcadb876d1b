"""Backups that are made by themselves while the server runs, and what is done at its start with a damaged database.

They are numbered, since clocks jump: the highest number is the latest. Those of a SQLite file lie in the folder
`backups` beside it; those of a database on PostgreSQL in this person's own folder, as files of SQLite's, which any kind
takes back.
"""

from __future__ import annotations

import hashlib
import logging
import re
import sqlite3
import threading
from contextlib import AbstractContextManager, closing, nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import click
from sqlalchemy.engine import make_url

from assistant.care.backups import back_up, is_backup, is_outdated
from assistant.care.files import BESIDE, copy_whole, file_of, is_spoilt, new_file
from assistant.database import translated
from assistant.errors import Damaged, MemoryFailed
from assistant.memory import Clock, utc_now

log = logging.getLogger(__name__)

EVERY = timedelta(hours=6)
KEPT = 28  # backups; at one in six hours, those of a week
WRITTEN_AT = "%Y%m%dT%H%M%SZ"  # in a backup's name, UTC
_NAME = re.compile(r"-(?P<number>\d{6})-(?P<at>\d{8}T\d{6}Z)\.db$")


@dataclass(frozen=True)
class Mended:
    """A damaged database, and what stands in its place now."""

    aside: Path  # the damaged file, under another name
    backup: Path
    at: str  # when the backup was made: '2024-03-01 17:00 UTC'


@dataclass(frozen=True)
class Shelf:
    """Where the automatic backups of one database lie, and what their names begin with."""

    folder: Path
    stem: str


def shelf_of(url: str) -> Shelf | None:
    """Where those of this database lie, whoever opens it; None for one in memory."""
    file, parsed = file_of(url), make_url(url)
    if file is not None:
        return Shelf(file.parent / "backups", file.stem)
    if parsed.get_backend_name() == "sqlite":
        return None
    which = repr((parsed.host, parsed.port, sorted(parsed.query.items())))
    stem = f"{parsed.database or 'database'}-{hashlib.sha256(which.encode()).hexdigest()[:8]}"
    return Shelf(Path(click.get_app_dir("prep-assistant")) / "backups", stem)


def backups_of(url: str) -> tuple[Path, ...]:
    """The automatic backups of a database, the latest first."""
    shelf = shelf_of(url)
    found = () if shelf is None else shelf.folder.glob(f"{shelf.stem}-*.db")
    return tuple(sorted((file for file in found if _NAME.search(file.name)), key=_number, reverse=True))


def made_at(backup: Path) -> datetime:
    """When an automatic backup was made, by the clock of then, as its name says. ValueError for another file's name."""
    found = _NAME.search(backup.name)
    if found is None:
        raise ValueError(backup.name)
    return datetime.strptime(found["at"], WRITTEN_AT).replace(tzinfo=UTC)


def back_up_now(url: str, now: datetime) -> Path:
    """Make the next automatic backup, and let go of those beyond the latest KEPT.

    Raises MemoryFailed, and ValueError for a database in memory.
    """
    shelf, before = shelf_of(url), backups_of(url)
    if shelf is None:
        raise ValueError(url)
    number = _number(before[0]) + 1 if before else 1
    to = shelf.folder / f"{shelf.stem}-{number:06}-{now.strftime(WRITTEN_AT)}.db"
    back_up(url, to)
    for old in before[KEPT - 1 :]:
        old.unlink(missing_ok=True)
    return to


def mend(url: str) -> Mended | None:
    """Put the latest sound backup in the place of a damaged SQLite file, which is kept under another name.

    None where there is nothing to mend. Raises Damaged where there is no backup; then the file is left as it is.
    """
    database = file_of(url)
    if database is None or not database.exists() or not _is_lost(database, url):
        return None
    backup = next((file for file in backups_of(url) if is_backup(file)), None)
    if backup is None:
        raise Damaged(str(database))
    with translated(), new_file(database) as part:
        copy_whole(backup, part)
        aside = set_aside(database)
    log.error("%s is damaged: it is kept as %s, and the backup %s stands in its place", database, aside, backup)
    return Mended(aside, backup, f"{made_at(backup):%Y-%m-%d %H:%M} UTC")


def back_up_before_upgrade(url: str, now: datetime) -> None:
    """Make a backup of a database that an earlier version wrote, before it is changed. Raises MemoryFailed."""
    if is_outdated(url):
        log.info("backed up to %s before its schema is changed", back_up_now(url, now))


def set_aside(database: Path) -> Path:
    """Give a database, and what SQLite keeps beside it, another name; return it. Raises OSError."""
    free = (database.with_name(f"{database.name}.damaged-{number}") for number in range(1, 1_000_000))
    aside = next(name for name in free if not name.exists())
    database.rename(aside)
    for beside in BESIDE:
        left = database.with_name(database.name + beside)
        if left.exists():
            left.rename(aside.with_name(aside.name + beside))
    return aside


class Backups:
    """Makes a backup of a database now and then, in a thread of its own, until closed."""

    def __init__(self, url: str, clock: Clock = utc_now, every: timedelta = EVERY) -> None:
        self._url, self._clock, self._every = url, clock, every
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._run, name="backups", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End it, after the backup that is being made; safe to call twice."""
        self._closed.set()
        self._thread.join()

    def _run(self) -> None:
        wait = self._until_the_first()
        while not self._closed.wait(wait.total_seconds()):  # by a clock that does not jump
            self._make()
            wait = self._every

    def _until_the_first(self) -> timedelta:
        """No wait, unless the latest backup is fresh: a server that is started often does not push the old ones out."""
        latest = next(iter(backups_of(self._url)), None)
        age = timedelta.max if latest is None else self._clock() - made_at(latest)
        return self._every - age if timedelta(0) <= age < self._every else timedelta(0)

    def _make(self) -> None:
        try:
            log.info("backed up to %s", back_up_now(self._url, self._clock()))
        except MemoryFailed as failed:
            log.error("no backup could be made: %s: %s", type(failed).__name__, failed)


def backed_up(url: str) -> AbstractContextManager[object]:
    """Automatic backups for as long as this is entered; none of a database in memory."""
    return nullcontext() if shelf_of(url) is None else closing(Backups(url))


def _is_lost(database: Path, url: str) -> bool:
    """Whether a file that was a database is none any more: damaged, or cut to nothing while there are backups of it."""
    if database.stat().st_size == 0:
        return bool(backups_of(url))
    try:
        return is_spoilt(database)
    except sqlite3.Error as error:
        log.info("whether %s is sound cannot be seen now: %s", database, error)
        return False


def _number(backup: Path) -> int:
    found = _NAME.search(backup.name)
    return int(found["number"]) if found else 0
