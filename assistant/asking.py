"""Questions back: what is still open, and what a person's answer to it settles.

An answer is tried in this order: a choice by its place ('the second one') or by its name, 'yes' where there is one
thing to say yes to, 'no', a bare name where only a name was missing, a bare number where the choices are numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from assistant.messages import Choice, Question
from grammar.clean import phrase
from grammar.command import Command, Intent, Meaning

_PLACES = {"first": 0, "former": 0, "second": 1, "latter": 1, "third": 2, "last": -1}
_COUNTED = {"one": 0, "two": 1, "three": 2}  # after 'number'
_MEASURES = frozenset({"count", "amount", "unit", "percent", "money"})  # slots that numbers fill
# fmt: off
_FILLERS = frozenset({
    "a", "an", "and", "at", "do", "for", "from", "give", "i", "in", "is", "it", "like", "make", "mean", "meant", "me",
    "my", "number", "of", "on", "one", "please", "that", "the", "then", "to", "want", "was", "what", "with", "yes",
})
# fmt: on


@dataclass(frozen=True)
class Pending:
    """A question that waits for its answer; with `wants`, for a name to put into that command's empty `slot`."""

    question: Question
    wants: Command | None = None
    slot: str = ""


class Unsettled(Enum):
    """The answer was one to the question, but settles nothing."""

    WHICH = "which"  # 'yes' to 'this or that?'


def settled(pending: Pending, text: str, meaning: Meaning) -> Command | Unsettled | None:
    """The command that an answer settles on; None when the text answers something else."""
    words = phrase(text)
    choices = pending.question.choices
    chosen = _by_place(words, choices) or _by_label(words, choices)
    if chosen is not None:
        return chosen.command
    if not isinstance(meaning, Command):
        return None
    if meaning.intent is Intent.YES:
        open_choices = [choice for choice in choices if choice.command.intent is not Intent.NO]
        return open_choices[0].command if len(open_choices) == 1 else Unsettled.WHICH
    if meaning.intent is Intent.NO:
        return meaning
    if not is_bare(meaning, text):
        return None
    if pending.wants is not None and kind_of(pending.slot) in meaning.slots:
        return with_slot(pending.wants, pending.slot, meaning)
    return _by_value(meaning, choices) or _by_measure(meaning, choices)


def with_slot(command: Command, slot: str, other: Command) -> Command:
    """The command, its empty slot filled with the name that the other command has."""
    certainty = min(command.confidence, other.confidence)
    return replace(command, slots={**command.slots, slot: other.slots[kind_of(slot)]}, confidence=certainty)


def kind_of(slot: str) -> str:
    """The slot that a bare name for it comes in: 'drink' for 'drink_2'."""
    return slot.removesuffix("_2")


def is_bare(command: Command, text: str) -> bool:
    """Whether a text says no more than the names and numbers in its slots: 'the gimlet, please'."""
    if not command.spans:
        return False
    rest = list(text)
    for start, end in command.spans.values():
        rest[start:end] = " " * (end - start)
    return set(phrase("".join(rest))) <= _FILLERS


def _by_place(words: Sequence[str], choices: tuple[Choice, ...]) -> Choice | None:
    """'the second one', 'number two'."""
    places = [_PLACES[word] for word in words if word in _PLACES]
    if "number" in words:
        places += [_COUNTED[word] for word in words if word in _COUNTED]
    if len(places) != 1 or not set(words) <= _FILLERS | set(_PLACES) | set(_COUNTED):
        return None
    return choices[places[0]] if -len(choices) <= places[0] < len(choices) else None


def _by_label(words: Sequence[str], choices: tuple[Choice, ...]) -> Choice | None:
    """The choice whose label is all that was said; of two that fit, the longer."""
    fitting = []
    for choice in choices:
        label = phrase(choice.label)
        if label and set(label) <= set(words) and set(words) - set(label) <= _FILLERS:
            fitting.append((len(label), choice))
    return max(fitting, key=lambda pair: pair[0])[1] if fitting else None


def _by_value(named: Command, choices: tuple[Choice, ...]) -> Command | None:
    values = set(named.slots.values())
    fitting = [choice.command for choice in choices if values and values <= set(choice.command.slots.values())]
    return fitting[0] if len(fitting) == 1 else None


def _by_measure(named: Command, choices: tuple[Choice, ...]) -> Command | None:
    """The question's own command with a number that was not among its choices: 'How many?' - 'thirty'."""
    if not choices or not set(named.slots) <= _MEASURES:
        return None
    first = choices[0].command
    if any(choice.command.intent is not first.intent for choice in choices):
        return None
    alike = {
        slot: value
        for slot, value in first.slots.items()
        if all(choice.command.slots.get(slot) == value for choice in choices)
    }
    differing = set(first.slots) - set(alike)
    return replace(first, slots={**alike, **named.slots}) if differing and differing <= _MEASURES else None
