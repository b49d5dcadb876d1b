"""What one pour comes to in the glass: millilitres, and grams where it is weighed.

Cubes, pieces and wedges get their size here; herbs, peels and salt give flavour but no volume that a bar would count.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.model import Book, Ingredient, Pour, Role
from recipes.sucrose import BULK_G_ML, DISPLACED_ML_PER_G
from recipes.units import COUNTED, POURED, Amount, Unit

CUBE_G = Decimal("2.3")  # a sugar cube (USDA 19335)
WEDGES = Decimal(8)  # wedges to a fruit (common practice)
EGG_ML = {  # of a large egg, shell off (USDA 01123, 01124, 01125: 50, 33 and 17 g)
    "whole egg": Decimal(49),
    "egg white": Decimal(32),
    "egg yolk": Decimal(16),
}
UNCOUNTED = frozenset({Role.HERB, Role.SALT, Role.GARNISH})
DRY = Decimal("0.95")  # sugar by mass from which an ingredient is dry sugar, not a syrup


@dataclass(frozen=True)
class Portion:
    """One pour, measured. The volume is None where the book does not tell how much a piece yields."""

    ml: Decimal | None
    dry_g: Decimal = Decimal(0)  # of it, sugar that goes in dry


NOTHING = Portion(Decimal(0))


def portion(pour: Pour, book: Book) -> Portion:
    """The volume (mL) of a pour once it is in the drink; a part is taken as one ounce of the house."""
    ingredient = book.ingredients[pour.ingredient]
    if pour.amount.unit not in POURED and ingredient.role in UNCOUNTED:
        return NOTHING
    if pour.amount.unit is Unit.CUBE:
        return _dry(pour.amount.number * CUBE_G)
    if pour.amount.unit in COUNTED:
        return Portion(_counted_ml(pour.amount, ingredient, book))
    return _measured(pour.amount, ingredient, book)


def _measured(amount: Amount, ingredient: Ingredient, book: Book) -> Portion:
    if amount.unit is Unit.PART:
        amount = Amount(amount.number, Unit.OUNCE)
    size = book.house.measures.physical(amount)
    weighed = size.check("[mass]")
    if is_dry_sugar(ingredient):
        return _dry(size.m_as("gram") if weighed else size.m_as("milliliter") * _density(ingredient))
    if not weighed:
        return Portion(size.m_as("milliliter"))
    if ingredient.density is None:
        return Portion(None)
    return Portion(size.m_as("gram") / _density(ingredient))


def _dry(grams: Decimal) -> Portion:
    return Portion(grams * DISPLACED_ML_PER_G, grams)


def is_dry_sugar(ingredient: Ingredient) -> bool:
    """Whether it is sugar as such, by its own numbers: nearly all of its mass is sugar."""
    if ingredient.sugar is None:
        return False
    return ingredient.sugar.value.m_as("gram/milliliter") > DRY * _density(ingredient)


def _density(ingredient: Ingredient) -> Decimal:
    return BULK_G_ML if ingredient.density is None else ingredient.density.value.m_as("gram/milliliter")


def _counted_ml(amount: Amount, ingredient: Ingredient, book: Book) -> Decimal | None:
    if amount.unit is Unit.BOTTLE:
        return amount.number * _bottle_ml(ingredient, book)
    one = EGG_ML.get(ingredient.name) if ingredient.role is Role.EGG else _piece_ml(ingredient)
    if one is None:
        return None
    return amount.number * (one / WEDGES if amount.unit is Unit.WEDGE else one)


def _bottle_ml(ingredient: Ingredient, book: Book) -> Decimal:
    pack = ingredient.pack
    size = pack.size if pack and pack.size.check("[volume]") else book.house.bottle
    millilitres: Decimal = size.m_as("milliliter")
    return millilitres


def _piece_ml(ingredient: Ingredient) -> Decimal | None:
    pack = ingredient.pack
    if pack is None or not pack.size.check("[count]") or not pack.usable.value.check("[volume]"):
        return None
    millilitres: Decimal = pack.usable.value.m_as("milliliter") / pack.size.m_as("piece")
    return millilitres
