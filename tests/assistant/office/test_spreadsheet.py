"""Bytes become text, and text becomes lines; what is neither is refused."""

from __future__ import annotations

import pytest

from assistant.errors import ListRefused
from assistant.office.spreadsheet import MOST_BYTES, lines_of, text_of

TEXT = "Kräuterlikör;9,50\r\nCuraçao;12\r\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_every_usual_encoding_is_read(encoding: str) -> None:
    """With a byte order mark or without."""
    assert text_of(TEXT.encode(encoding)) == TEXT


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"\xff\xfe\r\x00\n\x00", "empty"),
        (b" \n\t\n", "empty"),
        (b"a" * (MOST_BYTES + 1), "too long"),
        (b"PK\x03\x04rest of a workbook", "workbook"),
        (b"\xd0\xcf\x11\xe0rest of an old workbook", "workbook"),
        (b"%PDF-1.7", "no text"),
        (b"gin;\x81\x8d", "no text"),
        (b"\xef\xbb\xbfgin\xff", "no text"),
    ],
)
def test_what_is_no_list_is_refused(data: bytes, reason: str) -> None:
    """Empty, endless, or written for another program."""
    with pytest.raises(ListRefused) as why:
        text_of(data)
    assert why.value.reason == reason


def test_a_quotation_mark_left_open_is_told_by_its_line() -> None:
    """It would swallow all that follows."""
    with pytest.raises(ListRefused) as why:
        list(lines_of('a;1\nb;"2\nc;3\n', ";"))
    assert why.value.told == ("2",)


def test_cells_lose_their_spaces_and_empty_lines_are_left_out() -> None:
    """A cell beyond the last one is empty."""
    first, last = lines_of(" gin ; 30\n ; \nrum", ";")
    assert (first.cells, last.cells) == (("gin", "30"), ("rum",))
    assert (last.number, last.cell(1), last.cell(None)) == (3, "", "")
