"""What a form of the book's desk sends and shows: fields of text, or lists of it, and the entry's values they become.

A text that is no number where one belongs is passed on as it is: the book's own checks then say so beside its field.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated

from pydantic import StringConstraints, field_validator

from assistant.editing.drafts import Draft, Kind
from assistant.editing.rewriting import Fields, Value
from assistant.office.written_money import read_money
from assistant.web.body import Body

MOST_DRAFT_BYTES = 64_000
MONEY = frozenset({"price", "pack.price"})
NUMBERS = frozenset({"abv.value", "sugar.value", "acid.value", "density.value"})
WHOLE = frozenset({"bitterness", "shelf_life_days"})
FLAGS = frozenset({"vegan"})
LISTS = frozenset(
    {"pours", "steps", "say", "sounds_like", "garnish", "flavour", "stand_ins", "allergens", "made.pours", "made.steps"}
)
TEXTS = frozenset(
    {
        *("name", "method", "glass", "ice", "family", "first_print", "source", "note", "taste"),
        *("role", "kind", "storage", "caution", "par", "pack.size", "pack.usable", "pack.source", "made.makes"),
        *("abv.source", "sugar.source", "acid.source", "density.source", "each.size", "each.source", "allergens_are"),
    }
)
YES, NO = "yes", "no"  # of a flag
NONE_LISTED = "none"  # of `allergens_are`: looked up, and there are none
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
PLAIN_MONEY = re.compile(r"\d+(?:[.,]\d{1,2})?")

Line = Annotated[str, StringConstraints(strip_whitespace=True, max_length=1000)]
Short = Annotated[str, StringConstraints(strip_whitespace=True, max_length=200)]
FormValues = dict[str, str | list[str]]


class DraftBody(Body):
    """An entry as it is typed. `fields` are named as in the file, a key within a key with a point: 'pack.size'."""

    kind: Kind
    page: Short = ""
    was: Short = ""
    seen: Short = ""
    fields: dict[str, Line | list[Line]]

    @field_validator("fields")
    @classmethod
    def _known(cls, fields: Mapping[str, object]) -> Mapping[str, object]:
        for key, value in fields.items():
            if key not in (LISTS if isinstance(value, list) else TEXTS | MONEY | NUMBERS | WHOLE | FLAGS):
                raise ValueError(f"no field {key}")
        return fields

    def draft(self, currency: str) -> Draft:
        """The draft, money read in the house's currency (ISO 4217)."""
        nested: dict[str, Value | None] = {}
        for key, typed in self.fields.items():
            value = _value(key, typed, currency)
            outer, _, inner = key.partition(".")
            if value is None or key == "allergens_are":
                continue
            nested[outer] = {**_inner(nested.get(outer)), inner: value} if inner else value
        if self.fields.get("allergens_are") == NONE_LISTED:
            nested["allergens"] = ()
        return Draft(self.kind, self.page, nested, self.was, self.seen)


def form_values(fields: Fields) -> FormValues:
    """An entry's values as the form shows them."""
    shown: FormValues = {}
    for key, value in fields.items():
        if isinstance(value, Mapping):
            shown |= {f"{key}.{inner}": _shown(each) for inner, each in value.items()}
        else:
            shown[key] = _shown(value)
    if isinstance(fields.get("allergens"), tuple):
        shown["allergens_are"] = "these" if fields["allergens"] else NONE_LISTED
    return shown


def money_typed(typed: str, currency: str) -> Decimal | str:
    """To the cent where it is no finer; what is no sum of money stays as it was typed."""
    plain = PLAIN_MONEY.fullmatch(typed)
    found = Decimal(typed.replace(",", ".")) if plain else read_money(typed, None, currency)
    if not isinstance(found, Decimal):
        return typed
    cents = found.quantize(Decimal("0.01"))
    return cents if cents == found else found


def _value(key: str, typed: str | list[str], currency: str) -> Value | None:
    if isinstance(typed, list):
        return tuple(line for line in typed if line) or None
    if not typed:
        return None
    if key in MONEY:
        return money_typed(typed, currency)
    if key in FLAGS and typed in (YES, NO):
        return typed == YES
    if key in NUMBERS and NUMBER.fullmatch(typed):
        return Decimal(typed.replace(",", "."))
    return int(typed) if key in WHOLE and typed.isdecimal() else typed


def _inner(value: Value | None) -> Mapping[str, Value | None]:
    return value if isinstance(value, Mapping) else {}


def _shown(value: Value | None) -> str | list[str]:
    match value:
        case tuple():
            return list(value)
        case bool():
            return YES if value else NO
        case Decimal():
            return f"{value:f}"
    return "" if value is None else str(value)
