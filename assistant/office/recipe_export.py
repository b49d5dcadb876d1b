"""Recipes as schema.org/Recipe in JSON-LD, for any program that reads them.

Method, glass and ice travel in properties of the vocabulary: cookingMethod, tool (HowToTool), supply (HowToSupply).
"""

from __future__ import annotations

from recipes.model import Book, Drink, HouseRecipe, Ice, Ingredient, Pour
from recipes.spec import written
from recipes.units import Amount, Unit

CONTEXT = "https://schema.org"
HOUSE_MADE = "house-made"
GARNISH_NOTE = "garnish"
Node = dict[str, object]


def recipes_document(book: Book) -> Node:
    """All drinks of the book and all that the house makes, as one JSON-LD document."""
    made = [_house_made(one, one.made, book) for one in book.ingredients.values() if one.made is not None]
    return {"@context": CONTEXT, "@graph": [*(recipe_node(drink, book) for drink in book.drinks.values()), *made]}


def recipe_node(drink: Drink, book: Book) -> Node:
    """One drink. The price is an offer in the house's currency; allergens are not told here, since labels tell them."""
    node: Node = {
        "@type": "Recipe",
        "name": drink.name,
        "recipeCategory": book.shelves.get(drink.shelf, drink.shelf),
        "recipeYield": "1 drink",
        "recipeIngredient": [*(_line(pour, book) for pour in drink.pours), *map(_garnish, drink.garnish)],
        "recipeInstructions": _steps(drink.steps),
        "cookingMethod": drink.method.value,
        "tool": {"@type": "HowToTool", "name": drink.glass},
    }
    if drink.ice is not Ice.NONE:
        node["supply"] = {"@type": "HowToSupply", "name": f"{drink.ice.value} ice"}
    if drink.spoken:
        node["alternateName"] = list(drink.spoken)
    if drink.family:
        node["keywords"] = drink.family
    if drink.taste:
        node["description"] = drink.taste
    if drink.price is not None:
        price = f"{drink.price.m_as('money'):.2f}"
        node["offers"] = {"@type": "Offer", "price": price, "priceCurrency": book.house.currency}
    return node


def _house_made(ingredient: Ingredient, made: HouseRecipe, book: Book) -> Node:
    millilitres = Amount(made.makes.m_as("milliliter").normalize(), Unit.MILLILITRE)
    return {
        "@type": "Recipe",
        "name": ingredient.name,
        "recipeCategory": HOUSE_MADE,
        "recipeYield": written(millilitres),
        "recipeIngredient": [_line(pour, book) for pour in made.pours],
        "recipeInstructions": _steps(made.steps),
    }


def _line(pour: Pour, book: Book) -> str:
    own = book.ingredients[pour.ingredient].role
    role = "" if pour.role is own else f" as {pour.role.value}"
    amount = written(pour.amount).replace(",", "")  # no marks between thousands
    return f"{amount} {pour.ingredient}{role}{f', {pour.note}' if pour.note else ''}"


def _garnish(name: str) -> str:
    return f"1 {name}, {GARNISH_NOTE}"


def _steps(steps: tuple[str, ...]) -> list[Node]:
    return [{"@type": "HowToStep", "text": text} for text in steps]
