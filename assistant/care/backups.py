"""Backups: one file each, complete as of one moment, made while the bar goes on; and putting one back.

A backup is a SQLite file with our tables, of whichever kind the database is. It is written beside its place, checked,
and only then given its name, so that a file with a backup's name is a backup.
"""

from __future__ import annotations

import sqlite3
import tempfile
from dataclasses import dataclass
from pathlib import Path

from assistant.care.copying import Counts, copy_all, copy_as_it_is, empty, venues_in
from assistant.care.files import copy_whole, file_of, in_one_file, is_spoilt, new_file, release_in
from assistant.database import opened, reading, translated, writing
from assistant.errors import BackupRefused, Damaged
from assistant.schema import NEWEST, release_of


@dataclass(frozen=True)
class Restored:
    """What was put back, and where what it took the place of is kept."""

    rows: Counts
    replaced: Path | None  # None: there was nothing


def back_up(url: str, to: Path) -> None:
    """Write a backup of the database to a file, whoever is using it meanwhile; its schema stays what it is.

    Raises MemoryFailed, and then there is no file of that name but what was there before.
    """
    file = file_of(url)
    with translated(), new_file(to) as part:
        if file is None:
            _copy_rows(url, part)
        else:
            copy_whole(file, part)
        if is_spoilt(part):
            raise Damaged(str(file))


def restore(backup: Path, url: str, replaced: Path) -> Restored:
    """Put what a backup holds in place of all that the database holds; one transaction, also while the bar goes on.

    What is replaced is first backed up to `replaced`. Raises BackupRefused when the file is no backup of ours,
    NewerDatabase when it comes from a later version, Miscounted and MemoryFailed; then nothing has changed.
    """
    if not is_backup(backup):
        raise BackupRefused(str(backup))
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "backup.db"
        with translated():
            copy_whole(backup, copy)
        with (
            opened(f"sqlite:///{copy}") as source,
            opened(url) as target,
            reading(source) as sent,
            writing(target) as arriving,
        ):
            was_empty = not venues_in(arriving)
            empty(arriving)  # and nobody changes anything from here on
            if not was_empty:
                back_up(url, replaced)  # as it is for all others still
            rows = copy_all(sent, arriving)
    return Restored(rows, None if was_empty else replaced)


def is_backup(file: Path) -> bool:
    """Whether a file is a sound database of ours, from whatever version."""
    try:
        return file.is_file() and not is_spoilt(file) and release_in(file) > 0
    except sqlite3.Error:
        return False


def is_outdated(url: str) -> bool:
    """Whether an earlier version wrote the database, so that its schema is changed when it is opened to be used.

    Raises MemoryFailed.
    """
    file = file_of(url)
    if file is not None:
        with translated():
            return file.exists() and 0 < release_in(file) < NEWEST
    with opened(url, as_it_is=True) as engine, reading(engine) as connection:
        return 0 < release_of(connection) < NEWEST


def _copy_rows(url: str, to: Path) -> None:
    outdated = is_outdated(url)
    with (
        opened(url, as_it_is=outdated) as source,
        opened(f"sqlite:///{to}", as_it_is=outdated) as target,
        reading(source) as sent,
        writing(target) as arriving,
    ):
        if outdated:
            copy_as_it_is(sent, arriving)
        else:
            copy_all(sent, arriving)
    in_one_file(to)
