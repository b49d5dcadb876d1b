"""Headings told by their words, and the separator told by the headings."""

from __future__ import annotations

import pytest

from assistant.errors import ListRefused
from assistant.office.columns import fold, sheet_of


@pytest.mark.parametrize(
    ("written", "folded"),
    [
        ("Net Price (EUR)", "net price"),
        ("  Pack-Size: ", "pack size"),
        ("Preis/€", "preis"),
        ("ITEM_NAME", "item name"),
    ],
)
def test_headings_are_compared_without_marks(written: str, folded: str) -> None:
    """Capitals, brackets, signs and spaces do not matter."""
    assert fold(written) == folded


@pytest.mark.parametrize("separator", [";", ",", "\t", "|"])
def test_the_separator_is_found_by_the_heading(separator: str) -> None:
    """Whatever a program puts between its cells."""
    lines = [("Supplier", "", ""), ("Item", "Pack", "Price"), ("gin", "1 l", "30")]
    sheet = sheet_of("\n".join(separator.join(line) for line in lines), "prices")
    assert sheet.places == {"item": 0, "pack": 1, "price": 2}
    assert [sheet.cell(line, "price") for line in sheet.lines] == ["30"]
    assert sheet.cell(sheet.lines[0], "count") == ""


def test_a_line_keeps_the_number_that_a_person_sees() -> None:
    """Blank lines count, and a cell of two lines does too."""
    sheet = sheet_of('\nItem;Price\n\n"gin\n(dry)";30\nrum;20\n', "prices")
    assert [line.number for line in sheet.lines] == [4, 6]


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        ({"colour": "1"}, "no such column"),
        ({"price": "Kostet"}, "no heading"),
        ({"item": "1", "price": "9"}, "no heading"),
        ({"item": "1", "price": "0"}, "no heading"),
    ],
)
def test_columns_that_are_not_there_are_refused(given: dict[str, str], reason: str) -> None:
    """A word that no heading has, a number beyond the last cell, or none at all."""
    with pytest.raises(ListRefused) as why:
        sheet_of("Item;Price\ngin;30\n", "prices", given)
    assert why.value.reason == reason


def test_no_heading_tells_how_the_list_begins() -> None:
    """So that the person sees what was looked at."""
    with pytest.raises(ListRefused) as why:
        sheet_of("\n  gin and rum \n", "sales")
    assert why.value.told == ("gin and rum",)
