"""The engine's own errors.

EngineError
├── BookError        the book's files have faults; carries all of them
├── StrengthError    a strength or a temperature that the alcoholometric formula does not cover
├── BrixError        a syrup that the sugar table does not cover
└── BatchError       a batch that cannot be sized
"""

from __future__ import annotations

from decimal import Decimal

from recipes.faults import Fault


class EngineError(Exception):
    """The root of every error this package raises on purpose."""


class BookError(EngineError):
    """The book cannot be used until these faults are mended."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        """Every fault on a line of its own."""
        return "\n".join(str(fault) for fault in self.faults)


class StrengthError(EngineError):
    """A strength is not a fraction from 0 to 1, or a temperature (degrees Celsius) is outside the formula."""

    def __init__(self, strength: Decimal, celsius: Decimal) -> None:
        super().__init__(strength, celsius)
        self.strength = strength
        self.celsius = celsius


class BrixError(EngineError):
    """A syrup lies outside 0..95 degrees Brix."""

    def __init__(self, brix: Decimal) -> None:
        super().__init__(brix)
        self.brix = brix


class BatchError(EngineError):
    """A batch has no size: none was asked for, nothing in the drink is made ahead, or ingredients' data is missing."""

    def __init__(self, drink: str, unknown: tuple[str, ...] = ()) -> None:
        super().__init__(drink, unknown)
        self.drink = drink
        self.unknown = unknown
