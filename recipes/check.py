"""Checks that need the whole book: names said twice, recipes that go in circles, and what the book does not know."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from recipes.faults import Fault, Place
from recipes.model import Drink, Ingredient, Role
from recipes.units import quantity

LIQUEUR_FROM = quantity(15, "percent")  # Regulation (EU) 2019/787, Annex I: minimum strength of a liqueur


@dataclass(frozen=True)
class Named:
    """A name as an entry gives it, and where."""

    place: Place
    name: str
    spoken: tuple[str, ...] = ()


def names_said_twice(entries: Iterable[Named], noun: str) -> Iterator[Fault]:
    """A name or spoken name, without regard to case, that two entries share or one entry repeats."""
    owners: dict[str, Named] = {}
    for entry in entries:
        for field, name in (("name", entry.name), *(("say", spoken) for spoken in entry.spoken)):
            owner = owners.setdefault(name.casefold(), entry)
            if owner is not entry:
                problem = f'"{name}" already names the {noun} "{owner.name}"'
                yield entry.place.fault(field, problem, "give each name to one entry", name)
        names = [name.casefold() for name in (entry.name, *entry.spoken)]
        for twice in sorted({name for name in names if names.count(name) > 1}):
            yield entry.place.fault("say", f'"{twice}" is listed twice', "list it once", twice)


def circles(ingredients: Mapping[str, Ingredient], places: Mapping[str, Place]) -> Iterator[Fault]:
    """House recipes that need themselves, each reported once, at the entry named first in the book."""
    told: set[frozenset[str]] = set()
    for name in ingredients:
        path = _circle_from(name, ingredients)
        if path and frozenset(path) not in told:
            told.add(frozenset(path))
            problem = f"the recipe goes in a circle: {' > '.join([*path, path[0]])}"
            yield places[name].fault("made", problem, "take one of them out")


def _circle_from(start: str, ingredients: Mapping[str, Ingredient]) -> list[str]:
    """The shortest chain of house recipes from `start` back to itself, or nothing."""
    chains = [[start]]
    reached = {start}
    for chain in chains:
        made = ingredients[chain[-1]].made if chain[-1] in ingredients else None
        for pour in made.pours if made else ():
            if pour.ingredient == start:
                return chain
            if pour.ingredient not in reached:
                reached.add(pour.ingredient)
                chains.append([*chain, pour.ingredient])
    return []


def unknowns(ingredients: Mapping[str, Ingredient], places: Mapping[str, Place]) -> Iterator[Fault]:
    """Warnings: what an ingredient leaves unknown, so that answers about it will say so."""
    for name, ingredient in ingredients.items():
        place = places[name]
        if ingredient.allergens is None and ingredient.made is None:
            mend = "read the label and write allergens, or leave it so if makers differ"
            yield place.fault("", "allergens are unknown", mend, severity="warning")
        if ingredient.pack is None and ingredient.made is None:
            yield place.fault("", "price is unknown", "write a pack or a recipe of its own", severity="warning")
        if ingredient.role is Role.LIQUEUR and ingredient.abv and ingredient.abv.value < LIQUEUR_FROM:
            problem = f"{ingredient.abv.value.magnitude} % vol is weak for a liqueur (EU: 15 % vol at least)"
            yield place.fault("abv", problem, "read the label again", severity="warning")


def unpriced(drinks: Mapping[str, Drink], places: Mapping[str, Place]) -> Iterator[Fault]:
    """Warnings: drinks with no menu price, whose pour cost will be unknown."""
    for name, drink in drinks.items():
        if drink.price is None:
            yield places[name].fault("", "menu price is unknown", "write a price", severity="warning")
