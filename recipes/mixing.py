"""Liquids and what they hold. Grams add up; volume does not quite, because ethanol and water shrink as they mix.

A liquid is reckoned as ethanol and water (OIML R 22), plus the room that dissolved sugar takes. The fields say their
own unit, so that a whole shelf of riffs can be summed as plain Decimals.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.ethanol import ETHANOL_G_ML, WATER_G_ML, mass_fraction, mixed_ml
from recipes.sucrose import DISPLACED_ML_PER_G

ZERO = Decimal(0)


class Lack(StrEnum):
    """What the book may not tell of an ingredient."""

    AMOUNT = "amount"  # how much a piece of it yields
    ABV = "abv"
    SUGAR = "sugar"
    ACID = "acid"
    BITTERNESS = "bitterness"
    DENSITY = "density"


@dataclass(frozen=True, slots=True)
class Gap:
    """A value that an ingredient lacks, so that sums with it are unknown."""

    ingredient: str
    lack: Lack


@dataclass(frozen=True, slots=True)
class Liquid:
    """An amount of liquid. Where a gap says that a value is unknown, its sum here is a lower bound, not to be shown."""

    ethanol_g: Decimal = ZERO
    water_g: Decimal = ZERO  # all that is neither ethanol nor sugar, as the water that would fill its room
    sugar_g: Decimal = ZERO
    acid_g: Decimal = ZERO
    bitter_ml: Decimal = ZERO  # bitterness of the house scale times mL
    mass_g: Decimal = ZERO
    gaps: frozenset[Gap] = frozenset()

    @property
    def ml(self) -> Decimal:
        """Its volume at 20 degrees Celsius."""
        return mixed_ml(self.ethanol_g, self.water_g) + self.sugar_g * DISPLACED_ML_PER_G

    @property
    def strength(self) -> Decimal:
        """Ethanol by volume, 0..1; zero for no liquid at all."""
        volume = self.ml
        return self.ethanol_g / ETHANOL_G_ML / volume if volume else ZERO

    def times(self, factor: Decimal) -> Liquid:
        """`factor` times as much of the same."""
        return Liquid(
            self.ethanol_g * factor,
            self.water_g * factor,
            self.sugar_g * factor,
            self.acid_g * factor,
            self.bitter_ml * factor,
            self.mass_g * factor,
            self.gaps,
        )

    def lacks(self, *lacks: Lack) -> bool:
        """Whether any ingredient in it lacks one of these values."""
        return any(gap.lack in lacks for gap in self.gaps)


def mix(liquids: Iterable[Liquid]) -> Liquid:
    """All of them together: every mass is the sum, and so are the gaps."""
    parts = tuple(liquids)
    return Liquid(
        sum((part.ethanol_g for part in parts), ZERO),
        sum((part.water_g for part in parts), ZERO),
        sum((part.sugar_g for part in parts), ZERO),
        sum((part.acid_g for part in parts), ZERO),
        sum((part.bitter_ml for part in parts), ZERO),
        sum((part.mass_g for part in parts), ZERO),
        frozenset().union(*(part.gaps for part in parts)),
    )


def water(ml: Decimal) -> Liquid:
    """So many millilitres of water, as from ice."""
    return Liquid(water_g=ml * WATER_G_ML, mass_g=ml * WATER_G_ML)


def water_beside(strength: Decimal, sugar_g_ml: Decimal) -> Decimal:
    """The grams of water in one millilitre of liquid that holds so much ethanol (by volume) and sugar (g/mL)."""
    room = 1 - sugar_g_ml * DISPLACED_ML_PER_G
    if room <= 0:
        return ZERO
    if strength == 0:
        return room * WATER_G_ML
    by_mass = mass_fraction(min(strength / room, Decimal(1)))
    return strength * ETHANOL_G_ML * (1 / by_mass - 1)
