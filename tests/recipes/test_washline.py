"""Where a drink stands in its glass."""

from __future__ import annotations

from decimal import Decimal

import pytest

from recipes.model import Glass, Ice
from recipes.units import quantity
from recipes.washline import Fill, WashLine, wash_line


def line_of(served: str, ice: Ice = Ice.NONE, melted: str = "0", capacity: str = "300") -> WashLine:
    """A served volume in a glass."""
    glass = Glass("rocks glass", quantity(capacity, "milliliter"))
    return wash_line(quantity(served, "milliliter"), glass, ice, quantity(melted, "milliliter"))


@pytest.mark.parametrize(
    ("ice", "room"),
    [(Ice.NONE, "300"), (Ice.CUBED, "176.25"), (Ice.CRUSHED, "135"), (Ice.LARGE, "185.375")],
)
def test_ice_takes_its_room(ice: Ice, room: str) -> None:
    """Cubes take two fifths of a glass, crushed ice over half, a large cube what it weighs."""
    assert line_of("100", ice).room == quantity(room, "milliliter")


@pytest.mark.parametrize(
    ("served", "fill"),
    [("119", Fill.SHORT), ("120", Fill.FITS), ("291", Fill.FITS), ("292", Fill.FULL), ("301", Fill.OVER)],
)
def test_a_glass_looks_short_or_full(served: str, fill: Fill) -> None:
    """Below two fifths it looks short; to the lip it cannot be carried; above it spills."""
    assert line_of(served).fill is fill


def test_ice_that_melts_in_the_glass_gives_back_its_room() -> None:
    """91.7 mL of water were 100 mL of ice."""
    before, after = line_of("100", Ice.CUBED), line_of("191.7", Ice.CUBED, melted="91.7")
    assert after.room - before.room == quantity(100, "milliliter")


def test_the_line_is_the_share_of_the_room() -> None:
    """Half full is half full."""
    assert line_of("150").line == Decimal("0.5")
    assert line_of("150").capacity == quantity(300, "milliliter")
