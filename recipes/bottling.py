"""What a batch is kept in, and what stands on its label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from recipes.model import Book, Ingredient, Role
from recipes.portions import is_dry_sugar
from recipes.safety import contents
from recipes.units import Quantity, quantity

KEG = quantity(19, "liter")  # a small soda keg, five US gallons (common practice)
KEG_FROM = quantity(10, "liter")  # below it, bottles are handier (house choice)
KEEPS_FROM = quantity(20, "percent")  # from this strength an opened bottle is not what spoils a batch (common practice)

PLAIN_WATER = "water"  # the kind whose date is that of a jug, not of the tap
TO_A_THOUSANDTH = Decimal("0.001")  # a vessel is not opened for less


@dataclass(frozen=True)
class Container:
    """So many vessels of one size."""

    kind: str  # 'bottle' or 'keg'
    size: Quantity  # mL each
    count: Decimal  # whole vessels
    last: Decimal  # how full the last one is, 0..1


@dataclass(frozen=True)
class Label:
    """What is in a batch and how long it keeps. The day it was made is the writer's to add: the engine has no clock."""

    contents: tuple[str, ...]  # most first
    allergens: tuple[str, ...]
    allergens_unknown: tuple[str, ...]  # ingredients whose allergens the book does not tell
    keeps: Quantity | None  # days of the ingredient that spoils first; None when none of them has a date
    first_to_go: tuple[str, ...]  # the ingredients that set it
    undated: tuple[str, ...]  # ingredients weak enough to spoil, without a shelf life in the book


def containers(volume: Quantity, book: Book) -> tuple[Container, ...]:
    """Ways to hold so much: the house's bottles, and kegs beside them when it is a lot; the handier first."""
    bottles = _vessels("bottle", book.house.bottle, volume)
    if volume < KEG_FROM:
        return (bottles,)
    return (_vessels("keg", KEG, volume), bottles)


def _vessels(kind: str, size: Quantity, volume: Quantity) -> Container:
    share = (volume.m_as("milliliter") / size.m_as("milliliter")).quantize(TO_A_THOUSANDTH)
    count = share.to_integral_value(ROUND_CEILING)
    return Container(kind, quantity(size.m_as("milliliter"), "milliliter"), count, 1 - (count - share))


def label(names: Sequence[str], book: Book) -> Label:
    """The label of a batch of these ingredients, named most first.

    It keeps as long as the ingredient that spoils first (FDA Food Code 3-501.17: a mixture keeps the earliest date).
    """
    inside = contents(names, book)
    parts = [book.ingredients[name] for name in names]
    lives = {i.name: i.shelf_life for i in parts if i.shelf_life is not None and i.kind != PLAIN_WATER}
    keeps = min(lives.values()) if lives else None
    return Label(
        contents=tuple(names),
        allergens=tuple(inside.by_allergen),
        allergens_unknown=inside.unknown,
        keeps=keeps,
        first_to_go=tuple(name for name, life in lives.items() if life == keeps),
        undated=tuple(i.name for i in parts if _may_spoil(i)),
    )


def _may_spoil(ingredient: Ingredient) -> bool:
    if ingredient.shelf_life is not None or ingredient.role is Role.SALT or is_dry_sugar(ingredient):
        return False
    return ingredient.abv is None or bool(ingredient.abv.value < KEEPS_FROM)
