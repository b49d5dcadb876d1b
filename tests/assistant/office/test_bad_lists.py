"""Whatever a list from outside holds, it ends in a preview or in a refusal, never in a failure."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.answers import price_list, recipe_list, sales_list
from assistant.answers.list_lines import refused
from assistant.errors import ListRefused
from assistant.messages import Reply
from assistant.office.recipe_import import MOST_DEEP, read_recipes
from assistant.office.sales import read_sales
from assistant.office.supplier import preview
from recipes.loader import load_book
from recipes.model import Book

ODD = (
    "",
    "0",
    "-1",
    "1e999",
    "NaN",
    "1,2,3",
    "1.2.3",
    "$",
    "€5",
    "5 x",
    "12 x 0.75 L",
    "0 ml",
    "1/0",
    "½",
    "٣",
    "(5)",
    "1_000",
)
MARKS = ('"', "'", ";", "\t", ",", "|", "\n", "\r", "\u2028", "\x00", "\ufeff", "\u202e", "=cmd()", "a" * 400)
HEADINGS = ("item", "product", "pack size", "price", "unit price", "drink", "sold", "qty", "currency", "")


@cache
def book() -> Book:
    """The book that ships."""
    return load_book()


def lists() -> st.SearchStrategy[bytes]:
    """Tables of known names, odd figures and stray marks, in any encoding, with bytes lost or changed."""
    names = st.sampled_from((*book().ingredients, *book().drinks))
    cell = names | st.sampled_from(ODD + MARKS) | st.decimals(0, 999, places=2).map(str) | st.text(max_size=6)
    heads = st.lists(st.sampled_from(HEADINGS), min_size=1, max_size=4)
    table = st.tuples(heads, st.lists(st.lists(cell, max_size=5), max_size=8))
    cut = st.tuples(table, st.sampled_from(";,\t|"), st.sampled_from(("\n", "\r\n", "\r")), st.sampled_from(ENCODINGS))
    return st.binary(max_size=300) | st.tuples(
        cut.map(_written), st.lists(st.tuples(st.integers(0, 400), st.integers(0, 255)), max_size=4)
    ).map(_damaged)


Looked = TypeVar("Looked")
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-be", "cp1252")
Cut = tuple[tuple[list[str], list[list[str]]], str, str, str]


def _written(cut: Cut) -> bytes:
    (heads, rows), separator, end, encoding = cut
    return end.join(separator.join(row) for row in (heads, *rows)).encode(encoding, "replace")


def _damaged(damage: tuple[bytes, list[tuple[int, int]]]) -> bytes:
    whole = bytearray(damage[0])
    for at, byte in damage[1]:
        whole[at : at + 1] = bytes([byte])
    return bytes(whole)


def ended(look: Callable[[], Looked]) -> Looked | Reply:
    """What was found in a list, or what is told of one that is refused."""
    try:
        return look()
    except ListRefused as error:
        return refused(error)


@settings(max_examples=200, deadline=None)
@given(data=lists())
def test_any_supplier_s_list_is_looked_at_or_refused(data: bytes) -> None:
    """Every price that is offered is more than nothing, and belongs to something that the book has."""
    found = ended(lambda: preview(data, book(), {}))
    if isinstance(found, Reply):
        assert found.say.endswith(".")
        return
    assert price_list.previewed(found, book()).say
    assert all(row.new.magnitude > 0 and row.ingredient in book().ingredients for row in found.changes)


@settings(max_examples=200, deadline=None)
@given(data=lists())
def test_any_till_s_list_is_looked_at_or_refused(data: bytes) -> None:
    """Every count that is offered is a whole number of a drink that the book has."""
    found = ended(lambda: read_sales(data, book()))
    if isinstance(found, Reply):
        assert found.say.endswith(".")
        return
    assert sales_list.sales_shown(found).say
    assert all(count >= 0 and drink in book().drinks for drink, count in found.sold.items())


WORDS = st.sampled_from(("2 oz gin", "1/2 oz lime juice", "1/0 oz gin", "-1 oz gin", "1e999 ml gin", "gin", "", "PT5M"))
ANY = st.recursive(
    WORDS | st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(("@type", "text", "name", "x")), inner, max_size=3)
    ),
    max_leaves=8,
)
KEYS = (
    "recipeIngredient",
    "recipeInstructions",
    "recipeYield",
    "recipeCategory",
    "tool",
    "supply",
    "cookingMethod",
    "description",
)
RECIPE = st.fixed_dictionaries(
    {"@type": st.just("Recipe"), "name": st.text(max_size=9)}, optional=dict.fromkeys(KEYS, ANY)
)


@settings(max_examples=200, deadline=None)
@given(
    data=(RECIPE | ANY | st.lists(RECIPE, max_size=3)).map(lambda value: json.dumps(value).encode())
    | st.binary(max_size=200)
)
def test_any_recipes_are_read_or_refused(data: bytes) -> None:
    """Each recipe comes out as a drink, or with what cannot be read of it."""
    found = ended(lambda: read_recipes(data, book()))
    if isinstance(found, Reply):
        assert found.say.endswith(".")
        return
    assert recipe_list.recipes_shown(found).say
    assert all(bool(each.drink) != bool(each.unreadable) for each in found)


@pytest.mark.parametrize("deep", [MOST_DEEP + 1, 700, 990, 100_000])
def test_brackets_without_end_are_no_recipe(deep: int) -> None:
    """A name in a list in a list is no name, however deep; beyond what can be read it is no JSON."""
    data = b'{"@type": "Recipe", "name": ' + b"[" * deep + b'"Gimlet"' + b"]" * deep + b"}"
    found = ended(lambda: read_recipes(data, book()))
    if isinstance(found, Reply):
        assert "JSON" in found.say
    else:
        assert [each.drink for each in found] == [None]
