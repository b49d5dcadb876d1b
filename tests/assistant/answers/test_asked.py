"""How commands are put when they are asked back: each in words that fit the question and tell it from all others."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations, product
from typing import Any

import pytest

from assistant.answers import talk
from assistant.answers.asked import as_asked
from grammar import phrasebook
from grammar.command import Command, Intent
from grammar.templates import Part, Template
from recipes.loader import load_book
from recipes.model import Book

# Two of each thing that a phrase may name or count, and what values mark by themselves.
NAMED: dict[str, tuple[Any, Any]] = {
    "names.drink": ("Gimlet", "Negroni"),
    "names.ingredient": ("lime juice", "orgeat"),
    "names.family": ("sour", "daisy"),
    "names.shelf": ("classics", "fogbell"),
    "names.person": ("Sam", "Ana"),
    "numbers.count": (3, 12),
    "values.percent": (Decimal(18), Decimal(20)),
    "values.money": (Decimal(24), Decimal("32.5")),
    "values.title": ("Night Fog", "Long Tide"),
}
VALUES: dict[str, tuple[dict[str, Any], ...]] = {
    "values.measure": tuple({"amount": Decimal(n), "unit": unit} for n in (2, 3) for unit in ("l", "bottle", "oz")),
    "numbers.pour": ({"amount": Decimal(2)}, {"amount": Decimal("0.75")}),
    "values.reading": tuple({"unit": unit} for unit in ("oz", "ml", "part")),
    "values.unit": ({"unit": "oz"}, {"unit": "dash"}),
    "values.part": tuple({"part": part} for part in ("garnish", "glass", "ice", "method")),
    "values.role": ({"role": "base"}, {"role": "acid"}),
    "values.kind": ({"role": "egg"}, {"role": "citrus"}),
    "values.bottle": ({"role": "rum"}, {"role": "vermouth"}),
    "values.allergen": ({"text": "nuts"}, {"text": "egg"}),
    "values.strong": tuple(
        {"part": part} for part in ("strength", "sugar", "acid", "bitterness", "volume", "dilution")
    ),
    "values.strength": ({"part": "strength"}, {"part": "sugar"}),
    "values.stronger": ({"part": "strength"}, {"part": "cost"}),
    "values.day": ({},),
    "values.moves": ({},),
    "values.use_what": ({},),
}


def fills(part: Part) -> tuple[dict[str, Any], ...]:
    """What one part of a phrase may put into slots."""
    if part.label in NAMED:
        return tuple({part.slot: value} for value in NAMED[part.label]) if part.slot else ({},)
    return VALUES[part.label] if "." in part.label else ({},)


def commands(template: Template) -> Iterator[Command]:
    """The commands that a phrase can give."""
    settings = dict(reversed(template.settings))
    intent = Intent(settings.pop("intent"))
    for chosen in product(*map(fills, template.parts)):
        slots: dict[str, Any] = {}
        for fill in reversed(chosen):
            slots |= fill
        yield Command(intent, {**slots, **settings})


@pytest.fixture(scope="module")
def book() -> Book:
    """The one that ships, for the titles of its families and shelves."""
    return load_book()


@pytest.fixture(scope="module")
def by_intent() -> dict[Intent, list[Command]]:
    """Every command that a phrase can give with two of each thing, once."""
    found: defaultdict[Intent, dict[frozenset[tuple[str, str]], Command]] = defaultdict(dict)
    for template in phrasebook.templates().all:
        for command in commands(template):
            found[command.intent].setdefault(frozenset((k, str(v)) for k, v in command.slots.items()), command)
    return {intent: list(some.values()) for intent, some in found.items()}


@pytest.mark.parametrize("intent", [intent for intent in Intent if intent is not Intent.ANSWER])
def test_no_two_commands_are_put_alike(intent: Intent, by_intent: dict[Intent, list[Command]], book: Book) -> None:
    """Whoever is asked 'this or that?' must be able to tell the one from the other."""
    put: dict[str, Command] = {}
    for command in by_intent[intent]:
        words = as_asked(command, book)
        assert words not in put, (words, dict(command.slots), dict(put[words].slots))
        put[words] = command


ASKED = [
    ("spec", {"drink": "Gimlet"}, "the spec for the Gimlet"),
    ("spec", {"drink": "Gimlet", "unit": "oz"}, "the spec for the Gimlet, in ounces"),
    ("spec", {"drink": "Gimlet", "part": "garnish"}, "the garnish for the Gimlet"),
    ("amount", {"ingredient": "gin", "drink": "Gimlet", "count": 6}, "how much gin is in six Gimlets"),
    ("amount", {"role": "base"}, "how much of the base is in it"),
    ("scale", {"drink": "Gin Daisy", "count": 3}, "three Gin Daisies"),
    ("scale", {"count": 3}, "three of it"),
    ("scale", {"amount": 1, "unit": "bottle", "ingredient": "gin"}, "how many drinks come from one bottle of gin"),
    ("order", {"drink": "Gimlet", "count": 2, "drink_2": "Negroni", "count_2": 1}, "two Gimlets and one Negroni"),
    ("batch", {"drink": "Negroni", "count": 40}, "a batch of forty Negronis"),
    ("batch", {"drink": "Negroni", "amount": Decimal(2), "unit": "l"}, "a batch of two litres of the Negroni"),
    ("batch", {"drink": "Negroni"}, "a batch of the Negroni"),
    ("cost", {"percent": Decimal(22), "text": "over"}, "which drinks have a pour cost over twenty-two percent"),
    ("counted", {"ingredient": "lime juice", "amount": 2, "unit": "l"}, "that you have two litres of lime juice"),
    ("counted", {"ingredient": "lemon juice", "count": 12}, "that you counted twelve for lemon juice"),
    ("out_of", {"ingredient": "gin", "ingredient_2": "orgeat"}, "that gin and orgeat are out"),
    ("contains", {"drink": "Gimlet", "text": "nuts"}, "whether the Gimlet has nuts"),
    ("balance", {"drink": "Gimlet", "part": "sugar"}, "the sweetness of the Gimlet"),
    ("family", {"drink": "Gimlet", "family": "sour", "text": "why"}, "whether the Gimlet is a sour"),
    ("quiz", {"shelf": "classics"}, "a quiz on the Classics"),
    ("answer", {"text": "a coupe"}, 'the answer "a coupe"'),
]  # fmt: skip


@pytest.mark.parametrize(("intent", "slots", "words"), ASKED, ids=[row[2] for row in ASKED])
def test_it_is_put_as_people_would_say_it(intent: str, slots: dict[str, Any], words: str, book: Book) -> None:
    """Behind 'Did you mean', each is English."""
    assert as_asked(Command(Intent(intent), slots), book) == words


def test_a_slot_that_no_form_expects_is_said_after_it(book: Book) -> None:
    """Whatever a conversation adds to a command, two that differ in it are put differently."""
    slots: dict[str, Any] = {
        "drink": "Gimlet",
        "ingredient": "gin",
        "count": 3,
        "percent": Decimal(20),
        "text": "aside",
        "part": "ice",
    }
    for intent in Intent:
        plain = as_asked(Command(intent, {}), book)
        for slot in slots:
            assert as_asked(Command(intent, {slot: slots[slot]}), book) != plain, (intent, slot)


def test_two_readings_that_are_put_alike_are_asked_by_what_was_heard(book: Book) -> None:
    """'A batch of the Negroni or a batch of the Negroni?' asks nothing."""
    one = Command(Intent.BATCH, {"drink": "Negroni", "amount": Decimal(1000), "unit": "ml"})
    other = Command(Intent.BATCH, {"drink": "Negroni", "amount": Decimal(1), "unit": "l"})
    reply = talk.did_you_say("batch a litre of negroni", one, other, book)
    assert reply.say == 'Did you say, "batch a litre of negroni"?'
    assert reply.asks is not None
    assert [choice.label for choice in reply.asks.choices] == ["Yes", "No"]


@pytest.mark.parametrize(("one", "other"), list(combinations(({"count": 30}, {"count": 13}, {}), 2)))
def test_two_batches_are_told_apart(one: dict[str, Any], other: dict[str, Any], book: Book) -> None:
    """The number is what was heard unsurely, so the number is said."""
    readings = [Command(Intent.BATCH, {"drink": "Negroni", **slots}) for slots in (one, other)]
    reply = talk.did_you_say("batch thirty negronis", readings[0], readings[1], book)
    first, second = (as_asked(reading, book) for reading in readings)
    assert reply.say == f"Did you mean {first} or {second}?"
    assert first != second
