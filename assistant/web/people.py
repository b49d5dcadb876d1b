"""The page's first view: what each of the three people at a bar asks, by example."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from grammar.command import Intent

BARTENDER = (Intent.SPEC, Intent.BUILD, Intent.CONTAINS, Intent.SUBSTITUTE, Intent.CAN_MAKE)
TRAINEE = (Intent.QUIZ, Intent.TASTE, Intent.FAMILY, Intent.COMPARE, Intent.BALANCE)
MANAGER = (Intent.COST, Intent.PRICE_FOR_TARGET, Intent.WHAT_IF_PRICE, Intent.BATCH, Intent.PREP)
GROUPS = (("Behind the bar", BARTENDER), ("Learning the drinks", TRAINEE), ("Running the bar", MANAGER))


@dataclass(frozen=True)
class Person:
    """One of the three, and sentences to begin with."""

    title: str
    examples: tuple[str, ...]


def people(examples: Mapping[Intent, tuple[str, ...]]) -> tuple[Person, ...]:
    """One example of each question that a person begins with; questions without an example are left out."""
    return tuple(
        Person(title, tuple(examples[intent][0] for intent in intents if examples.get(intent)))
        for title, intents in GROUPS
    )
