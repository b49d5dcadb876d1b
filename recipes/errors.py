"""The engine's own errors.

EngineError
└── BookError    the book's files have faults; carries all of them
"""

from __future__ import annotations

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
