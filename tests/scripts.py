"""The demo scripts as data: their lines, and whether a reply is what a line says must come back."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.messages import Bar, Bars, Card, Cell, Figure, Note, Reply, Steps, Table
from tests.expected import Expected, is_right, readings

FOLDER = Path(__file__).parents[1] / "demo_audio_scripts"


@dataclass(frozen=True)
class Line:
    """What is said, what is meant, and pieces of what must come back."""

    say: str
    expected: tuple[Expected, ...]
    back: tuple[str, ...]

    def is_answered(self, reply: Reply, before: Reply | None) -> bool:
        """Whether the reply is to what was meant, and says or shows every piece; `before` is the reply before it."""
        return is_right(reply, before, self.expected) and not self.lacking(reply)

    def lacking(self, reply: Reply) -> tuple[str, ...]:
        """The pieces that are neither said nor shown."""
        texts = [reply.say, *(shown(reply.card) if reply.card else ())]
        return tuple(piece for piece in self.back if not any(piece in text for text in texts))


def scripts() -> dict[str, tuple[Line, ...]]:
    """The lines of every script, by its file's name without the ending."""
    return {file.stem: read(file) for file in sorted(FOLDER.glob("*.toml"))}


def read(file: Path) -> tuple[Line, ...]:
    """The lines of one script, in order."""
    entries = tomllib.loads(file.read_text(encoding="utf-8"))["line"]
    return tuple(Line(entry["say"], readings(entry), _pieces(entry["back"])) for entry in entries)


def shown(card: Card) -> Iterator[str]:
    """Every text on a card."""
    yield from (card.title, *card.facts)
    for block in card.blocks:
        match block:
            case Table(rows=rows, heads=heads, title=title):
                yield from (title, *heads)
                for row in rows:
                    yield from (row.label, row.note, *map(_text, row.cells))
            case Steps(items=items, title=title):
                yield from (title, *items)
            case Bars(bars=bars, title=title):
                yield title
                yield from (text for bar in bars for text in _bar(bar))
            case Note(text=text):
                yield text


def _bar(bar: Bar) -> tuple[str, ...]:
    return (bar.label, bar.figure.text, *([bar.second.text] if bar.second else []))


def _text(cell: Cell) -> str:
    return cell.text if isinstance(cell, Figure) else cell


def _pieces(back: str | list[str]) -> tuple[str, ...]:
    return (back,) if isinstance(back, str) else tuple(back)
