"""How the book's names are heard: each in phones, and those not heard or taken for each other, with line and mend."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from assistant.ears.pronunciation import Pronouncer
from assistant.ears.sayability import said, too_alike
from assistant.names import names_of
from recipes.faults import Fault, Page, Place
from recipes.model import Book

RESPELL = "write sounds_like: how it is said, in common English words"
TELL_APART = "write sounds_like for the one that is said otherwise, or give one of them another name"
PHONES = (
    "Each name as it is listened for, in the phones of CMU's dictionary (AA as in hot, AE hat, AH hut or the a of"
    " about, AO law, EH bet, IH bit, IY beat, UH book, UW boot, ZH the s of measure). Where that is not how your bar"
    " says it, write sounds_like."
)
NOT_HEARD = "no recogniser can hear it"


def hard_to_hear(book: Book, path: Path | None = None) -> Iterator[Fault]:
    """Warnings about the names of this book, which was read from `path`, or else from the book that ships."""
    places = dict(_places(path))
    spoken = said(names_of(book))
    for name in spoken:
        if not name.is_sayable:
            problem = f'no recogniser can hear "{name.name}"'
            yield places[name.kind, name.name].fault("name", problem, RESPELL, severity="warning")
    for alike in too_alike(spoken):
        one, other = alike.one, alike.other
        sound, others = alike.sounds
        problem = f'said aloud, "{other.name}" ({others}) is taken for "{one.name}" ({sound})'
        yield places[other.kind, other.name].fault("name", problem, TELL_APART, severity="warning")


def aloud(book: Book) -> Iterator[str]:
    """How each name of the book is said, a line for each way to word it; words said by their letters are told."""
    yield PHONES
    pronouncer = Pronouncer()
    for name in said(names_of(book), pronouncer):
        yield f"{name.name} ({name.kind}){'' if name.is_sayable else f': {NOT_HEARD}'}"
        for wording, phones in zip(name.wordings, name.phones, strict=True):
            guessed = "; ".join(_guessed(word, pronouncer) for word in wording.split() if word in name.guessed)
            yield f"    {wording:<26}{phones}{f'  (by its letters: {guessed})' if guessed else ''}"


def _guessed(word: str, pronouncer: Pronouncer) -> str:
    """A word, and the other ways to say it that are listened for."""
    return ", or ".join((word, *(" ".join(way) for way in pronouncer.ways(word)[1:])))


def _places(path: Path | None) -> Iterator[tuple[tuple[str, str], Place]]:
    """Where each drink and ingredient stands, by kind and name."""
    folder = path or Path(str(files("recipes") / "book"))
    for file in sorted(folder.rglob("*.toml")):
        text = file.read_text("utf-8")
        page = Page(file.relative_to(folder).as_posix(), text, tomllib.loads(text))
        for kind in ("drink", "ingredient"):
            for index, entry in enumerate(page.data.get(kind, ())):
                yield (kind, entry["name"]), Place(page, kind, index, entry["name"])
