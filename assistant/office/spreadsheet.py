"""A list saved as text by whatever program a supplier or a till has: its letters, its lines and its cells.

Read by what is there, not by what should be: a byte order mark, else UTF-16 by its zeros, else UTF-8, else the Windows
page of western Europe. A quotation mark that is never closed would swallow lines, so such a list is refused.
"""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.errors import ListRefused

MOST_BYTES = 20_000_000
SEPARATORS = (";", "\t", ",", "|")
_MARKS = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
_NOT_LISTS = {b"PK\x03\x04": "workbook", b"\xd0\xcf\x11\xe0": "workbook", b"%PDF": "no text"}
_LOOKED_AT = 400  # bytes from the start that tell UTF-16 without its mark


@dataclass(frozen=True)
class Line:
    """One line of a list: the number a person sees beside it, and its cells without spaces around them."""

    number: int
    cells: tuple[str, ...]

    def cell(self, at: int | None) -> str:
        """The cell at a place; empty where the line has none."""
        return self.cells[at] if at is not None and at < len(self.cells) else ""


def text_of(data: bytes) -> str:
    """The text of a file. Raises ListRefused: 'empty', 'too long', 'workbook' or 'no text'."""
    if not data.strip(b"\x00 \t\r\n"):
        raise ListRefused("empty")
    if len(data) > MOST_BYTES:
        raise ListRefused("too long")
    for start, reason in _NOT_LISTS.items():
        if data.startswith(start):
            raise ListRefused(reason)
    for encoding in _likely(data):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not text.strip("\ufeff \t\r\n"):
            raise ListRefused("empty")
        if "\x00" not in text:
            return text
    raise ListRefused("no text")


def _likely(data: bytes) -> tuple[str, ...]:
    for mark, encoding in _MARKS.items():
        if data.startswith(mark):
            return (encoding,)
    zeros = [at % 2 for at, byte in enumerate(data[:_LOOKED_AT]) if not byte]
    if zeros:
        return ("utf-16-le",) if sum(zeros) * 2 > len(zeros) else ("utf-16-be",)
    return ("utf-8", "cp1252")


def lines_of(text: str, separator: str) -> Iterator[Line]:
    """The lines that hold anything, cut at a separator. Raises ListRefused: 'quote', with the line it opens on."""
    reader = csv.reader(text.splitlines(keepends=True), delimiter=separator, strict=True)
    last = 0
    try:
        for cells in reader:
            first, last = last + 1, reader.line_num
            if any(cell.strip() for cell in cells):
                yield Line(first, tuple(cell.strip() for cell in cells))
    except csv.Error as cause:
        raise ListRefused("quote", str(last + 1)) from cause
