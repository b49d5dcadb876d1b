"""The wire: a reply as JSON says all that the reply says."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter

from assistant.answers.base import Scene
from assistant.handlers import HANDLERS
from assistant.messages import (
    Bar,
    Bars,
    Card,
    Choice,
    Figure,
    Focus,
    Heard,
    Note,
    Question,
    Reply,
    Row,
    Steps,
    Table,
)
from assistant.wire import to_json
from grammar.command import Command, Intent
from tests.made_up import the_book

AMOUNT = Command(
    Intent.AMOUNT,
    {"drink": "Gimlet", "ingredient": "lime cordial", "count": 3},
    confidence=0.9,
    spans={"drink": (0, 6)},
    how="fuzzy",
    runners_up=(Command(Intent.SPEC),),
)
FULL = Reply(
    say="Three quarters of an ounce.",
    card=Card(
        "amount",
        "Gimlet",
        ("coupe", "shaken"),
        (
            Table(
                (Row("lime cordial", (Figure(Decimal("0.75"), "oz", "3/4 oz"), "chilled"), "fresh", "strong"),),
                ("", "amount", "note"),
                "Spec",
            ),
            Steps(("Shake.", "Strain."), 1, "Steps"),
            Bars(
                (
                    Bar(
                        "sugar",
                        Figure(Decimal("8.90"), "g/100 ml", "8.9"),
                        Decimal("5.0"),
                        Decimal(9),
                        Figure(None, "g/100 ml", "unknown"),
                        "warn",
                    ),
                ),
                (Decimal("12"),),
                "Balance",
                ("Gimlet", "riff"),
            ),
            Note("Fresh today.", "good"),
        ),
    ),
    cautions=("Labels decide.",),
    asks=Question("Which one?", (Choice("Gimlet", Command(Intent.SPEC, {"drink": "Gimlet"})),)),
    undo="a1",
    heard=Heard("lime in a gimlet", 0.8, ("time in a gimlet",), "scripted", 1.5, 0.1),
    command=Command(Intent.AMOUNT, {"drink": "Gimlet"}, 0.9),
)


def test_the_object_has_the_agreed_keys() -> None:
    """Other programs find what they were promised, in that spelling."""
    sent = to_json(FULL)
    assert " ".join(sent) == "heard command say card cautions asks undo understood who pin slow voice"
    assert sent["command"] == {"intent": "amount", "slots": {"drink": "Gimlet"}, "confidence": 0.9}


@pytest.mark.parametrize("reply", [FULL, Reply("Nothing to say."), Reply("Say again?", understood=False)])
def test_a_reply_survives_the_wire(reply: Reply) -> None:
    """Read back from the JSON text by its types alone, a reply is equal to the one sent."""
    text = json.dumps(to_json(reply))
    assert TypeAdapter(Reply).validate_json(text) == reply


def test_only_the_bones_of_a_command_are_sent() -> None:
    """How a command was matched stays inside; what was meant goes out."""
    sent = to_json(Reply("Well.", command=AMOUNT))["command"]
    assert sent == {
        "intent": "amount",
        "slots": {"drink": "Gimlet", "ingredient": "lime cordial", "count": 3},
        "confidence": 0.9,
    }


@pytest.mark.parametrize(
    ("number", "text"),
    [("0.75", "0.75"), ("22.50", "22.50"), ("1E+3", "1000"), ("0.00000001", "0.00000001"), ("-0.4", "-0.4")],
)
def test_a_decimal_keeps_every_digit(number: str, text: str) -> None:
    """Numbers are sent as plain decimal strings, never as floats or with an exponent."""
    card = Card("cost", "Gimlet", blocks=(Table((Row("gin", (Figure(Decimal(number), "oz", "x"),)),)),))
    assert f'"value": "{text}"' in json.dumps(to_json(Reply("Well.", card)))


def test_what_is_unknown_is_null() -> None:
    """A figure without a value is sent as null with its word, never as zero."""
    card = Card("cost", "Gimlet", blocks=(Table((Row("gin", (Figure(None, "USD", "unknown"),)),)),))
    assert '{"value": null, "unit": "USD", "text": "unknown"}' in json.dumps(to_json(Reply("Well.", card)))


def test_a_stranger_is_refused() -> None:
    """A value that no message may hold is not sent in some accidental form."""
    with pytest.raises(TypeError):
        to_json(Reply("Well.", command=Command(Intent.SPEC, {"drink": object()})))  # type: ignore[dict-item]


NUMBERS = [
    # what is asked, and what goes out for its first numbers, in the order of the card
    (
        Command(Intent.COUNTED, {"ingredient": "lime juice", "amount": Decimal(2), "unit": "l"}),
        [("2.00", "l", "2 l")],
    ),
    (
        Command(Intent.COUNTED, {"ingredient": "lime juice", "count": 12}),
        [("12", "fruit", "12 fruit")],
    ),
    (
        Command(Intent.ORDER, {"drink": "Gimlet", "count": 2, "drink_2": "Daiquiri"}),
        [("4.00", "oz", "4 oz"), ("1.50", "oz", "1 1/2 oz"), ("2", "oz", "2 oz")],
    ),
    (
        Command(Intent.COST, {"text": "mix"}),
        [("60.0", "%", "60 %"), ("9.96", "USD", "$9.96"), ("40.0", "%", "40 %"), ("9.81", "USD", "$9.81")],
    ),
    (
        Command(Intent.COST, {"text": "moves"}),
        [("46.4", "%", "46.4 %"), ("4.87", "USD", "$4.87"), ("0.49", "USD", "$0.49")],
    ),
]


def figures(sent: Any) -> Iterator[dict[str, str]]:
    """Every number on a card, in its order."""
    if isinstance(sent, dict):
        if sent.keys() == {"value", "unit", "text"}:
            yield sent
        for inside in sent.values():
            yield from figures(inside)
    elif isinstance(sent, list):
        for inside in sent:
            yield from figures(inside)


def card_of(command: Command) -> Any:
    """The card of an answer from the real book, as a program reads it."""
    scene = Scene(the_book(), frozenset(), Focus(), sold={"Gimlet": 2, "Daiquiri": 3})
    return json.loads(json.dumps(to_json(HANDLERS[command.intent](command, scene).reply)))["card"]


@pytest.mark.parametrize(
    ("command", "first"), NUMBERS, ids=lambda case: case.intent if isinstance(case, Command) else ""
)
def test_the_numbers_of_a_card_go_out_with_their_units(command: Command, first: list[tuple[str, str, str]]) -> None:
    """On hand, an order, the menu in four fields, the prices that hurt: value, unit, and the text for people."""
    found = list(figures(card_of(command)))
    assert [(one["value"], one["unit"], one["text"]) for one in found[: len(first)]] == first
    assert all(one["unit"] and one["text"] for one in found)


def test_the_four_fields_go_out_with_their_lines() -> None:
    """A program can draw the picture: where the lines stand, and what the fields are called."""
    plot = card_of(Command(Intent.COST, {"text": "mix"}))["blocks"][0]
    assert plot["type"] == "plot"
    assert plot["fields"] == ["puzzles", "stars", "dogs", "plowhorses"]
    assert [plot[line]["unit"] for line in ("across_from", "up_from")] == ["%", "USD"]


def test_a_list_of_drinks_with_nuts_goes_out_by_what_is_known() -> None:
    """Those that have them with what brings them; apart from these the unknown ones, with what is to be asked about."""
    yes, unknown = card_of(Command(Intent.CONTAINS, {"part": "which", "text": "nuts"}))["blocks"]
    assert (yes["title"], unknown["title"]) == ("nuts: yes", "nuts: unknown")
    assert {"label": "Army and Navy", "cells": ["orgeat"], "note": "", "tone": "warn"} in yes["rows"]
    assert {"label": "Margarita", "cells": ["unknown: orange liqueur"], "note": "", "tone": "warn"} in unknown["rows"]
