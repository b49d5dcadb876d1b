"""Tables of worked examples: every row says where its expected value comes from, or the table cannot be made."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import pytest


@dataclass(frozen=True)
class Row:
    """One worked example. Numbers are written as text, so that none passes through a float."""

    id: str
    given: tuple[str, ...]
    expected: str
    tolerance: str
    source: str
    note: str = field(default="")

    def agrees(self, found: Decimal) -> bool:
        """Whether a value lies within the tolerance of the expected one."""
        return abs(found - Decimal(self.expected)) <= Decimal(self.tolerance)

    def numbers(self) -> tuple[Decimal, ...]:
        """What is given, as numbers."""
        return tuple(Decimal(number) for number in self.given)


def table(*rows: Row) -> Any:
    """A parametrised test over the rows; a row without a source is an error."""
    unsourced = [row.id for row in rows if not row.source.strip()]
    if unsourced:
        raise ValueError(f"rows without a source: {', '.join(unsourced)}")
    return pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in rows])
