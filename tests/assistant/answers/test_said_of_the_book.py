"""What is said of measures and money, for every drink and ingredient of the house's own book."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache

import pytest

from assistant.answers import builds, costs, pack_prices, scales, specs
from grammar.command import SlotValue
from recipes.loader import load_book
from recipes.model import Book
from tests.assistant.answers.talking import Talk

HANDLERS = {**specs.HANDLERS, **scales.HANDLERS, **builds.HANDLERS, **costs.HANDLERS, **pack_prices.HANDLERS}
LONGEST = 60  # words in a spec that can be heard in a rush


@cache
def book() -> Book:
    """The house's book."""
    return load_book()


@pytest.mark.parametrize(
    ("intent", "slots"),
    [
        ("spec", {}),
        ("spec", {"part": "garnish"}),
        ("spec", {"part": "ice"}),
        ("units", {"unit": "ml"}),
        ("units", {"unit": "part"}),
        ("amount", {"role": "base"}),
        ("scale", {"count": 7}),
        ("scale", {"amount": Decimal(3), "unit": "l"}),
        ("scale", {"amount": Decimal(2), "unit": "bottle"}),
        ("without", {"role": "citrus"}),
        ("build", {}),
        ("cost", {}),
        ("price_for_target", {"percent": Decimal(18)}),
    ],
)
def test_every_drink_is_spoken_of_in_words(intent: str, slots: dict[str, SlotValue]) -> None:
    """A capital, a stop, single spaces, and no digit or symbol outside a drink's own name or its steps."""
    talk = Talk(HANDLERS, book())
    for drink in book().drinks.values():
        said = talk.say(intent, drink=drink.name, **slots)
        assert re.fullmatch(r"[A-Z0-9].*[.?]", said), said
        assert "  " not in said
        if intent != "build":
            bare = said.replace(drink.name, "")
            assert not re.search(r"[\d$%/_]", bare), said


def test_every_spec_can_be_heard_in_a_rush() -> None:
    """No spec is longer than a breath or two."""
    talk = Talk(HANDLERS, book())
    lengths = {name: len(talk.say("spec", drink=name).split()) for name in book().drinks}
    assert {name: words for name, words in lengths.items() if words > LONGEST} == {}


def test_every_ingredient_has_a_cost_that_can_be_said() -> None:
    """By the pack, by the measure, or made in the house; unknown ones say so."""
    talk = Talk(HANDLERS, book())
    for name in book().ingredients:
        said = talk.say("cost", ingredient=name)
        assert re.fullmatch(r"[A-Z].*\.", said), said
        assert not re.search(r"[\d$%/_]", said), said


def test_every_house_made_thing_has_a_recipe_that_can_be_said() -> None:
    """Parts, yield and how long it keeps."""
    talk = Talk(HANDLERS, book())
    for name, ingredient in book().ingredients.items():
        said = talk.say("spec", ingredient=name)
        assert ("Makes " in said) == (ingredient.made is not None)
        assert not re.search(r"[\d$%/_]", said), said
