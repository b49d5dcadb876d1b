"""The small book with numbers: what each ingredient holds, so that a drink of it can be weighed up by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

from recipes.model import Book, Drink, Glass, Ice, Ingredient, Method, Pour, Sourced
from recipes.units import Quantity, quantity
from tests.conftest import make_tiny_book

# % vol, g/L sugar, % acid, g/mL, bitterness, days. What is not here is unknown: the violet liqueur stays a riddle.
KNOWN = {
    "gin": ("40", "0", "0", "0.948", 0, None),
    "white rum": ("40", "0", "0", "0.948", 0, None),
    "rye whiskey": ("45", "0", "0", "0.940", 0, None),
    "sweet vermouth": ("16", "150", "0.5", "1.040", 2, 30),
    "lime juice": ("0", "16", "6", "1.030", 0, 1),
    "lemon juice": ("0", "25", "6", "1.031", 0, 1),
    "sugar syrup": ("0", "615", "0", "1.230", 0, 14),
    "raspberry syrup": ("0", "600", "0.5", "1.225", 0, 10),
    "white sugar": ("0", "843", "0", "0.845", 0, None),
    "water": ("0", "0", "0", "0.998", 0, None),
    "soda water": ("0", "0", "0", "0.998", 0, 1),
    "aromatic bitters": ("44.7", "40", "0", "0.960", 5, None),
    "egg white": ("0", "7", "0", "1.027", 0, 2),
}
EGG_WHITE = quantity(32, "milliliter")


def make_known_book() -> Book:
    """The small book, its ingredients told apart by numbers."""
    book = make_tiny_book()
    shelf = {name: _with_numbers(ingredient) for name, ingredient in book.ingredients.items()}
    glasses = dict(book.glasses) | {
        "rocks glass": Glass("rocks glass", quantity(300, "milliliter")),
        "highball": Glass("highball", quantity(450, "milliliter")),
    }
    return replace(book, ingredients=MappingProxyType(shelf), glasses=MappingProxyType(glasses))


def _with_numbers(ingredient: Ingredient) -> Ingredient:
    if ingredient.name not in KNOWN:
        return ingredient
    abv, sugar, acid, density, bitterness, days = KNOWN[ingredient.name]
    return replace(
        ingredient,
        abv=sourced(abv, "percent"),
        sugar=sourced(sugar, "gram/liter"),
        acid=sourced(acid, "gram/deciliter"),
        density=sourced(density, "gram/milliliter"),
        bitterness=bitterness,
        shelf_life=None if days is None else quantity(days, "day"),
        each=Sourced(EGG_WHITE, "bar") if ingredient.name == "egg white" else None,
    )


def sourced(value: str, unit: str) -> Sourced:
    """A value by the house."""
    return Sourced(quantity(value, unit), "bar")


def with_ingredient(book: Book, ingredient: Ingredient) -> Book:
    """The book with an ingredient put in, or in place of the one of its name."""
    return replace(book, ingredients=MappingProxyType(dict(book.ingredients) | {ingredient.name: ingredient}))


def drink_of(
    pours: tuple[Pour, ...],
    method: Method = Method.SHAKEN,
    ice: Ice = Ice.NONE,
    glass: str = "coupe",
) -> Drink:
    """A drink of these pours."""
    return Drink("Test Drink", "classics", pours, method, glass, ice, (), ("Mix.",))


def number(value: Quantity | None, unit: str) -> Decimal:
    """The number of a known quantity in a unit; an unknown one fails the test."""
    assert value is not None
    found: Decimal = value.m_as(unit)
    return found
