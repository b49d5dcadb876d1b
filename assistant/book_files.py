"""The book's files, read again when they change; an edit that cannot be read leaves the last good book in use."""

from __future__ import annotations

import logging
from importlib.resources import files
from pathlib import Path

from recipes.errors import BookError
from recipes.faults import Fault
from recipes.loader import load_book
from recipes.model import Book

log = logging.getLogger(__name__)

Stamp = frozenset[tuple[str, int, int]]


class BookFiles:
    """One folder of book files. Raises BookError at first when its book cannot be read at all."""

    def __init__(self, path: Path | None = None) -> None:
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
        for file in self._folder.rglob("*.toml"):
            try:
                state = file.stat()
            except FileNotFoundError:
                continue
            found.add((str(file), state.st_mtime_ns, state.st_size))
        return frozenset(found)
