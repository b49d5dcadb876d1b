"""A picture of two measures in the letters of a terminal: numbers on a field that two lines cut into four."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from assistant.messages import Figure, Plot

ACROSS, UP = 60, 15  # letters and lines
MARGIN = Decimal("0.06")  # of the range, kept free on each side
ZERO = Decimal(0)


def plotted(plot: Plot) -> Iterator[str]:
    """The picture line by line, and below it the names of the numbers."""
    dots = [(number, dot) for number, dot in enumerate(plot.dots, 1) if None not in (dot.across.value, dot.up.value)]
    across = _placed([dot.across for _, dot in dots], plot.across_from, ACROSS)
    up = _placed([dot.up for _, dot in dots], plot.up_from, UP)
    field = _cut(across[-1], up[-1])
    for (number, _), left, height in zip(dots, across, up, strict=False):
        _write(field[UP - 1 - height], left, str(number))
    upper_left, upper_right, lower_left, lower_right = plot.fields
    yield f"{upper_left.ljust(across[-1])} {upper_right}   ^ {plot.up}, line at {plot.up_from.text}"
    yield from ("".join(line).rstrip() for line in field)
    yield f"{lower_left.ljust(across[-1])} {lower_right}   > {plot.across}, line at {plot.across_from.text}"
    yield from (f"{number:>3}  {dot.label}: {dot.across.text}, {dot.up.text}" for number, dot in dots)


def _placed(figures: Sequence[Figure], line: Figure, size: int) -> list[int]:
    """Where each figure stands on a scale that holds them all and the line, which comes last."""
    values = [figure.value or ZERO for figure in (*figures, line)]
    low, high = min(values), max(values)
    room = (high - low) * MARGIN or Decimal(1)
    low, high = low - room, high + room
    return [min(size - 1, int((value - low) / (high - low) * size)) for value in values]


def _cut(across: int, up: int) -> list[list[str]]:
    """An empty field with its two lines."""
    field = [["|" if left == across else " " for left in range(ACROSS)] for _ in range(UP)]
    field[UP - 1 - up] = ["+" if left == across else "-" for left in range(ACROSS)]
    return field


def _write(line: list[str], left: int, text: str) -> None:
    for at, letter in enumerate(text, min(left, ACROSS - len(text))):
        line[at] = letter
