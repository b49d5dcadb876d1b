"""Every way a list can fail has its sentence, and every sentence a way to fail."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from assistant.answers.list_lines import FAULTS, REFUSALS, refused
from assistant.answers.price_list import previewed
from assistant.answers.recipe_list import REASONS
from assistant.errors import ListRefused
from assistant.messages import Table
from assistant.office.pack_sizes import Unsized
from assistant.office.supplier import LineFault, Preview
from assistant.office.written_money import Unread
from tests.conftest import make_tiny_book

OFFICE = Path(__file__).parents[3] / "assistant" / "office"
SOURCE = "\n".join(file.read_text("utf-8") for file in sorted(OFFICE.glob("*.py")))


def test_every_refusal_has_a_sentence() -> None:
    """The reasons that are raised and the reasons that are worded are the same."""
    raised = set(re.findall(r'ListRefused\(\s*"([^"]+)"', SOURCE)) | {"workbook", "no text"}
    assert raised == set(REFUSALS)


def test_every_fault_of_a_line_has_its_mend() -> None:
    """Prices that cannot be read, packs that cannot be compared, and what is wrong with the line itself."""
    own = set(re.findall(r'LineFault\([^)]*?, "(\w+)"', SOURCE))
    assert set(FAULTS) == {*Unread, *Unsized, *own}


def test_every_fault_of_a_recipe_has_its_sentence() -> None:
    """What keeps a recipe out is said."""
    assert set(re.findall(r'Unreadable\("(\w+)"', SOURCE)) == set(REASONS)


@pytest.mark.parametrize("reason", REFUSALS)
def test_a_refusal_is_a_sentence_that_says_nothing_was_changed(reason: str) -> None:
    """With what it names put in, whole, and not understood, so that the command ends with an exit code."""
    reply = refused(ListRefused(reason, "one", "two"))
    assert re.fullmatch(r"[A-Z].*\. Nothing was changed\.", reply.say)
    assert "{" not in reply.say
    assert not reply.understood


@pytest.mark.parametrize("reason", FAULTS)
def test_a_fault_is_told_by_its_line_with_its_mend(reason: str) -> None:
    """The card has the line's number, the ingredient and one sentence or two."""
    found = Preview((), (), (LineFault(7, "gin", reason, "this"),), (), (), 0, {})
    card = previewed(found, make_tiny_book()).card
    assert card is not None
    (table,) = card.blocks
    assert isinstance(table, Table)
    (row,) = table.rows
    assert (row.label, row.cells) == ("line 7", ("gin",))
    assert re.fullmatch(r'["A-Z].*[.]', row.note)
    assert "{" not in row.note
