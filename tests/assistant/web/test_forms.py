"""What a form sends becomes an entry's values, and an entry is shown as it was typed."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from importlib.resources import files
from pathlib import Path

import pytest
from pydantic import ValidationError

from assistant.editing.entries import entries_of
from assistant.editing.rewriting import Value
from assistant.web.forms import DraftBody, form_values

BOOK = Path(str(files("recipes") / "book"))


def value(field: str, typed: str | list[str], currency: str = "USD") -> Value | None:
    """What is made of one field."""
    outer, _, inner = field.partition(".")
    fields = DraftBody(kind="ingredient", fields={field: typed}).draft(currency).fields
    found = fields.get(outer)
    return found[inner] if inner and isinstance(found, dict) else found


@pytest.mark.parametrize(
    ("field", "typed", "expected"),
    [
        ("price", "14", Decimal("14.00")),
        ("price", "14.5", Decimal("14.50")),
        ("price", "14,50", Decimal("14.50")),
        ("price", "$14.50", Decimal("14.50")),
        ("price", "€14.50", "€14.50"),
        ("price", "1,234", "1,234"),
        ("price", "cheap", "cheap"),
        ("price", "", None),
        ("pack.price", "0", Decimal("0.00")),
        ("abv.value", "40", Decimal(40)),
        ("abv.value", "17,5", Decimal("17.5")),
        ("abv.value", "forty", "forty"),
        ("bitterness", "3", 3),
        ("bitterness", "3.5", "3.5"),
        ("pours", ["2 oz gin", "", "1 oz lime juice"], ("2 oz gin", "1 oz lime juice")),
        ("pours", [], None),
        ("storage", "  fridge ", "fridge"),
        ("vegan", "yes", True),
        ("vegan", "no", False),
        ("vegan", "", None),
        ("vegan", "maybe", "maybe"),
    ],
)
def test_what_is_typed_is_read_and_what_is_no_number_stays(
    field: str, typed: str | list[str], expected: Value | None
) -> None:
    """A sum in another currency, or one that can be read two ways, is left for the book's checks to refuse."""
    assert value(field, typed) == expected


@pytest.mark.parametrize(
    ("said", "boxes", "expected"),
    [("", [], None), ("none", [], ()), ("these", ["milk"], ("milk",)), ("these", [], None)],
)
def test_allergens_that_are_not_looked_up_are_unknown(
    said: str, boxes: list[str], expected: tuple[str, ...] | None
) -> None:
    """None listed has to be said; no box ticked says nothing."""
    body = DraftBody(kind="ingredient", fields={"allergens_are": said, "allergens": boxes})
    assert body.draft("USD").fields.get("allergens") == expected


@pytest.mark.parametrize("fields", [{"colour": "red"}, {"pours": "2 oz gin"}, {"name": ["a"]}, {"name": "x" * 2000}])
def test_a_field_that_there_is_not_is_refused(fields: dict[str, str | list[str]]) -> None:
    """Nothing gets into the book by a side door."""
    with pytest.raises(ValidationError):
        DraftBody.model_validate({"kind": "drink", "fields": fields})


@pytest.mark.parametrize("path", sorted(BOOK.rglob("*.toml")), ids=lambda path: path.stem)
def test_every_entry_of_the_book_comes_back_from_its_form(path: Path) -> None:
    """Shown on the form and sent as it is, each entry says what it said."""
    text = path.read_text("utf-8")
    for kind in ("drink", "ingredient"):
        written = tomllib.loads(text, parse_float=Decimal).get(kind, [])
        for entry, was in zip(entries_of(text, kind), written, strict=True):
            fields = {key: _tupled(value) for key, value in entry.items()}
            sent = form_values(fields)
            back = DraftBody(kind=kind, fields=sent).draft("USD").fields
            told = {key: value for key, value in was.items() if value != [] or key == "allergens"}
            assert {key: _listed(value) for key, value in back.items()} == told


def _tupled(value: object) -> Value:
    if isinstance(value, dict):
        return {key: _tupled(inner) for key, inner in value.items()}
    return tuple(value) if isinstance(value, list) else value  # type: ignore[return-value]


def _listed(value: object) -> object:
    if isinstance(value, dict):
        return {key: _listed(inner) for key, inner in value.items()}
    return list(value) if isinstance(value, tuple) else value
