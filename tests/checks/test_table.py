"""The tables themselves."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.checks.table import Row, table


def test_a_row_without_a_source_stops_the_run() -> None:
    """Nobody can add a number from nowhere."""
    with pytest.raises(ValueError, match="rum"):
        table(Row("rum", ("40",), "0.948", "0.001", "  "))


def test_a_row_knows_its_tolerance() -> None:
    """The edge of the tolerance still agrees, and what lies beyond does not."""
    row = Row("rum", ("40",), "0.948", "0.001", "a book")
    assert row.agrees(Decimal("0.949"))
    assert not row.agrees(Decimal("0.9491"))
