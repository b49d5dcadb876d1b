"""Recipes out as JSON-LD and in again; recipes from elsewhere, and what of them cannot be read."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from assistant.answers.recipe_list import recipes_shown, recipes_taken
from assistant.errors import ListRefused
from assistant.office.recipe_export import HOUSE_MADE, recipes_document
from assistant.office.recipe_import import Found, read_recipes
from recipes.model import Book, Drink, Ice, Method
from recipes.units import Amount, Unit
from tests.conftest import make_tiny_book
from tests.made_up import the_book

DAISY = {
    "@context": "https://schema.org/",
    "@type": "Recipe",
    "name": "Dry Land Sour",
    "recipeIngredient": [
        "60ml Gin",
        "1½ oz. of lime juice",
        "¾ fl oz sugar syrup",
        "2 dashes aromatic bitters",
        "1 egg white",
    ],
    "recipeInstructions": [
        {
            "@type": "HowToSection",
            "name": "Mix",
            "itemListElement": [{"@type": "HowToStep", "text": "Shake with ice."}],
        },
        {"@type": "HowToStep", "text": "Strain into a coupe."},
    ],
}


def read(document: object, book: Book | None = None) -> tuple[Found, ...]:
    """The recipes of a document against the small book."""
    return read_recipes(json.dumps(document).encode(), book or make_tiny_book())


def without(**fields: object) -> dict[str, object]:
    """The recipe above with other fields; None takes one away."""
    return {key: value for key, value in {**DAISY, **fields}.items() if value is not None}


def test_what_goes_out_comes_in_again_the_same() -> None:
    """Every drink of the book that ships, poured, garnished and served as before."""
    book = the_book()
    bare = replace(book, drinks=MappingProxyType({}))
    back = {one.name: one.drink for one in read(recipes_document(book), bare)}
    for drink in book.drinks.values():
        assert as_poured(back[drink.name]) == as_poured(drink)


def as_poured(drink: Drink | None) -> tuple[object, ...]:
    """What is done behind the bar."""
    assert drink is not None
    return drink.pours, drink.method, drink.glass, drink.ice, drink.garnish, drink.steps, drink.taste


def test_the_document_is_of_the_vocabulary() -> None:
    """A graph of Recipes with the properties that schema.org gives a Recipe, its HowTo and its CreativeWork."""
    document = json.loads(json.dumps(recipes_document(the_book())))
    allowed = {"@type", "name", "alternateName", "description", "keywords", "offers"}
    allowed |= {
        "recipeCategory",
        "recipeYield",
        "recipeIngredient",
        "recipeInstructions",
        "cookingMethod",
        "tool",
        "supply",
    }
    assert document["@context"] == "https://schema.org"
    for node in document["@graph"]:
        assert node["@type"] == "Recipe"
        assert set(node) <= allowed
        assert all(step["@type"] == "HowToStep" and step["text"] for step in node["recipeInstructions"])
    assert any(node["recipeCategory"] == HOUSE_MADE for node in document["@graph"])


def test_a_recipe_from_elsewhere_is_read_as_it_is_written() -> None:
    """Glued units, vulgar fractions, 'of', capitals, sections of steps; method and glass from the steps."""
    drink = read(DAISY)[0].drink
    assert drink is not None
    told = [(pour.amount, pour.ingredient) for pour in drink.pours]
    assert told == [
        (Amount(Decimal("60"), Unit.MILLILITRE), "gin"),
        (Amount(Decimal("1.5"), Unit.OUNCE), "lime juice"),
        (Amount(Decimal("0.75"), Unit.OUNCE), "sugar syrup"),
        (Amount(Decimal("2"), Unit.DASH), "aromatic bitters"),
        (Amount(Decimal("1"), Unit.PIECE), "egg white"),
    ]
    assert (drink.method, drink.glass, drink.ice) == (Method.SHAKEN, "coupe", Ice.NONE)
    assert drink.steps == ("Shake with ice.", "Strain into a coupe.")
    assert drink.price is None, "what others charge is not our price"


def test_ice_that_nobody_speaks_of_is_told() -> None:
    """None is taken, and the card says so; 'over crushed ice' is read."""
    assert read(DAISY)[0].assumed_no_ice
    assert "nothing is said of ice" in str(recipes_shown(read(DAISY)).card)
    crushed = read(without(recipeInstructions="Shake. Pour over crushed ice in a highball."))[0]
    assert crushed.drink is not None
    assert (crushed.drink.ice, crushed.drink.glass) == (Ice.CRUSHED, "highball")


@pytest.mark.parametrize(
    ("fields", "what", "said"),
    [
        ({"recipeIngredient": ["2 oz gin", "Juice of half a lime"]}, "line", "Juice of half a lime"),
        ({"recipeIngredient": ["2 oz gin", "a splash of soda water"]}, "line", "a splash of soda water"),
        ({"recipeIngredient": ["2 oz gins"]}, "ingredient", "gins"),
        ({"recipeIngredient": None}, "nothing", ""),
        ({"recipeInstructions": "Serve in a coupe."}, "method", ""),
        ({"recipeInstructions": "Shake and serve."}, "glass", ""),
        ({"name": None}, "name", ""),
        ({"name": "gimlet"}, "there", "gimlet"),
    ],
)
def test_what_cannot_be_read_is_listed_and_the_recipe_left_out(fields: dict[str, object], what: str, said: str) -> None:
    """One line that is not understood keeps the whole recipe out; a near name is offered, not taken."""
    found = read(without(**fields))[0]
    assert found.drink is None
    assert [(fault.what, fault.said) for fault in found.unreadable] == [(what, said)]
    assert recipes_shown([found]).say == "Zero recipes can be taken. One recipe cannot be read in full and is left out."


def test_recipes_are_found_wherever_they_stand() -> None:
    """In a list, in a graph, under a page; other things are passed by."""
    page = {"@graph": [{"@type": "WebPage", "mainEntity": DAISY}, {"@type": ["Thing", "Recipe"], "name": "Second"}]}
    assert [one.name for one in read([page])] == ["Dry Land Sour", "Second"]


@pytest.mark.parametrize(
    ("data", "reason"),
    [(b"{", "no json"), (b'{"@type": "Thing"}', "no recipe"), (b"[" * 100_000, "no json"), (b" ", "empty")],
)
def test_what_is_no_document_is_refused(data: bytes, reason: str) -> None:
    """Broken, of something else, nested without end, or empty."""
    with pytest.raises(ListRefused) as why:
        read_recipes(data, make_tiny_book())
    assert why.value.reason == reason


def test_what_was_taken_is_named() -> None:
    """And what was left out is counted."""
    found = read([DAISY, without(name=None)])
    said = "Taken into the book: Dry Land Sour. One recipe cannot be read in full and is left out."
    assert recipes_taken(found, "token").say == said
