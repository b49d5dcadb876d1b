"""What the doctor finds of one thing: how it is, in a word, and what to do about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum


class State(Enum):
    """How something is. A word, not a colour."""

    WELL = "well"
    NOTE = "note"  # something cannot be done; service goes on
    STOPS = "STOPS"  # no service before this is mended


@dataclass(frozen=True)
class Found:
    """What was found of one thing: how it is, and what to do about it."""

    subject: str
    state: State
    told: str
    todo: str = ""

    @property
    def stops(self) -> bool:
        """Whether it stops service."""
        return self.state is State.STOPS


Check = Callable[[], Found]
