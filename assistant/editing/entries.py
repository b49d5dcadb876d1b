"""Entries in the text of their files: where they stand, what they say, and the text with a draft put in."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from assistant.editing.drafts import Draft, Kind
from assistant.editing.rewriting import (
    Fields,
    NotRewritable,
    Value,
    added,
    block_of,
    parsed,
    rewritten,
    swapped,
    written_anew,
)
from recipes.binding import INGREDIENTS


def page_titles(kind: Kind, texts: Mapping[str, str]) -> dict[str, str]:
    """The files that hold entries of a kind, each with what people call it: a shelf's title, or the first comment."""
    if kind == "drink":
        heads = {page: _values(text) for page, text in texts.items()}
        return {page: str(head.get("title", page)) for page, head in heads.items() if "shelf" in head}
    return {page: _first_comment(text) or page for page, text in texts.items() if page.startswith(INGREDIENTS)}


def entries_of(text: str, kind: Kind) -> list[Mapping[str, Any]]:
    """What the entries of a file say; none where it cannot be read."""
    entries = _values(text).get(kind, [])
    return entries if isinstance(entries, list) else []


def block_in(text: str, kind: Kind, name: str) -> str | None:
    """The text of an entry; None where the file has none of that name, or cannot be read.

    Raises NotRewritable when it cannot be told from what stands around it.
    """
    try:
        return block_of(text, kind, name)
    except tomllib.TOMLDecodeError:
        return None


def fields_of(block: str, kind: Kind) -> Fields:
    """What the entry of a block says."""
    entries = _values(block).get(kind, ())
    return {key: _value(value) for key, value in entries[0].items()} if entries else {}


def name_in(block: str, kind: Kind) -> str:
    """The name of the entry of a block."""
    return str(fields_of(block, kind).get("name", ""))


def with_draft(draft: Draft, text: str) -> tuple[str, str]:
    """The draft's block, and the file's text with it. Raises NotRewritable."""
    if not draft.was:
        block = written_anew(draft.kind, draft.ordered())
        return block, added(text, block)
    old = block_in(text, draft.kind, draft.was)
    if old is None:
        raise NotRewritable(draft.was)
    block = rewritten(old, draft.kind, _with_empty_lists(draft.ordered(), fields_of(old, draft.kind)))
    return block, swapped(text, old, block)


def _with_empty_lists(fields: Fields, before: Fields) -> Fields:
    """A list that stands empty in the file and in the draft stays; but of allergens, empty says that there are none."""
    return {
        key: () if value is None and before.get(key) == () and key != "allergens" else value
        for key, value in fields.items()
    }


def is_within(line: int, block: str, text: str) -> bool:
    """Whether a line of the text (from 1) is one of the block's."""
    first = text[: text.find(block)].count("\n") + 1
    return first <= line <= first + block.count("\n")


def _first_comment(text: str) -> str:
    first = text.partition("\n")[0]
    return first.lstrip("# ").partition(".")[0].partition(":")[0] if first.startswith("#") else ""


def _values(text: str) -> Mapping[str, Any]:
    try:
        return parsed(text)
    except tomllib.TOMLDecodeError:
        return {}


def _value(value: Any) -> Value:
    if isinstance(value, dict):
        return {key: _value(inner) for key, inner in value.items()}
    return tuple(value) if isinstance(value, list) else value
