"""A count is kept with its own time, whatever is counted and undone after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

import pytest

from assistant.answers.base import Counted
from assistant.kept import read_count, written_count
from assistant.memory import Memory
from recipes.stocktake import OnHand
from recipes.units import Quantity, quantity
from tests.assistant.remembering import START, Clock


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory with nothing in it, on SQLite and on PostgreSQL."""
    memory = Memory(url, Clock())
    yield memory
    memory.close()


@pytest.mark.parametrize("ready", [None, quantity("1500.5", "milliliter"), quantity(20, "piece"), quantity(3, "gram")])
@pytest.mark.parametrize("fruit", [None, Decimal(12)])
def test_a_count_comes_back_the_same(ready: Quantity | None, fruit: Decimal | None) -> None:
    """To the last half millilitre, and what was not counted stays not counted."""
    count = Counted("lime juice", OnHand(ready, fruit), START)
    assert read_count(written_count(count)) == count


def test_an_undone_count_leaves_the_one_before_it_as_old_as_it_was(memory: Memory) -> None:
    """What was counted at noon is not made fresh by undoing a slip of the afternoon."""
    noon = Counted("lime juice", OnHand(ready=quantity("1500", "milliliter")), START)
    slip = Counted("lime juice", OnHand(fruit=Decimal(1200)), START + timedelta(hours=3))
    memory.apply(noon, "bar")
    token = memory.apply(slip, "bar")
    assert memory.recall().counted == {"lime juice": slip}
    memory.undo(token, "bar")
    assert memory.recall().counted == {"lime juice": noon}


def test_nothing_counted_is_no_row(memory: Memory) -> None:
    """Forgotten is not zero."""
    memory.apply(Counted("lime juice", OnHand(fruit=Decimal(12)), START), "bar")
    memory.apply(Counted("lime juice", OnHand()), "bar")
    assert memory.recall().counted == {}
