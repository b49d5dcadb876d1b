"""Checks that need the whole book: names said twice, and recipes that go in circles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from recipes.faults import Fault, Place
from recipes.model import Ingredient


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
