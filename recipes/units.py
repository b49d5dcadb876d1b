"""The one pint registry, and the bar's own closed list of units.

Every physical number in the engine is a pint ``Quantity`` of this registry with a ``Decimal`` magnitude. Text typed by
a person never reaches pint's parser ("pinch" would be a pico-inch): it is looked up in ``Unit`` instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache, cached_property
from typing import Literal, TypeAlias

import pint
from pint import Unit as PintUnit

registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)
registry.define("money = [currency]")
registry.define("piece = [count]")

Kind = Literal["milliliter", "gram", "piece"]  # what sizes come to, where they are summed as plain numbers
KINDS: tuple[Kind, ...] = ("milliliter", "gram", "piece")
Quantity: TypeAlias = "pint.Quantity[Decimal]"  # magnitudes are Decimal throughout


def quantity(value: Decimal | int | str, unit: str) -> Quantity:
    """Return a quantity of a pint unit known to this program; `unit` is ours, never a person's text."""
    return registry.Quantity(Decimal(value), unit_called(unit))


@cache
def unit_called(name: str) -> PintUnit:
    """The pint unit of a name that is ours; reading a name is slow, so each is read once."""
    return registry.Unit(name)


def measured(size: Quantity) -> tuple[Decimal, Kind]:
    """A size as a plain number of 'milliliter', 'gram' or 'piece'."""
    name, one = _kind_of(size.units)
    return size.magnitude * one, name


@cache
def _kind_of(unit: PintUnit) -> tuple[Kind, Decimal]:
    """Whether a unit is of volume, mass or count, and how many mL, g or pieces one of it is."""
    name = next(name for name in KINDS if unit.is_compatible_with(name))
    return name, registry.Quantity(Decimal(1), unit).m_as(name)


class Unit(StrEnum):
    """The units a pour may be written in; the value is how the book writes it."""

    OUNCE = "oz"
    MILLILITRE = "ml"
    CENTILITRE = "cl"
    LITRE = "l"
    PINT = "pint"
    QUART = "quart"
    GALLON = "gallon"
    TEASPOON = "tsp"
    TABLESPOON = "tbsp"
    BARSPOON = "barspoon"
    DASH = "dash"
    DROP = "drop"
    PART = "part"
    GRAM = "g"
    KILOGRAM = "kg"
    PINCH = "pinch"
    PIECE = "piece"
    CUBE = "cube"
    LEAF = "leaf"
    SPRIG = "sprig"
    SLICE = "slice"
    WEDGE = "wedge"
    BOTTLE = "bottle"


COUNTED = frozenset({Unit.PIECE, Unit.CUBE, Unit.LEAF, Unit.SPRIG, Unit.SLICE, Unit.WEDGE, Unit.BOTTLE})
US_JUGS = frozenset({Unit.PINT, Unit.QUART, Unit.GALLON})  # US liquid measure (NIST Handbook 44, App. C)
WEIGHED = frozenset({Unit.GRAM, Unit.KILOGRAM, Unit.PINCH})
POURED = frozenset(Unit) - COUNTED - WEIGHED - {Unit.PART}


@dataclass(frozen=True)
class Amount:
    """A number and a unit as the book writes it: ``Amount(Decimal("0.75"), Unit.OUNCE)`` is 3/4 oz."""

    number: Decimal
    unit: Unit

    def times(self, factor: Decimal | int) -> Amount:
        """The same unit, `factor` times as much."""
        return Amount(self.number * factor, self.unit)


@dataclass(frozen=True)
class Measures:
    """What this house means by the measures that differ from bar to bar (all common practice, set in house.toml)."""

    ounce: Quantity  # volume: 29.5735 mL (US customary) or 30 mL (metric bar)
    barspoon: Quantity  # volume
    dash: Quantity  # volume
    drop: Quantity  # volume
    pinch: Quantity  # mass

    def physical(self, amount: Amount) -> Quantity:
        """The amount as a volume (mL), a mass (g) or a count (piece).

        Raises ValueError for parts, which have no size of their own.
        """
        return quantity(*self.size(amount))

    def size(self, amount: Amount) -> tuple[Decimal, Kind]:
        """The same as a plain number and 'milliliter', 'gram' or 'piece', for sums over whole menus."""
        if amount.unit is Unit.PART:
            raise ValueError("a part has no size of its own")
        one, unit = self._sizes[amount.unit]
        return amount.number * one, unit

    @cached_property
    def _sizes(self) -> Mapping[Unit, tuple[Decimal, Kind]]:
        """What one of each unit is."""
        own = {
            Unit.OUNCE: self.ounce,
            Unit.BARSPOON: self.barspoon,
            Unit.DASH: self.dash,
            Unit.DROP: self.drop,
            Unit.PINCH: self.pinch,
        }
        fixed = {unit: quantity(1, name) for unit, name in _PINT_NAME.items()}
        pieces = dict.fromkeys(COUNTED, quantity(1, "piece"))
        return {unit: measured(size) for unit, size in (own | fixed | pieces).items()}


_PINT_NAME = {
    Unit.MILLILITRE: "milliliter",
    Unit.CENTILITRE: "centiliter",
    Unit.LITRE: "liter",
    Unit.PINT: "pint",
    Unit.QUART: "quart",
    Unit.GALLON: "gallon",
    Unit.TEASPOON: "teaspoon",
    Unit.TABLESPOON: "tablespoon",
    Unit.GRAM: "gram",
    Unit.KILOGRAM: "kilogram",
}
