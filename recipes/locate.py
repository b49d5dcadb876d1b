"""Finds the line of an entry, a key or a list item in TOML text; Python's parser gives values but no lines."""

from __future__ import annotations

import re
from collections.abc import Callable

HEADER = re.compile(r"\s*\[\[?\s*(?P<name>[\w.-]+)\s*\]\]?\s*(#.*)?$")
KEY = re.compile(r"\s*(?P<name>[\w-]+)\s*[.=]")
SYNTAX_LINE = re.compile(r"\(at line (\d+)")


def line_of(text: str, table: str = "", index: int = 0, key: str = "", item: str = "") -> int:
    """The 1-based line of a list item, else of its key, else of the entry `[[table]]` number `index`.

    A key within a key is written 'made.pours'. With no table, the keys at the top of the file are meant. What cannot
    be found falls back to what holds it.
    """
    lines = text.splitlines()
    first, last = _entry(lines, table, index)
    outer, _, inner = key.partition(".")
    at = _find(lines, first, last, lambda line: _is_key(line, table, outer))
    if at is None:
        return first + 1
    if inner and HEADER.match(lines[at]):
        within = _find(lines, at + 1, last, lambda line: _is_key(line, table, inner))
        at = at if within is None else within
    end = _find(lines, at + 1, last, _starts_something)
    found = _find(lines, at, last if end is None else end, lambda line: bool(item) and item in line)
    return (at if found is None else found) + 1


def lines_of_entry(text: str, table: str, index: int) -> tuple[int, int]:
    """The 0-based first line of the entry `[[table]]` number `index`, and the line after its last.

    Blank lines and comments after it belong to what follows.
    """
    lines = text.splitlines()
    first, last = _entry(lines, table, index)
    while last > first and (not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")):
        last -= 1
    return first, last


def line_of_syntax_error(message: str, text: str) -> int:
    """The line named in the message of a TOML parser, or the last line ('at end of document')."""
    match = SYNTAX_LINE.search(message)
    return int(match.group(1)) if match else max(1, len(text.splitlines()))


def _entry(lines: list[str], table: str, index: int) -> tuple[int, int]:
    """First line and line after the last of the entry; its sub-tables `[table.key]` belong to it."""
    headers = [(n, match["name"]) for n, line in enumerate(lines) if (match := HEADER.match(line))]
    starts = [n for n, name in headers if name == table] if table else [0]
    if index >= len(starts):
        return 0, 0
    first = starts[index]
    after = (n for n, name in headers if n >= first and n not in starts[: index + 1])
    own = f"{table}."
    names = dict(headers)
    return first, next((n for n in after if not (table and names[n].startswith(own))), len(lines))


def _find(lines: list[str], first: int, last: int, fits: Callable[[str], bool]) -> int | None:
    return next((n for n in range(first, last) if fits(lines[n])), None)


def _is_key(line: str, table: str, key: str) -> bool:
    match = KEY.match(line)
    header = HEADER.match(line)
    return bool((match and match["name"] == key) or (header and table and header["name"] == f"{table}.{key}"))


def _starts_something(line: str) -> bool:
    return bool(KEY.match(line) or HEADER.match(line))
