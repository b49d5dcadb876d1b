"""The book's files, read again when they change; an edit that cannot be read leaves the last good book in use.

The book that ships with the program is never changed: it lies among the program's own files, and goes with them at the
next install. A bar makes it its own by a copy.
"""

from __future__ import annotations

import logging
import os
import shutil
import tempfile
from importlib.resources import as_file, files
from pathlib import Path

import click

from recipes.errors import BookError
from recipes.faults import Fault
from recipes.loader import load_book
from recipes.model import Book

log = logging.getLogger(__name__)

Stamp = frozenset[tuple[str, int, int]]


def own_book() -> Path:
    """Where this person's own copy of the book lies, once there is one."""
    return Path(click.get_app_dir("prep-assistant")) / "book"


def copy_book(to: Path) -> None:
    """Copy the book that ships to a folder that is not there yet: all of it or none. Raises OSError."""
    if to.exists():
        raise FileExistsError(to)
    to.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=to.parent) as near, as_file(files("recipes") / "book") as shipped:
        copied = Path(near) / "book"
        shutil.copytree(shipped, copied, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
        copied.rename(to)


class BookFiles:
    """One folder of book files. Raises BookError at first when its book cannot be read at all."""

    def __init__(self, path: Path | None = None, own: Path | None = None) -> None:
        """Read the folder `path`, else the copy in `own` if it is there, else the book that ships."""
        self.own = own
        self._open(own if path is None and own is not None and own.is_dir() else path)

    @property
    def folder(self) -> Path:
        """Where the files lie."""
        return self._folder

    @property
    def is_shipped(self) -> bool:
        """Whether it is the book that ships."""
        return self._path is None

    def make_own(self) -> None:
        """Go on with a copy of the book that ships, made in `own`. Raises OSError."""
        if self._path is None and self.own is not None:
            copy_book(self.own)
            self._open(self.own)

    def _open(self, path: Path | None) -> None:
        self._path = path
        self._folder = Path(str(files("recipes") / "book")) if path is None else path
        self._stamp = self._stamp_now()
        self.book: Book = load_book(path)
        self.faults: tuple[Fault, ...] = ()  # of the last edit, when it cannot be read

    def refresh(self) -> bool:
        """Read the files again if they changed; whether the book or its faults are now others."""
        stamp = self._stamp_now()
        if stamp == self._stamp:
            return False
        self._stamp = stamp
        try:
            self.book, self.faults = load_book(self._path), ()
        except BookError as error:
            self.faults = error.faults
            log.warning("the book's files have faults; the book from before the edit stays in use:\n%s", error)
        return True

    def _stamp_now(self) -> Stamp:
        """The files with their times and sizes; a file that goes away while we look is looked at the next time."""
        found = set()
        for folder, _, names in os.walk(self._folder):  # before every answer: pathlib takes three times as long
            for file in (os.path.join(folder, name) for name in names if name.endswith(".toml")):
                try:
                    state = os.stat(file)
                except FileNotFoundError:
                    continue
                found.add((file, state.st_mtime_ns, state.st_size))
        return frozenset(found)
