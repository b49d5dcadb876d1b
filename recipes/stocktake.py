"""What was counted of an ingredient, brought to the measure that prep reckons in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.model import Book, Ingredient
from recipes.portions import bottle_of
from recipes.units import COUNTED, Amount, Quantity, Unit, measured, quantity


@dataclass(frozen=True)
class OnHand:
    """What there is of one ingredient. None is 'nobody has counted that', which is not zero."""

    ready: Quantity | None = None  # mL, g or pieces that can be poured as they are
    fruit: Decimal | None = None  # whole fruits, still to be pressed


def counted(amount: Amount, ingredient: Ingredient, book: Book) -> OnHand:
    """What so much of an ingredient is: 'two litres of lime juice' is ready, 'twelve limes' are still to be pressed.

    A bottle is the pack it is bought in, else the house's usual one. Raises ValueError for a unit that does not tell
    how much there is: parts, pieces of what is poured from a bottle, a weight of fruit.
    """
    if amount.unit is Unit.PART:
        raise ValueError(amount.unit)
    if amount.unit is Unit.BOTTLE:
        return OnHand(ready=quantity(bottle_of(ingredient, book).m_as("milliliter") * amount.number, "milliliter"))
    if amount.unit in COUNTED:
        if is_pressed(ingredient):
            return OnHand(fruit=amount.number)
        if not _by_the_piece(ingredient):
            raise ValueError(amount.unit)
        return OnHand(ready=quantity(amount.number, "piece"))
    size = book.house.measures.physical(amount)
    if size.check("[mass]") and is_pressed(ingredient):
        raise ValueError(amount.unit)
    return OnHand(ready=size)


def is_pressed(ingredient: Ingredient) -> bool:
    """Whether it is bought as fruit and poured as juice."""
    pack = ingredient.pack
    return pack is not None and [measured(size)[1] for size in (pack.size, pack.usable.value)] == [
        "piece",
        "milliliter",
    ]


def _by_the_piece(ingredient: Ingredient) -> bool:
    return ingredient.each is not None or (
        ingredient.pack is not None and ingredient.pack.usable.value.check("[count]")
    )
