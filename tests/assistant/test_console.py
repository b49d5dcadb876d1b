"""What a reply looks like in a terminal."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import click
import pytest

from assistant.console import WIDTH, render
from assistant.messages import Bar, Bars, Card, Figure, Reply, Row, Table
from tests.assistant import canned


def plain(reply: Reply) -> list[str]:
    """The lines of a rendered reply, without colour."""
    return click.unstyle(render(reply)).split("\n")


@pytest.mark.parametrize("reply", [*canned.CANNED.values(), canned.LOST], ids=[*canned.CANNED, "not understood"])
def test_a_reply_begins_with_what_is_said(reply: Reply) -> None:
    """The spoken sentence comes first, whole, whatever the card is."""
    lines = plain(reply)
    head = lines[: lines.index("")] if "" in lines else lines
    assert " ".join(head) == reply.say


def test_a_spec_is_read_amount_first() -> None:
    """A spec stands as bartenders write it, with the amounts under each other."""
    assert "1 1/2 oz  gin" in plain(canned.SPEC)
    assert "  3/4 oz  lemon juice" in plain(canned.SPEC)


def test_the_step_being_read_is_pointed_at() -> None:
    """One step of the four is marked, and not by colour."""
    assert [line for line in plain(canned.STEP) if line.startswith(">")] == [
        "> 2. Add ice and shake hard until the tin frosts."
    ]


def test_a_table_with_heads_keeps_its_columns() -> None:
    """Prices stand flush right under their head; what is unknown says so."""
    lines = plain(canned.COST)
    ends = [
        len(line) for line in lines if line.endswith(("costs", "$1.42", "unknown", "$2.49")) and "Syrup" not in line
    ]
    assert len(ends) == 4
    assert len(set(ends)) == 1


def test_a_bar_is_as_long_as_its_share_of_the_top() -> None:
    """Half of the top is half of the track; more than the top is no longer than the track."""
    half, over = Figure(Decimal(5), "g", "5 g"), Figure(Decimal(99), "g", "99 g")
    bars = Bars((Bar("half", half), Bar("over", over)), (Decimal(10), Decimal(10)))
    drawn = plain(Reply("Two bars.", Card("balance", "Bars", blocks=(bars,))))
    assert [line.count("#") for line in drawn[-2:]] == [16, 32]
    assert [line.count(".") for line in drawn[-2:]] == [16, 0]


def test_an_unknown_bar_is_not_a_bar_of_zero() -> None:
    """What is unknown is marked, and has no track."""
    syrup = next(line for line in plain(canned.COST) if line.startswith("Syrup"))
    assert "?" in syrup
    assert "." not in syrup


def test_cautions_choices_and_undo_are_words() -> None:
    """A caution has a mark, choices are a list, and a change says how to take it back."""
    assert f"! {canned.EGG[0]}" in plain(canned.SPEC)
    assert plain(canned.WHICH)[-2:] == ["- Gin Daisy", "- Brandy Daisy"]
    assert plain(canned.OUT)[-1] == "Say undo to take that back."


@pytest.mark.parametrize("width", [40, WIDTH, 120])
def test_sentences_are_wrapped_to_the_terminal(width: int) -> None:
    """No sentence is wider than the terminal."""
    assert max(len(line) for line in click.unstyle(render(canned.SPEC, width)).split("\n")) <= width


def test_a_table_of_no_rows_is_drawn() -> None:
    """An empty table is its title, not an error."""
    card = Card("can_make", "What can be made", blocks=(Table((), ("Drink", "Made of"), "Nothing"), Table(())))
    assert "Nothing" in plain(replace(canned.LOST, card=card))


def test_a_row_with_fewer_cells_than_heads_is_drawn() -> None:
    """A row may leave its last columns empty."""
    table = Table((Row("gin", ("2 oz", "$1.00")), Row("total", ())), ("", "pours", "costs"))
    assert "total" in plain(replace(canned.LOST, card=Card("cost", "Cost", blocks=(table,))))
