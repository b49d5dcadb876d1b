"""What was meant: the message that leaves this package."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType


class Intent(StrEnum):
    """All that can be asked. The values are the names used in JSON."""

    SPEC = "spec"
    AMOUNT = "amount"
    BUILD = "build"
    NEXT_STEP = "next_step"
    PREVIOUS_STEP = "previous_step"
    REPEAT = "repeat"
    SCALE = "scale"
    ORDER = "order"
    UNITS = "units"
    WITHOUT = "without"
    COST = "cost"
    PRICE_FOR_TARGET = "price_for_target"
    WHAT_IF_PRICE = "what_if_price"
    BATCH = "batch"
    BALANCE = "balance"
    RANK = "rank"
    LIST = "list"
    FAMILY = "family"
    RIFF = "riff"
    COMPARE = "compare"
    SUBSTITUTE = "substitute"
    OUT_OF = "out_of"
    BACK_IN = "back_in"
    CAN_MAKE = "can_make"
    COUNTED = "counted"
    ON_HAND = "on_hand"
    PAR = "par"
    SET_PAR = "set_par"
    CONTAINS = "contains"
    TASTE = "taste"
    PREP = "prep"
    QUIZ = "quiz"
    ANSWER = "answer"
    SKIP = "skip"
    SCORE = "score"
    INTRODUCE = "introduce"
    TRAIL = "trail"
    LOCK = "lock"
    MUTE = "mute"
    UNMUTE = "unmute"
    SET_PRICE = "set_price"
    HELP = "help"
    UNDO = "undo"
    CANCEL = "cancel"
    YES = "yes"
    NO = "no"


SlotValue = str | int | Decimal


@dataclass(frozen=True)
class Command:
    """One utterance understood.

    Slots by name: drink, drink_2 to drink_4, ingredient, ingredient_2 (as the book writes them), count and count_2 to
    count_4 (int), amount, percent, money (Decimal; percent is 22 for twenty-two percent, money in the house's
    currency), unit (a word of the closed unit list), family, shelf, and three that narrow a question: part ('garnish',
    'glass', 'ice', 'method', 'which', 'free', 'strength'), role ('base', 'acid', ...) and text (a free remainder: a
    name for a riff, a recited answer).
    """

    intent: Intent
    slots: Mapping[str, SlotValue] = field(default_factory=lambda: MappingProxyType({}))
    confidence: float = 1.0  # 0..1
    spans: Mapping[str, tuple[int, int]] = field(default_factory=lambda: MappingProxyType({}))  # slot -> [start, end)
    how: str = "exact"  # 'exact', 'fuzzy' or 'sound'
    runners_up: tuple[Command, ...] = ()


@dataclass(frozen=True)
class Ambiguous:
    """Two or more commands are about as likely; the reply asks which."""

    text: str
    choices: tuple[Command, ...]  # best first, at least two; they differ in what `differs` names
    differs: str  # 'intent' or the name of the slot


@dataclass(frozen=True)
class NotUnderstood:
    """No command is likely enough to act on."""

    text: str
    unknown: str = ""  # the words taken for a name that the book does not have, if any
    kind: str = ""  # what `unknown` was taken for: 'drink' or 'ingredient'
    near: tuple[str, ...] = ()  # names of the book that come nearest to `unknown`, best first


Meaning = Command | Ambiguous | NotUnderstood
