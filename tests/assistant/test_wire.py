"""The wire: a reply as JSON says all that the reply says."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from pydantic import TypeAdapter

from assistant.messages import (
    Bar,
    Bars,
    Card,
    Choice,
    Figure,
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
    assert list(sent) == ["heard", "command", "say", "card", "cautions", "asks", "undo", "understood", "who", "pin"]
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
