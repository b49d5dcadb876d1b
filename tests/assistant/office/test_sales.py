"""The till's list: counted by drink, whole or not at all, in place of the list before."""

from __future__ import annotations

import pytest

from assistant.answers.base import Sold
from assistant.errors import ListRefused
from assistant.office.sales import SalesPreview, read_sales
from assistant.office.supplier import NearLine
from tests.conftest import make_tiny_book

BOOK = make_tiny_book()


def read(text: str, **more: dict[str, str]) -> SalesPreview:
    """The list against the small book."""
    return read_sales(text.encode(), BOOK, **more)


def test_drinks_are_counted_and_lines_of_one_drink_added_up() -> None:
    """A drink stands once for each price or hour in many a till's list."""
    found = read("Item;Qty\nGimlet;41\ndaiquiri;12.00\nGIMLET;2\nFries;120\nTotal;175\n")
    assert found.sold == {"Gimlet": 43, "Daiquiri": 12}
    assert found.others == 2


@pytest.mark.parametrize("count", ["-3", "", "twelve", "1.5", "1.000", "99999999"])
def test_what_is_no_whole_number_is_a_fault(count: str) -> None:
    """A return, a gap, a word; and 1.000, which may be one or a thousand."""
    found = read(f"Item;Qty\nDaiquiri;3\nGimlet;{count}\n")
    assert [(fault.line, fault.name, fault.reason) for fault in found.faults] == [(3, "Gimlet", "count")]


def test_a_near_name_is_offered_and_a_match_taken() -> None:
    """The till's button is not always the drink's name."""
    text = "Item,Sold\nGimlets,9\n"
    assert read(text).near == (NearLine(2, "Gimlets", ("Gimlet",)),)
    assert read(text, matches={"Gimlets": "Gimlet"}).sold == {"Gimlet": 9}


def test_a_match_to_no_drink_is_refused() -> None:
    """A slip of the pen does not become a drink."""
    with pytest.raises(ListRefused):
        read("Item,Sold\nGimlet,9\n", matches={"Gimlet": "Gimblet"})


def test_the_list_before_is_replaced() -> None:
    """What is not on the new list is no longer on the menu; what is the same is not changed."""
    changes = read("Item,Sold\nGimlet,9\nDaiquiri,4\n").as_changes({"Gimlet": 9, "Manhattan": 30})
    assert changes == (Sold("Manhattan", None), Sold("Daiquiri", 4))


def test_a_list_without_counts_is_refused() -> None:
    """Names alone are no sales."""
    with pytest.raises(ListRefused) as why:
        read("Item,Price\nGimlet,13\n")
    assert why.value.reason == "no heading"
