"""What people expect to come back for what they say, as the data files write it; and whether it did."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.messages import Reply
from grammar.command import Command, Intent, SlotValue
from recipes.safety import ASKED_FOR

NARROWING = frozenset({"part", "text", "unit"})  # more of these than expected does no harm


@dataclass(frozen=True)
class Expected:
    """One right reading of an utterance. A slot's value may be a list: any of it will do."""

    intent: Intent
    slots: Mapping[str, Any]

    def is_met(self, command: Command) -> bool:
        """Whether a command means this: every slot as expected, and no other name or number."""
        return command.intent is self.intent and any(self._holds(slots) for slots in _ways_round(command))

    def _holds(self, slots: Mapping[str, SlotValue]) -> bool:
        more = set(slots) - set(self.slots) - NARROWING
        return not more and all(slot in slots and _any_is(slots[slot], self.slots[slot]) for slot in self.slots)


def readings(entry: Mapping[str, Any]) -> tuple[Expected, ...]:
    """The right readings of an entry of a data file: its own, and those in its `or`."""
    return tuple(_reading(each) for each in (entry, *entry.get("or", ())))


def _reading(entry: Mapping[str, Any]) -> Expected:
    return Expected(Intent(entry["intent"]), entry.get("slots", {}))


def is_right(reply: Reply, before: Reply | None, expected: Iterable[Expected]) -> bool:
    """Whether a reply is to what was meant; `before` is the reply that stood until then, which a repeat says again."""
    if any(each.intent is Intent.REPEAT for each in expected):
        return before is not None and reply.say == before.say
    return reply.understood and reply.command is not None and any(each.is_met(reply.command) for each in expected)


def is_sure(reply: Reply) -> bool:
    """Whether a reply answers, rather than asks what was meant or says that it did not understand."""
    return reply.understood and (reply.asks is None or reply.card is not None)


def told(reply: Reply) -> str:
    """A reply in one line, for a list of misses."""
    command = reply.command
    meant = f"{command.intent} {dict(command.slots)}" if command else "no command"
    return f"{meant}: {reply.say[:90]}"


def _ways_round(command: Command) -> tuple[Mapping[str, SlotValue], ...]:
    """The slots, and for a comparison the slots with its two sides changed over."""
    slots = dict(command.slots)
    if command.intent is not Intent.COMPARE:
        return (slots,)
    over = {"drink": "drink_2", "drink_2": "drink", "family": "family_2", "family_2": "family"}
    return slots, {over.get(slot, slot): value for slot, value in slots.items()}


def _any_is(value: SlotValue, wanted: Any) -> bool:
    return any(_is(value, each) for each in (wanted if isinstance(wanted, list) else [wanted]))


def _is(value: SlotValue, wanted: Any) -> bool:
    if isinstance(wanted, int | float):
        return not isinstance(value, str) and Decimal(value) == Decimal(str(wanted))
    return _sense(str(value)) == _sense(wanted)


def _sense(word: str) -> object:
    """The allergens that a word asks for, else the word itself: 'dairy' and 'milk' ask for the same."""
    return ASKED_FOR.get(word.casefold(), word.casefold())
