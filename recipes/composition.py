"""What the ingredients of the book hold, millilitre by millilitre.

What is made in the house is reckoned from its own recipe, where the book does not give the value itself.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from recipes.ethanol import ETHANOL_G_ML
from recipes.mixing import ZERO, Gap, Lack, Liquid, mix, water_beside
from recipes.model import Book, HouseRecipe, Ingredient, Pour
from recipes.portions import portion
from recipes.units import Amount, Unit

NEEDED = (Lack.ABV, Lack.SUGAR, Lack.ACID, Lack.BITTERNESS)


class Compositions:
    """What each ingredient of one book holds; reckoned once, and kept with the book's shelf."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._per_ml: dict[str, Liquid] = book.notes("one millilitre")
        self._per_unit: dict[tuple[str, Unit], Liquid] = book.notes("one unit")

    def per_ml(self, name: str) -> Liquid:
        """One millilitre of an ingredient; raises KeyError for a name that the book does not have."""
        if name not in self._per_ml:
            self._per_ml[name] = self._one_ml(self.book.ingredients[name])
        return self._per_ml[name]

    def of(self, pour: Pour) -> Liquid:
        """What one pour brings to the drink."""
        key = (pour.ingredient, pour.amount.unit)
        if key not in self._per_unit:
            self._per_unit[key] = self._one_unit(replace(pour, amount=Amount(Decimal(1), pour.amount.unit)))
        return self._per_unit[key].times(pour.amount.number)

    def _one_unit(self, pour: Pour) -> Liquid:
        part = portion(pour, self.book)
        if part.ml is None:
            return Liquid(gaps=frozenset({Gap(pour.ingredient, Lack.AMOUNT)}))
        if part.dry_g:
            return Liquid(sugar_g=part.dry_g, mass_g=part.dry_g)
        return self.per_ml(pour.ingredient).times(part.ml) if part.ml else Liquid()

    def _one_ml(self, ingredient: Ingredient) -> Liquid:
        values = _given(ingredient)
        missing = frozenset(NEEDED) - values.keys()
        gaps = frozenset(Gap(ingredient.name, lack) for lack in missing)
        if missing and ingredient.made:
            made, open_gaps = self._from_recipe(ingredient.made)
            gaps = frozenset(gap for gap in open_gaps if gap.lack in missing | {Lack.AMOUNT})
            values = made | values
        return _liquid(values, gaps, ingredient.name)

    def _from_recipe(self, made: HouseRecipe) -> tuple[dict[Lack, Decimal], frozenset[Gap]]:
        """The values of a house recipe by the volume it makes, where all its parts are known; and what is not known."""
        whole = mix(self.of(pour) for pour in made.pours)
        ml = made.makes.m_as("milliliter")
        sums = {
            Lack.ABV: whole.ethanol_g / ETHANOL_G_ML,
            Lack.SUGAR: whole.sugar_g,
            Lack.ACID: whole.acid_g,
            Lack.BITTERNESS: whole.bitter_ml,
        }
        known = {lack: total / ml for lack, total in sums.items() if not whole.lacks(lack, Lack.AMOUNT)}
        return known, whole.gaps


def _given(ingredient: Ingredient) -> dict[Lack, Decimal]:
    """The values that the book gives: fraction by volume, g/mL, g/mL, house scale, g/mL."""
    sourced = {
        Lack.ABV: (ingredient.abv, "dimensionless"),
        Lack.SUGAR: (ingredient.sugar, "gram/milliliter"),
        Lack.ACID: (ingredient.acid, "gram/milliliter"),
        Lack.DENSITY: (ingredient.density, "gram/milliliter"),
    }
    values = {lack: value.value.m_as(unit) for lack, (value, unit) in sourced.items() if value}
    if ingredient.bitterness is not None:
        values[Lack.BITTERNESS] = Decimal(ingredient.bitterness)
    return values


def _liquid(values: dict[Lack, Decimal], gaps: frozenset[Gap], name: str) -> Liquid:
    strength, sugar_g = values.get(Lack.ABV, ZERO), values.get(Lack.SUGAR, ZERO)
    ethanol_g, water_g = strength * ETHANOL_G_ML, water_beside(strength, sugar_g)
    mass_g = values.get(Lack.DENSITY)
    if mass_g is None and not {Lack.ABV, Lack.SUGAR} <= values.keys():
        gaps |= {Gap(name, Lack.DENSITY)}
    return Liquid(
        ethanol_g,
        water_g,
        sugar_g,
        values.get(Lack.ACID, ZERO),
        values.get(Lack.BITTERNESS, ZERO),
        ethanol_g + water_g + sugar_g if mass_g is None else mass_g,
        gaps,
    )
