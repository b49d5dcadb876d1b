"""Where a drink stands in its glass: the wash line, with the ice it is served on.

How much of a glass ice takes is common practice and a house choice: a glass filled with cubes holds about half its
volume of drink, with crushed ice a little less. A large cube is 5 cm a side and floats with 92 % of it under (ice is
0.917 of the density of water).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.model import Glass, Ice
from recipes.units import Quantity, quantity

CUBED_SHARE = Decimal("0.5")  # of the glass that cubes take, filled to the brim
CRUSHED_SHARE = Decimal("0.55")
LARGE_CUBE = quantity(125, "milliliter")
UNDER = Decimal("0.92")
SHORT = Decimal("0.6")  # of the room: below it a glass looks short (house choice)
FULL = Decimal("0.95")  # of the room: above it a glass cannot be carried (house choice)


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
    room: Quantity  # mL beside the ice
    line: Decimal  # served volume over room: 0.75 is three quarters of the way up
    fill: Fill


def wash_line(served: Quantity, glass: Glass, ice: Ice) -> WashLine:
    """The wash line of a served volume in a glass with its usual ice; foam and garnish are not counted."""
    room = room_beside(glass, ice)
    line = served.m_as("milliliter") / room.m_as("milliliter")
    return WashLine(glass.capacity.to("milliliter"), room, line, _fill(line))


def room_beside(glass: Glass, ice: Ice) -> Quantity:
    """The volume (mL) that a glass takes beside its ice."""
    taken = {
        Ice.NONE: quantity(0, "milliliter"),
        Ice.CUBED: glass.capacity * CUBED_SHARE,
        Ice.CRUSHED: glass.capacity * CRUSHED_SHARE,
        Ice.LARGE: LARGE_CUBE * UNDER,
    }
    return quantity((glass.capacity - taken[ice]).m_as("milliliter"), "milliliter")


def _fill(line: Decimal) -> Fill:
    if line > 1:
        return Fill.OVER
    if line > FULL:
        return Fill.FULL
    return Fill.SHORT if line < SHORT else Fill.FITS
