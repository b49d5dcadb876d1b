"""Where a drink stands in its glass: the wash line, with the ice it is served on.

A glass is filled about three quarters with cubes, which take 55 % of the space they are heaped in; crushed ice is
heaped to the brim (both common practice: measure your own). A large cube is 5 cm a side and floats, so that it takes
the room of the water it weighs. Ice is 0.917 of the density of water: what melts in the glass gives its room back.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.model import Glass, Ice
from recipes.units import Quantity, quantity

ICE_DENSITY = Decimal("0.917")  # of water's
HEAPED = Decimal("0.55")  # of the space that ice is heaped in
CUBED_SHARE = Decimal("0.75") * HEAPED  # of the glass
CRUSHED_SHARE = HEAPED
LARGE_CUBE_ML = Decimal(125) * ICE_DENSITY
SHORT = Decimal("0.4")  # of the room: below it a glass looks short (house choice)
FULL = Decimal("0.97")  # of the room: above it a glass cannot be carried (house choice)


class Fill(StrEnum):
    """How a drink suits its glass."""

    SHORT = "short"
    FITS = "fits"
    FULL = "full"
    OVER = "over"


@dataclass(frozen=True)
class WashLine:
    """A served volume against the room in its glass."""

    capacity: Quantity  # mL to the brim
    room: Quantity  # mL beside the ice that is left
    line: Decimal  # served volume over room: 0.75 is three quarters of the way up
    fill: Fill


def wash_line(served: Quantity, glass: Glass, ice: Ice, melted: Quantity) -> WashLine:
    """The wash line of a served volume in a glass with its usual ice; foam and garnish are not counted.

    `melted` is the water (mL) in the drink that came from this same ice: none of it for a drink that is strained.
    """
    room = _room_ml(glass, ice) + melted.m_as("milliliter") / ICE_DENSITY
    line = served.m_as("milliliter") / room
    return WashLine(glass.capacity.to("milliliter"), quantity(room, "milliliter"), line, _fill(line))


def _room_ml(glass: Glass, ice: Ice) -> Decimal:
    """The room beside the ice before any of it melts."""
    capacity: Decimal = glass.capacity.m_as("milliliter")
    taken = {
        Ice.NONE: Decimal(0),
        Ice.CUBED: capacity * CUBED_SHARE,
        Ice.CRUSHED: capacity * CRUSHED_SHARE,
        Ice.LARGE: LARGE_CUBE_ML,
    }
    return capacity - taken[ice]


def _fill(line: Decimal) -> Fill:
    if line > 1:
        return Fill.OVER
    if line > FULL:
        return Fill.FULL
    return Fill.SHORT if line < SHORT else Fill.FITS
