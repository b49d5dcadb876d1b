"""Reads the book's files: the one module of the engine that opens anything."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from recipes.binding import bind
from recipes.errors import BookError
from recipes.faults import Fault, Page
from recipes.locate import line_of_syntax_error
from recipes.model import Book


def load_book(path: Path | None = None) -> Book:
    """The book in the folder `path`, or the one this package ships. Raises BookError with every fault."""
    book, faults = _read(path)
    if book is None:
        raise BookError(faults)
    return book


def find_faults(path: Path | None = None) -> tuple[Fault, ...]:
    """Every fault and warning of the book, in the order of its files and lines."""
    return _read(path, closely=True)[1]


def book_of(texts: Mapping[str, str]) -> tuple[Book | None, tuple[Fault, ...]]:
    """The book that these texts make, by their files' names inside its folder, or None; and every fault."""
    return _bound([_parsed(name, text) for name, text in sorted(texts.items())])


def texts_of(path: Path) -> dict[str, str]:
    """The text of every file of the book in a folder, by its name inside. Raises OSError, and UnicodeDecodeError."""
    return {file.relative_to(path).as_posix(): file.read_text("utf-8") for file in sorted(path.rglob("*.toml"))}


def _read(path: Path | None, closely: bool = False) -> tuple[Book | None, tuple[Fault, ...]]:
    folder = _folder(path)
    if not folder.is_dir():
        fault = Fault(str(path), 1, "", "", "there is no such folder", "give the folder that holds house.toml")
        return None, (fault,)
    return _bound(list(_pages(folder)), closely)


def _bound(read: list[Page | Fault], closely: bool = False) -> tuple[Book | None, tuple[Fault, ...]]:
    unreadable = [page for page in read if isinstance(page, Fault)]
    book, found = bind([page for page in read if isinstance(page, Page)], not unreadable, closely)
    faults = sorted([*unreadable, *found], key=lambda fault: (fault.file, fault.line))
    return book, tuple(faults)


def _folder(path: Path | None) -> Traversable:
    return files("recipes") / "book" if path is None else path


def _pages(folder: Traversable, within: str = "") -> Iterator[Page | Fault]:
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.is_dir():
            yield from _pages(file, f"{within}{file.name}/")
        elif file.name.endswith(".toml"):
            yield _page(file, within + file.name)


def _page(file: Traversable, name: str) -> Page | Fault:
    """The page, or the fault that keeps it from being read."""
    try:
        return _parsed(name, file.read_text(encoding="utf-8"))
    except UnicodeDecodeError:
        return Fault(name, 1, "", "", "the file is not UTF-8 text", "save it as UTF-8")
    except FileNotFoundError:
        return Fault(name, 1, "", "", "the file is missing", "add it to the book's folder")


@lru_cache(maxsize=64)
def _parsed(name: str, text: str) -> Page | Fault:
    """The page; kept, since of all the files that are read again hardly one has changed."""
    try:
        return Page(name, text, tomllib.loads(text, parse_float=Decimal))
    except tomllib.TOMLDecodeError as error:
        line = line_of_syntax_error(str(error), text)
        return Fault(name, line, "", "", f"this is not TOML: {error}", "mend the line, or the one above it")
    except RecursionError:
        return Fault(name, 1, "", "", "there are brackets in brackets without end", "put its last copy in place")
    except (ArithmeticError, ValueError):  # of Decimal, and of int, which reads no more than 4300 digits
        return Fault(name, 1, "", "", "there is a number that no program can hold", "write it with fewer digits")
