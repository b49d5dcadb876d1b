"""How a reply travels to programs: one JSON object, the same from the terminal and from the page.

Decimals travel as strings, so that no digit is lost; what is unknown travels as null. Keys: `heard`, `command` {intent,
slots, confidence}, `say`, `card`, `cautions`, `asks`, `undo`, `understood`, `who`, `pin`, `slow`, `voice`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from typing import TypeAlias

from assistant.messages import Reply
from grammar.command import Command

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"


def to_json(reply: Reply) -> dict[str, Json]:
    """The JSON object of a reply."""
    return {
        "heard": _plain(reply.heard),
        "command": _plain(reply.command),
        "say": reply.say,
        "card": _plain(reply.card),
        "cautions": _plain(reply.cautions),
        "asks": _plain(reply.asks),
        "undo": reply.undo,
        "understood": reply.understood,
        "who": reply.who,
        "pin": reply.pin,
        "slow": reply.slow,
        "voice": reply.voice,
    }


def _plain(value: object) -> Json:
    """A message, or a part of one, in JSON's own types.

    Raises TypeError for a value that no message may hold.
    """
    match value:
        case None | bool() | int() | float():
            return value
        case Enum():
            return str(value.value)
        case str():
            return value
        case Decimal():
            return f"{value:f}"
        case Command():
            return {"intent": value.intent.value, "slots": _plain(value.slots), "confidence": value.confidence}
        case Mapping():
            return {str(key): _plain(item) for key, item in value.items()}
        case list() | tuple():
            return [_plain(item) for item in value]
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(type(value).__name__)
