"""What the bar takes with it can be read by others, and by itself."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.answers.base import Counted, KeepDrink, Marked, SetOut, SetPrice, Sold, Supplied
from assistant.kept import KeptDrink
from assistant.memory import Memory
from assistant.office.exports import ALL, memory_document, menu_csv, prices_csv, trail_csv
from assistant.office.supplier import preview
from recipes.stocktake import OnHand
from recipes.units import quantity
from tests.conftest import make_tiny_book
from tests.made_up import the_book

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)


@pytest.fixture
def memory(tmp_path: Path) -> Iterator[Memory]:
    """A memory with one of each change in it."""
    memory = Memory(f"sqlite:///{tmp_path / 'shift.db'}")
    book = make_tiny_book()
    changes = (
        SetOut("mint", True),
        SetPrice("gin", quantity("25.50", "money")),
        KeepDrink(book.drinks["Gimlet"]),
        Supplied("limes fresh", ("lime juice", "lime wheel")),
        Sold("Gimlet", 41),
        Counted("gin", OnHand(ready=quantity(1400, "milliliter")), NOON),
        Marked("Ana", "Gimlet", "build", 5, 6),
    )
    memory.apply_together(changes, "office")
    yield memory
    memory.close()


def rows(text: str) -> list[dict[str, str]]:
    """A CSV as its lines by heading."""
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_prices_that_go_out_come_in_again_without_a_change() -> None:
    """The bar's own list is a supplier's list like any other."""
    book = the_book()
    found = preview(prices_csv(book).encode(), book, {})
    assert (found.changes, found.faults, found.others) == ((), (), 0)
    assert len(found.unchanged) > 100


def test_the_menu_shows_what_is_unknown_as_nothing() -> None:
    """An empty cell and the name of what lacks a price; never a zero."""
    line = next(row for row in rows(menu_csv(make_tiny_book())) if row["Drink"] == "Aviation")
    assert (line["Cost"], line["Pour cost %"], line["Margin"]) == ("", "", "")
    assert line["No price for"] == "violet liqueur"


def test_all_that_is_remembered_is_in_the_document(memory: Memory) -> None:
    """As plain JSON: what is out, prices, drinks that can be read back, suppliers' names, sales, the trail."""
    document = json.loads(json.dumps(memory_document(memory)))
    assert document["out"] == ["mint"]
    assert {name: Decimal(price) for name, price in document["prices"].items()} == {"gin": Decimal("25.5")}
    drink = KeptDrink.model_validate_json(json.dumps(document["drinks"][0])).drink()
    assert drink == make_tiny_book().drinks["Gimlet"]
    assert document["supplier_names"] == {"limes fresh": ["lime juice", "lime wheel"]}
    assert document["sold"] == {"Gimlet": 41}
    assert document["on_hand"] == [{"name": "gin", "ready": "1400 milliliter", "fruit": "", "at": NOON.isoformat()}]
    assert {entry["kind"] for entry in document["trail"]} == {
        "out",
        "price",
        "drink",
        "supplied",
        "sold",
        "counted",
        "mark",
    }


def test_the_trail_says_who_what_and_when(memory: Memory) -> None:
    """One line a change, newest first."""
    lines = rows(trail_csv(memory.trail(ALL)))
    price = next(line for line in lines if line["What"] == "price")
    assert (price["Who"], price["Name"], price["Before"], price["After"]) == ("office", "gin", "", "price 25.50")
    assert [line["When"] for line in lines] == sorted((line["When"] for line in lines), reverse=True)
