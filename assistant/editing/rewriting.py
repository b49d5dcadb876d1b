"""Changes one entry in the text of a book's file, and leaves every other letter of the file as it was.

An entry's block runs from its `[[table]]` line to its last line; comments above it, and every other entry, are not
touched. Within the block only the keys that change are written anew: comments, order and layout of the rest stay.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeAlias

import tomlkit
from tomlkit.items import AbstractTable, AoT, Array, Item, Table

from recipes.locate import line_of, lines_of_entry

Value: TypeAlias = "str | Decimal | int | tuple[str, ...] | Mapping[str, Value | None]"
Fields: TypeAlias = "Mapping[str, Value | None]"  # key -> what it holds; None: the key is left out

WIDEST = 120  # letters of a line, from which a list takes a line for each item
ONE_A_LINE = frozenset({"pours", "steps"})
OWN_TABLE = frozenset({"made"})  # written as [ingredient.made], not between braces
ITEM_LINE = re.compile(r'\s*(?P<item>"(?:[^"\\]|\\.)*"),?\s*(?:#.*)?$')


class NotRewritable(ValueError):  # noqa: N818  # says what happened, not that it is an error
    """The entry is written in a way that this module does not change without risk: it is edited by hand."""


def block_of(text: str, table: str, name: str) -> str | None:
    """The text of the entry `[[table]]` of that name, without the line end after it; None when there is none.

    Raises NotRewritable when the block cannot be told from what stands around it.
    """
    entries = parsed(text).get(table, ())
    index = next((at for at, entry in enumerate(entries) if entry.get("name") == name), None)
    if index is None:
        return None
    first, last = lines_of_entry(text, table, index)
    block = "\n".join(text.splitlines()[first:last])
    if _only_entry(block, table) != entries[index]:
        raise NotRewritable(name)
    return block


def added(text: str, block: str) -> str:
    """The text with a block more at its end."""
    return f"{text.rstrip()}\n\n{block}\n" if text.strip() else f"{block}\n"


def swapped(text: str, old: str, new: str | None) -> str:
    """The text with a block in place of another; with None the old block goes, and the blank lines before it.

    Raises NotRewritable when the old block is not there exactly once.
    """
    lines, wanted = text.split("\n"), old.split("\n")
    places = [at for at in range(len(lines)) if lines[at : at + len(wanted)] == wanted]
    if len(places) != 1:
        raise NotRewritable(old.partition("\n")[0])
    first, after = places[0], places[0] + len(wanted)
    if new is not None:
        return "\n".join([*lines[:first], *new.split("\n"), *lines[after:]])
    while first and not lines[first - 1].strip():
        first -= 1
    return "\n".join([*lines[:first], *lines[after:]])


def written_anew(table: str, fields: Fields) -> str:
    """A block of these keys, laid out as the book's files are."""
    plain = [_key_text(key, value) for key, value in fields.items() if value is not None and key not in OWN_TABLE]
    own = [_own_table(table, key, value) for key, value in fields.items() if value is not None and key in OWN_TABLE]
    return "\n".join([f"[[{table}]]", *plain, *own])


def rewritten(block: str, table: str, fields: Fields) -> str:
    """The block with these keys as they are given, and every other key as it was.

    `fields` stands in the order in which keys are written; a key that is new goes after the one it follows there.
    Raises NotRewritable when the outcome does not say exactly that.
    """
    before = _only_entry(block, table)
    new = {key: value for key, value in fields.items() if value is not None and key not in before}
    document = tomlkit.parse(block)
    entries = document.get(table)
    if not isinstance(entries, AoT):
        raise NotRewritable(table)
    _change(entries[0], {key: value for key, value in fields.items() if key in before})
    text = tomlkit.dumps(document).rstrip()
    for key, value in new.items():
        text = _with_key(text, table, key, value, tuple(fields))
    if _only_entry(text, table) != _wanted(before, fields):
        raise NotRewritable(str(before.get("name", "")))
    return text


@lru_cache(maxsize=64)
def parsed(text: str) -> Mapping[str, Any]:
    """What a file's text says, to be read only: it is kept for the next draft. Raises tomllib.TOMLDecodeError."""
    return tomllib.loads(text, parse_float=Decimal)


def _only_entry(block: str, table: str) -> dict[str, Any]:
    """The values of the one entry of a block. Raises NotRewritable when it is not one entry."""
    try:
        entries = parsed(block).get(table, ())
    except tomllib.TOMLDecodeError as error:
        raise NotRewritable(table) from error
    if not isinstance(entries, list) or len(entries) != 1:
        raise NotRewritable(table)
    return dict(entries[0])


def _wanted(before: Mapping[str, Any], fields: Fields) -> dict[str, Any]:
    """What the entry is to say: what it said, with the fields over it."""
    merged = {**before, **{key: _plain(value) for key, value in fields.items()}}
    return {key: value for key, value in merged.items() if value is not None}


def _plain(value: Value | None) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items() if inner is not None}
    return list(value) if isinstance(value, tuple) else value


# Changing keys that are there


def _change(entry: AbstractTable, fields: Fields) -> None:
    for key, value in fields.items():
        old = entry.get(key)
        if value is None:
            entry.remove(key)
        elif isinstance(old, Table) and isinstance(value, Mapping):
            _change_table(entry, key, old, value)
        elif _differs(old, value):
            entry[key] = tomlkit.value(_list_like(old, key, value) or _text(key, value))


def _change_table(entry: AbstractTable, key: str, old: Table, value: Mapping[str, Value | None]) -> None:
    _change(old, {inner: new for inner, new in value.items() if inner in old})
    for gone in [inner for inner in old if value.get(inner) is None]:
        old.remove(gone)
    for inner, new in value.items():
        if new is not None and inner not in old:
            old[inner] = tomlkit.value(_text(inner, new))


def _differs(old: Item | bool | None, value: Value) -> bool:
    unwrapped = old.unwrap() if isinstance(old, Item) else old  # a bool comes as it is
    if isinstance(value, bool) or isinstance(unwrapped, bool):
        return unwrapped is not value
    if isinstance(value, Decimal | int) and isinstance(unwrapped, int | float):
        return Decimal(str(unwrapped)) != value
    return bool(_with_decimals(unwrapped) != _with_decimals(_plain(value)))


def _with_decimals(value: Any) -> Any:
    """The same value with numbers that can be compared: 24.00 is 24."""
    if isinstance(value, dict):
        return {key: _with_decimals(inner) for key, inner in value.items()}
    return Decimal(str(value)) if isinstance(value, float | int) else value


def _list_like(old: Item | None, key: str, value: Value) -> str | None:
    """The text of a list that keeps the old one's lines, comments and all, where items stay; None if it has no such."""
    if not isinstance(old, Array) or not isinstance(value, tuple) or "\n" not in old.as_string():
        return None
    lines = old.as_string().split("\n")[1:-1]
    kept: dict[str, list[str]] = {}
    above: list[str] = []
    for line in lines:
        match = ITEM_LINE.match(line)
        if match is None:
            if line.strip() and not line.lstrip().startswith("#"):
                return None
            above.append(line)
            continue
        ended = line if "," in line[match.end("item") :].partition("#")[0] else _with_comma(line, match.end("item"))
        kept.setdefault(match["item"], []).append("\n".join([*above, ended]))
        above = []
    items = [kept[text].pop(0) if kept.get(text := _string(item)) else f"  {text}," for item in value]
    return "\n".join(["[", *items, *above, "]"])


def _with_comma(line: str, at: int) -> str:
    return f"{line[:at]},{line[at:]}"


# New keys


def _with_key(block: str, table: str, key: str, value: Value, order: tuple[str, ...]) -> str:
    """The block with one key more, after the nearest that is written before it."""
    if key in OWN_TABLE:
        return f"{block}\n{_own_table(table, key, value)}"
    there = _only_entry(block, table)
    before = next((k for k in reversed(order[: order.index(key)]) if k in there and k not in OWN_TABLE), "")
    lines = block.split("\n")
    at = _end_of_key(lines, line_of(block, table, 0, before)) if before else 1
    return "\n".join([*lines[:at], _key_text(key, value), *lines[at:]])


def _end_of_key(lines: list[str], line: int) -> int:
    """The line after the last of the key that begins on a line (from 1): the first by which its value is whole."""
    for end in range(line, len(lines) + 1):
        try:
            tomllib.loads("\n".join(lines[line - 1 : end]))
        except tomllib.TOMLDecodeError:
            continue
        return end
    return len(lines)


# Values as text


def _own_table(table: str, key: str, value: Value) -> str:
    pairs = value.items() if isinstance(value, Mapping) else ()
    return "\n".join(["", f"[{table}.{key}]", *(_key_text(k, v) for k, v in pairs if v is not None)])


def _key_text(key: str, value: Value) -> str:
    return f"{key} = {_text(key, value)}"


def _text(key: str, value: Value) -> str:
    match value:
        case str():
            return _string(value)
        case bool():
            return "true" if value else "false"
        case tuple():
            inline = f"[{', '.join(map(_string, value))}]"
            return _one_a_line(value) if _is_long(key, inline) else inline
        case Mapping():
            return f"{{ {', '.join(_inner(value))} }}"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _inner(value: Mapping[str, Value | None]) -> Iterator[str]:
    return (_key_text(key, inner) for key, inner in value.items() if inner is not None)


def _is_long(key: str, inline: str) -> bool:
    return key in ONE_A_LINE or len(f"{key} = {inline}") > WIDEST


def _one_a_line(items: tuple[str, ...]) -> str:
    return "\n".join(["[", *(f"  {_string(item)}," for item in items), "]"])


def _string(text: str) -> str:
    return str(tomlkit.string(text).as_string())
