"""Names of the book that a recogniser would not hear, or would take for each other: each with its line and its mend."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from assistant.ears.sayability import said, too_alike
from assistant.names import names_of
from recipes.faults import Fault, Page, Place
from recipes.model import Book

RESPELL = "write sounds_like: how it is said, in common English words"


def hard_to_hear(book: Book, path: Path | None = None) -> Iterator[Fault]:
    """Warnings about the names of this book, which was read from `path`, or else from the book that ships."""
    places = dict(_places(path))
    spoken = said(names_of(book))
    for name in spoken:
        if not name.is_sayable:
            problem = f'no recogniser can hear "{name.name}"'
            yield places[name.kind, name.name].fault("name", problem, RESPELL, severity="warning")
    for one, other in too_alike(spoken):
        problem = f'said aloud, "{other.name}" is taken for "{one.name}"'
        yield places[other.kind, other.name].fault("name", problem, RESPELL, severity="warning")


def _places(path: Path | None) -> Iterator[tuple[tuple[str, str], Place]]:
    """Where each drink and ingredient stands, by kind and name."""
    folder = path or Path(str(files("recipes") / "book"))
    for file in sorted(folder.rglob("*.toml")):
        text = file.read_text("utf-8")
        page = Page(file.relative_to(folder).as_posix(), text, tomllib.loads(text))
        for kind in ("drink", "ingredient"):
            for index, entry in enumerate(page.data.get(kind, ())):
                yield (kind, entry["name"]), Place(page, kind, index, entry["name"])
