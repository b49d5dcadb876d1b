"""A picture of two measures in a terminal: each number stands in the field that it belongs to."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.messages import Dot, Figure, Plot
from assistant.plotting import ACROSS, UP, plotted


def figure(value: str | None) -> Figure:
    """A plain number."""
    return Figure(None if value is None else Decimal(value), "", value or "unknown")


def plot(*dots: tuple[str | None, str | None]) -> Plot:
    """A picture with its lines at 10 and 10."""
    named = tuple(Dot(f"dot {at}", figure(x), figure(y)) for at, (x, y) in enumerate(dots, 1))
    return Plot(named, "across", "up", figure("10"), figure("10"), ("puzzles", "stars", "dogs", "plowhorses"), "Title")


def places(lines: list[str]) -> dict[str, tuple[int, int]]:
    """Where each number stands: line from above, letter from the left."""
    field = lines[1 : 1 + UP]
    return {letter: (at, left) for at, line in enumerate(field) for left, letter in enumerate(line) if letter.isdigit()}


def test_each_number_is_in_its_field() -> None:
    """Left and right of one line, above and below the other."""
    lines = list(plotted(plot(("20", "20"), ("1", "20"), ("1", "1"), ("20", "1"))))
    level = next(at for at, line in enumerate(lines[1 : 1 + UP]) if "+" in line)
    upright = lines[1 + level].index("+")
    found = places(lines)
    assert {number: (at < level, left > upright) for number, (at, left) in found.items()} == {
        "1": (True, True),
        "2": (True, False),
        "3": (False, False),
        "4": (False, True),
    }
    assert lines[0].startswith("puzzles")
    assert "plowhorses" in lines[1 + UP]


def test_every_number_is_named() -> None:
    """Below the picture, with both of its figures."""
    lines = list(plotted(plot(("20", "5"), ("3", "7"))))
    assert lines[-2:] == ["  1  dot 1: 20, 5", "  2  dot 2: 3, 7"]


@pytest.mark.parametrize("dots", [(), (("10", "10"),), (("10", "10"), ("10", "10")), ((None, "3"), ("3", None))])
def test_any_picture_can_be_drawn(dots: tuple[tuple[str | None, str | None], ...]) -> None:
    """Nothing at all, one dot on both lines, and what is unknown, which is left out."""
    lines = list(plotted(plot(*dots)))
    assert all(len(line) <= ACROSS for line in lines[1 : 1 + UP])
    assert not any("unknown" in line for line in lines)
