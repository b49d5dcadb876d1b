"""Gaps in a command filled from what the talk is about: 'make it three', 'what about the other one'."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from assistant.messages import Focus
from grammar.command import Command, Intent
from recipes.model import Book

NEEDS_DRINK = frozenset(
    {
        Intent.SPEC,
        Intent.AMOUNT,
        Intent.BUILD,
        Intent.NEXT_STEP,
        Intent.PREVIOUS_STEP,
        Intent.SCALE,
        Intent.WITHOUT,
        Intent.COST,
        Intent.PRICE_FOR_TARGET,
        Intent.BATCH,
        Intent.BALANCE,
        Intent.FAMILY,
        Intent.RIFF,
        Intent.COMPARE,
        Intent.CONTAINS,
        Intent.TASTE,
    }
)
NEEDS_INGREDIENT = frozenset({Intent.OUT_OF, Intent.BACK_IN, Intent.COUNTED, Intent.SET_PAR, Intent.SET_PRICE})
WITHOUT_INGREDIENT = frozenset({"role", "text"})  # all of a kind, or everything
ABOUT_ELSE = {  # with one of these slots, and no drink named, the question is not about the drink talked of
    Intent.SPEC: frozenset({"ingredient"}),  # the house's recipe for a syrup
    Intent.BUILD: frozenset({"ingredient"}),
    Intent.COST: frozenset({"ingredient", "percent", "text"}),
    Intent.COMPARE: frozenset({"family"}),
    Intent.CONTAINS: frozenset({"part"}),  # 'which drinks have nuts?'
    Intent.FAMILY: frozenset({"family"}),
    Intent.TASTE: frozenset({"ingredient"}),
    Intent.RIFF: frozenset({"text"}),  # a name for the riff that was just made
}
STILL_ABOUT = {Intent.FAMILY: frozenset({"text"})}  # 'why is it a daisy?'
DO_WITHOUT = {Intent.CONTAINS: frozenset({"ingredient"})}  # the drink talked of if there is one; else the ingredient


@dataclass(frozen=True)
class Gap:
    """A command that lacks what nothing said so far can fill."""

    command: Command
    slot: str


def filled(command: Command, focus: Focus) -> Command | Gap:
    """The command with its gaps filled from the focus, or the gap that only the person can fill."""
    if command.intent is Intent.COMPARE and "family" not in command.slots:
        command = _both_sides(command, focus)
    if command.intent in NEEDS_DRINK and not _is_about_else(command):
        other = command.intent is Intent.SPEC and command.slots.get("text") == "other"
        command = _with(command, "drink", focus.other if other else focus.drink)
        if "drink" not in command.slots and not _has(command, DO_WITHOUT):
            return Gap(command, "drink")
    if command.intent is Intent.COMPARE and "drink_2" not in command.slots and "family" not in command.slots:
        return Gap(command, "drink_2")
    if command.intent in NEEDS_INGREDIENT and not WITHOUT_INGREDIENT & set(command.slots):
        command = _with(command, "ingredient", focus.ingredient)
        if "ingredient" not in command.slots:
            return Gap(command, "ingredient")
    return command


def _is_about_else(command: Command) -> bool:
    return "drink" not in command.slots and _has(command, ABOUT_ELSE) and not _has(command, STILL_ABOUT)


def _has(command: Command, slots: Mapping[Intent, frozenset[str]]) -> bool:
    return bool(slots.get(command.intent, frozenset()) & set(command.slots))


def turned(focus: Focus, command: Command) -> Focus:
    """The focus turned to the drink of the command: a new drink starts at one, whole, from its first step."""
    drink = command.slots.get("drink")
    if not isinstance(drink, str) or drink == focus.drink:
        return focus
    return replace(focus, drink=drink, other=focus.drink, count=1, step=None, without=(), ingredient=None)


def in_book(focus: Focus, book: Book) -> Focus:
    """The focus without what the book no longer has; the drink talked of before takes the place of one that is gone."""
    known = [name for name in dict.fromkeys((focus.drink, focus.other)) if name in book.drinks]
    drink, other = [*known, None, None][:2]
    ingredient = focus.ingredient if focus.ingredient in book.ingredients else None
    if drink != focus.drink:
        focus = replace(focus, count=1, step=None, without=())
    return replace(focus, drink=drink, other=other, ingredient=ingredient)


def _both_sides(command: Command, focus: Focus) -> Command:
    """'How does it compare with a gimlet?' names one drink; the other is the one talked of, or the one before it."""
    if "drink" in command.slots and "drink_2" not in command.slots:
        if focus.drink is None or focus.drink == command.slots["drink"]:
            return _with(command, "drink_2", focus.other)
        slots = {**command.slots, "drink": focus.drink, "drink_2": command.slots["drink"]}
        return replace(command, slots=slots)
    if "drink_2" not in command.slots:
        return _with(command, "drink_2", focus.other)
    return command


def _with(command: Command, slot: str, value: str | None) -> Command:
    if slot in command.slots or value is None:
        return command
    return replace(command, slots={**command.slots, slot: value})
