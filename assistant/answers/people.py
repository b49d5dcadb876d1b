"""What is said of the people of the house: who is speaking, and how somebody is doing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.answers.base import FloorTest
from assistant.answers.speech import percent
from assistant.messages import Choice, Question, Reply
from grammar.command import Command, Intent

UNNAMED = "a device that nobody gave a name"
_DEVICE = re.compile(r"[0-9a-f]{24}")  # what the page calls its conversation


def hello(name: str, was_open: str = "") -> Reply:
    """'I'm Sam'; what of somebody else's was open is over."""
    said = f"Hello {name}. Changes and quiz marks from this device are yours now. {was_open}"
    return Reply(said.strip(), who=name)


def is_it_you(name: str) -> Reply:
    """'I'm Sam', of somebody who was never here."""
    text = f"I do not know {name} yet. Is that your name?"
    yes = Choice("Yes", Command(Intent.INTRODUCE, {"person": name}))
    return Reply(text, asks=Question(text, (yes, Choice("No", Command(Intent.NO)))), understood=False)


def signed(who: str) -> str:
    """A name as the trail has it, or words for none."""
    return UNNAMED if _DEVICE.fullmatch(who) else who


def last_test(name: str, tests: Sequence[FloorTest]) -> str:
    """How somebody did in the floor test they took last; empty when they took none."""
    if not tests:
        return ""
    last = tests[-1]
    verdict = "passed" if last.passed else "not passed"
    share = percent(Decimal(100 * last.points) / (last.out_of or 1), 0)
    return f"In the last floor test, on {last.title}, {name} had {share}: {verdict}."
