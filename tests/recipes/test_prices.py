"""What an amount of an ingredient costs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from recipes.model import Book, HouseRecipe, Ingredient, Sourced
from recipes.prices import Cost, PriceList
from recipes.units import Amount, Unit, quantity
from tests.conftest import make_tiny_book, pack, pours

BOOK = make_tiny_book()


def book_with(*changed: Ingredient) -> Book:
    """The small book with other ingredients in place of its own."""
    ingredients = dict(BOOK.ingredients) | {ingredient.name: ingredient for ingredient in changed}
    return replace(BOOK, ingredients=MappingProxyType(ingredients))


def price_of(name: str, number: str, unit: Unit, book: Book = BOOK) -> Cost:
    """The cost of an amount."""
    return PriceList(book).cost(name, Amount(Decimal(number), unit))


@pytest.mark.parametrize(
    ("name", "number", "unit", "expected"),
    [
        ("gin", "750", Unit.MILLILITRE, "24.00"),
        ("gin", "2", Unit.BOTTLE, "48.00"),
        ("lime juice", "27", Unit.MILLILITRE, "0.45"),
        ("lime juice", "2", Unit.PIECE, "0.90"),
        ("lime juice", "4", Unit.WEDGE, "0.225"),
        ("lime wheel", "1", Unit.PIECE, "0.05625"),
        ("mint", "8", Unit.LEAF, "0.20"),
        ("white sugar", "1", Unit.KILOGRAM, "1.50"),
        ("white sugar", "2", Unit.PINCH, "0.0009"),
        ("water", "1", Unit.KILOGRAM, "0"),
        ("aromatic bitters", "2", Unit.DASH, "0.162"),
        ("sugar syrup", "800", Unit.MILLILITRE, "0.75"),
        ("lime cordial", "750", Unit.MILLILITRE, "4.6354167"),
    ],
)
def test_an_amount_costs_its_share_of_the_pack_or_the_recipe(name: str, number: str, unit: Unit, expected: str) -> None:
    """Bottles by volume, limes by the juice they yield, mint by the leaf, cordial by its syrup and limes."""
    cost = price_of(name, number, unit).money
    assert cost is not None
    assert round(cost, 7) == Decimal(expected)


def test_a_missing_price_is_unknown_and_named() -> None:
    """Nobody wrote what the raspberry syrup costs."""
    assert price_of("raspberry syrup", "1", Unit.OUNCE) == Cost(None, ("raspberry syrup",))


def test_a_missing_price_within_a_house_made_thing_is_named() -> None:
    """A cordial of limes without a price has no price, because of the limes."""
    book = book_with(replace(BOOK.ingredients["lime juice"], pack=None))
    assert price_of("lime cordial", "1", Unit.OUNCE, book) == Cost(None, ("lime juice",))


def test_an_amount_the_pack_cannot_price_is_unknown() -> None:
    """Gin by the gram cannot be priced from a bottle without a density."""
    assert price_of("gin", "50", Unit.GRAM) == Cost(None, ("gin",))


def test_density_prices_by_weight_what_is_bought_by_volume() -> None:
    """At 0.94 g/mL, 705 g of gin are a bottle."""
    book = book_with(replace(BOOK.ingredients["gin"], density=Sourced(quantity("0.94", "gram/milliliter"), "bar")))
    assert price_of("gin", "705", Unit.GRAM, book) == Cost(Decimal(24))


def test_the_size_of_a_piece_prices_by_the_piece_what_is_bought_by_weight() -> None:
    """A sugar cube of 4 g from a 1 kg box at 1.50."""
    sugar = replace(BOOK.ingredients["white sugar"], each=Sourced(quantity(4, "gram"), "bar"))
    assert price_of("white sugar", "1", Unit.CUBE, book_with(sugar)) == Cost(Decimal("0.006"))


def test_the_size_of_a_piece_prices_by_volume_what_is_bought_by_the_piece() -> None:
    """Egg white by the ounce, from eggs at 40 cents of 32 ml each."""
    egg = replace(BOOK.ingredients["egg white"], each=Sourced(quantity(32, "milliliter"), "bar"))
    assert price_of("egg white", "16", Unit.MILLILITRE, book_with(egg)) == Cost(Decimal("0.2"))


def test_a_free_pack_costs_nothing_and_is_known() -> None:
    """Tap water at 0.00 is known to cost nothing."""
    assert price_of("water", "500", Unit.MILLILITRE) == Cost(Decimal(0))


def test_what_is_made_of_itself_has_no_price() -> None:
    """A circle of recipes ends in 'unknown', not in a hang."""
    loop = HouseRecipe(pours("100 ml lime cordial"), quantity(100, "milliliter"), ())
    book = book_with(replace(BOOK.ingredients["lime cordial"], made=loop))
    assert price_of("lime cordial", "1", Unit.OUNCE, book) == Cost(None, ("lime cordial",))


def test_yield_counts_not_size() -> None:
    """A litre of which 900 ml can be poured is dearer by the millilitre."""
    book = book_with(replace(BOOK.ingredients["gin"], pack=pack("1000 milliliter", "18.00", "900 milliliter")))
    assert price_of("gin", "900", Unit.MILLILITRE, book) == Cost(Decimal(18))
