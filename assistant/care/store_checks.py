"""The doctor's checks of what is kept: the book, the database, its backups, and the room there is for them."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import suppress
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from sqlalchemy.engine import make_url

from assistant.care.automatic import EVERY, backups_of, made_at
from assistant.care.backups import is_outdated
from assistant.care.files import file_of, is_spoilt
from assistant.care.findings import Found, State
from assistant.database import count_changes, opened, writing
from assistant.errors import Damaged, DiskFull, MemoryFailed, NewerDatabase, ReadOnly
from assistant.schema import NEWEST
from assistant.tables import BOOK
from recipes.errors import BookError
from recipes.loader import load_book

LITTLE_ROOM, NO_ROOM = 500_000_000, 20_000_000  # bytes: house choice


def of_book(folder: Path | None) -> Found:
    """The book's files."""
    try:
        book = load_book(folder)
    except BookError as error:
        told = f"it has {len(error.faults)} faults, first {error.faults[0]}"
        return Found("book", State.STOPS, told, 'Mend them; "prep-assistant check" names each.')
    return Found("book", State.WELL, f"{len(book.drinks)} drinks, {len(book.ingredients)} ingredients")


def of_database(url: str) -> Found:
    """Whether the database is there, sound, ours, and can be written."""
    shown = make_url(url).render_as_string()
    file = file_of(url)
    stops = partial(Found, "database", State.STOPS)
    try:
        if file is not None and file.exists() and is_spoilt(file):
            raise Damaged(str(file))
        if is_outdated(url):
            told = f"{shown} is of an earlier version"
            return Found("database", State.NOTE, told, "The next start backs it up and brings it up to date.")
        with suppress(_JustTrying), opened(url) as engine, writing(engine) as connection:
            count_changes(connection, BOOK, 0)
            raise _JustTrying  # nothing is changed
    except Damaged:
        todo = "Start the server, which takes the last automatic backup; or: prep-assistant restore FILE"
        return stops(f"{shown} is damaged", todo)
    except ReadOnly:
        todo = "Give whoever runs this leave to write the file and its folder."
        return stops(f"{shown} can be read, but not changed", todo)
    except DiskFull:
        return stops(f"{shown} cannot grow: the disk is full", "Make room on the disk.")
    except NewerDatabase as error:
        return stops(f"its schema is {error.found}, and this version knows {error.known}", "Update prep-assistant.")
    except (MemoryFailed, sqlite3.Error) as error:
        return stops(f"{shown} cannot be opened: {error}", "Check --database, and that it can be reached and written.")
    return Found("database", State.WELL, f"{shown}, schema {NEWEST}, sound, and it can be written")


def of_backups(url: str) -> Found:
    """Whether there are automatic backups, and how old the last one is."""
    found = backups_of(url)
    if not found:
        return Found("backups", State.NOTE, "there is none yet", "The server makes the first as soon as it runs.")
    age = datetime.now(UTC) - made_at(found[0])
    told = f"{len(found)} in {found[0].parent}, the last from {made_at(found[0]):%Y-%m-%d %H:%M} UTC"
    if age > 2 * EVERY:
        return Found("backups", State.NOTE, told, "Leave the server running, or make one: prep-assistant backup FILE")
    return Found("backups", State.WELL, told)


def of_disk(url: str) -> Found:
    """Room on the disk that the database is on; here, where it is on another machine."""
    file = file_of(url)
    wanted = (Path() if file is None else file).resolve()
    folder = next(folder for folder in (wanted, *wanted.parents) if folder.is_dir())
    free = shutil.disk_usage(folder).free
    told = f"{free // 1_000_000:,} megabytes free at {folder}"
    if free < LITTLE_ROOM:
        return Found("disk", State.STOPS if free < NO_ROOM else State.NOTE, told, "Make room on the disk.")
    return Found("disk", State.WELL, told)


class _JustTrying(Exception):  # noqa: N818  # rolls back what was only tried
    pass
