"""Finds the line of an entry, a key or a list item in TOML text; Python's parser gives values but no lines."""

from __future__ import annotations

import re

HEADER = re.compile(r"\s*\[\[?\s*(?P<name>[\w.-]+)\s*\]\]?\s*(#.*)?$")
KEY = re.compile(r"\s*(?P<name>[\w-]+)\s*[.=]")
SYNTAX_LINE = re.compile(r"\(at line (\d+)")


def line_of(text: str, table: str = "", index: int = 0, key: str = "", item: str = "") -> int:
    """The 1-based line of a list item, else of its key, else of the entry `[[table]]` number `index`.

    With no table, the keys at the top of the file are meant. What cannot be found falls back to what holds it.
    """
    lines = text.splitlines()
    first, last = _entry(lines, table, index)
    start = next((n for n in range(first, last) if key and _is_key(lines[n], table, key)), None)
    if start is None:
        return first + 1
    end = next((n for n in range(start + 1, last) if _starts_something(lines[n])), last)
    return next((n for n in range(start, end) if item and item in lines[n]), start) + 1


def line_of_syntax_error(message: str, text: str) -> int:
    """The line named in the message of a TOML parser, or the last line ('at end of document')."""
    match = SYNTAX_LINE.search(message)
    return int(match.group(1)) if match else max(1, len(text.splitlines()))


def _entry(lines: list[str], table: str, index: int) -> tuple[int, int]:
    """First line and line after the last of the entry; its sub-tables `[table.key]` belong to it."""
    headers = [(n, match["name"]) for n, line in enumerate(lines) if (match := HEADER.match(line))]
    starts = [n for n, name in headers if name == table] if table else [0]
    if index >= len(starts):
        return 0, len(lines)
    first = starts[index]
    after = (n for n, name in headers if n >= first and n not in starts[: index + 1])
    own = f"{table}."
    names = dict(headers)
    return first, next((n for n in after if not (table and names[n].startswith(own))), len(lines))


def _is_key(line: str, table: str, key: str) -> bool:
    match = KEY.match(line)
    header = HEADER.match(line)
    return bool((match and match["name"] == key) or (header and table and header["name"] == f"{table}.{key}"))


def _starts_something(line: str) -> bool:
    return bool(KEY.match(line) or HEADER.match(line))
