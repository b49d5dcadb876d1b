"""A draft: an entry of the book as somebody types it on the page, new or in place of one that is there."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from assistant.editing.rewriting import Fields
from recipes.schema import DrinkEntry, Entry, IngredientEntry

Kind = Literal["drink", "ingredient"]  # as the tables of the book's files are called
SHAPES: MappingProxyType[Kind, type[Entry]] = MappingProxyType({"drink": DrinkEntry, "ingredient": IngredientEntry})


@dataclass(frozen=True)
class Draft:
    """What an entry is to say."""

    kind: Kind
    page: str  # the file, as named inside the book's folder: where a new entry goes
    fields: Fields  # key -> value; a number that is none stays the text that was typed
    was: str = ""  # the name of the entry that it changes; empty: it is a new one
    seen: str = ""  # the fingerprint of that entry when it was opened

    @property
    def name(self) -> str:
        """The name it gives the entry; empty while none is typed."""
        return str(self.fields.get("name") or "")

    def ordered(self) -> Fields:
        """Every key of the entry's shape, in the order in which the book writes them."""
        return {key: self.fields.get(key) for key in SHAPES[self.kind].model_fields}


@dataclass(frozen=True)
class Opened:
    """An entry as it stands in its file."""

    kind: Kind
    page: str
    block: str  # its text
    fields: Fields

    @property
    def fingerprint(self) -> str:
        """Another one whenever a letter of the entry is another."""
        return fingerprint(self.block)


def fingerprint(block: str) -> str:
    """A short text that tells two blocks apart."""
    return hashlib.sha256(block.encode()).hexdigest()[:32]
