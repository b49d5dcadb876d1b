"""What one pour comes to in the glass: millilitres, and grams of sugar that goes in dry.

Pieces, cubes and wedges take their size from the book. Herbs, peels and salt by the piece or the pinch give flavour but
no volume that a bar would count.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.model import Book, Ingredient, Pour, Role
from recipes.sucrose import BULK_G_ML, DISPLACED_ML_PER_G
from recipes.units import COUNTED, POURED, Amount, Quantity, Unit, quantity

WEDGES = Decimal(8)  # wedges to a fruit (common practice)
FLAVOUR_ONLY = frozenset({Role.HERB, Role.SALT, Role.GARNISH})
DRY = Decimal("0.95")  # sugar by mass from which an ingredient is dry sugar, not a syrup


@dataclass(frozen=True, slots=True)
class Portion:
    """One pour, measured. The volume is None where the book does not tell how much a piece yields."""

    ml: Decimal | None
    dry_g: Decimal = Decimal(0)  # of it, sugar that goes in dry


NOTHING = Portion(Decimal(0))


def portion(pour: Pour, book: Book) -> Portion:
    """The volume (mL) of a pour once it is in the drink; raises ValueError for a part, which has no size."""
    ingredient = book.ingredients[pour.ingredient]
    if pour.amount.unit not in POURED and ingredient.role in FLAVOUR_ONLY:
        return NOTHING
    counted = pour.amount.unit in COUNTED
    size = _counted(pour.amount, ingredient, book) if counted else book.house.measures.physical(pour.amount)
    return Portion(None) if size is None else _portion(size, ingredient)


def _portion(size: Quantity, ingredient: Ingredient) -> Portion:
    weighed = size.check("[mass]")
    if is_dry_sugar(ingredient):
        grams = size.m_as("gram") if weighed else size.m_as("milliliter") * _density(ingredient)
        return Portion(grams * DISPLACED_ML_PER_G, grams)
    if weighed:
        return Portion(None if ingredient.density is None else size.m_as("gram") / _density(ingredient))
    return Portion(size.m_as("milliliter"))


def is_dry_sugar(ingredient: Ingredient) -> bool:
    """Whether it is sugar as such, by its own numbers: nearly all of its mass is sugar."""
    if ingredient.sugar is None:
        return False
    return bool(ingredient.sugar.value.m_as("gram/milliliter") > DRY * _density(ingredient))


def _density(ingredient: Ingredient) -> Decimal:
    """The density (g/mL) by the book; without one, that of granulated sugar, which only dry sugar reaches."""
    return BULK_G_ML if ingredient.density is None else ingredient.density.value.m_as("gram/milliliter")


def _counted(amount: Amount, ingredient: Ingredient, book: Book) -> Quantity | None:
    """The volume or mass of so many pieces; None when the book does not tell."""
    one = bottle_of(ingredient, book) if amount.unit is Unit.BOTTLE else _piece(ingredient)
    if one is None:
        return None
    share = amount.number / WEDGES if amount.unit is Unit.WEDGE else amount.number
    return quantity(one.magnitude * share, str(one.units))


def bottle_of(ingredient: Ingredient, book: Book) -> Quantity:
    """The volume of one bottle of it: its pack, or the house's usual bottle where it is not bought by volume."""
    pack = ingredient.pack
    return pack.size if pack and pack.size.check("[volume]") else book.house.bottle


def _piece(ingredient: Ingredient) -> Quantity | None:
    """What one piece is by the book, or what one piece of a pack yields (a lime: its juice)."""
    if ingredient.each:
        return ingredient.each.value
    pack = ingredient.pack
    if pack is None or not pack.size.check("[count]") or pack.usable.value.check("[count]"):
        return None
    usable = pack.usable.value
    return quantity(usable.magnitude / pack.size.m_as("piece"), str(usable.units))
