"""Warnings: what the book leaves unknown, so that an answer about it will have to say so."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import TypeVar

from recipes.balance import profile
from recipes.composition import Compositions
from recipes.costing import cost
from recipes.faults import Fault, Place
from recipes.mixing import Lack
from recipes.model import Book, Drink, Ingredient, Role
from recipes.units import quantity

Key = TypeVar("Key", bound=Hashable)
MENDS = MappingProxyType({lack: str(lack) for lack in Lack} | {Lack.AMOUNT: "each, or what a piece of the pack yields"})
LIQUEUR_FROM = quantity(15, "percent")  # Regulation (EU) 2019/787, Annex I: minimum strength of a liqueur


def ingredient_doubts(ingredients: Mapping[str, Ingredient], places: Mapping[str, Place]) -> Iterator[Fault]:
    """What an ingredient's own entry leaves unknown, or says against the usual."""
    for name, ingredient in ingredients.items():
        place = places[name]
        if ingredient.allergens is None and ingredient.made is None:
            mend = "read the label and write allergens, or leave it so if makers differ"
            yield _warning(place, "", "allergens are unknown", mend)
        if not _has_price(ingredient):
            yield _warning(place, "", "price is unknown", "write a pack or a recipe of its own")
        if ingredient.role is Role.LIQUEUR and ingredient.abv and ingredient.abv.value < LIQUEUR_FROM:
            problem = f"{ingredient.abv.value.magnitude} % vol is weak for a liqueur (EU: 15 % vol at least)"
            yield _warning(place, "abv", problem, "read the label again")


def unpriced(drinks: Mapping[str, Drink], places: Mapping[str, Place]) -> Iterator[Fault]:
    """Drinks without a menu price."""
    for name, drink in drinks.items():
        if drink.price is None:
            yield _warning(places[name], "", "menu price is unknown", "write a price")


def uncosted(book: Book, places: Mapping[str, Place]) -> Iterator[Fault]:
    """Ingredients with a price that does not tell what a drink's pour of them costs; the book has no faults."""
    drinks = _by_ingredient((name, drink.name) for drink in book.drinks.values() for name in cost(drink, book).unknown)
    for name, users in drinks.items():
        if _has_price(book.ingredients[name]):
            problem = f"the price does not tell what it costs in {users}"
            yield _warning(
                places[name], "", problem, "write the pack, or what it yields, in the measure that is poured"
            )


def unweighed(book: Book, places: Mapping[str, Place]) -> Iterator[Fault]:
    """Ingredients that lack a value which a drink's balance needs; the book has no faults."""
    compositions = Compositions(book)
    gaps = ((drink, gap) for drink in book.drinks.values() for gap in profile(drink, compositions).gaps)
    drinks = _by_ingredient(((gap.ingredient, gap.lack), drink.name) for drink, gap in gaps)
    for (name, lack), users in sorted(drinks.items()):
        yield _warning(
            places[name], "", f"{lack} is unknown, and with it the balance of {users}", f"write {MENDS[lack]}"
        )


def _by_ingredient(pairs: Iterable[tuple[Key, str]]) -> dict[Key, str]:
    """For each key the drinks it goes with, as one text."""
    drinks: dict[Key, dict[str, None]] = {}
    for key, drink in pairs:
        drinks.setdefault(key, {})[drink] = None
    return {key: ", ".join(names) for key, names in drinks.items()}


def _has_price(ingredient: Ingredient) -> bool:
    return ingredient.pack is not None or ingredient.made is not None


def _warning(place: Place, field: str, problem: str, mend: str) -> Fault:
    return place.fault(field, problem, mend, severity="warning")
