"""The messages that pass between the rooms: what was heard, and what is answered.

A card is made of a few kinds of block, so that the page and the terminal each need one renderer and a new answer needs
none. Every number on a card is a `Figure`: value, unit, and the text people read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from grammar.command import Command


@dataclass(frozen=True)
class Heard:
    """One utterance as a recogniser took it, or as it was typed."""

    text: str
    confidence: float = 1.0  # 0..1; 1 for typed text
    alternatives: tuple[str, ...] = ()  # other readings, best first
    recogniser: str = "typed"
    audio_s: float = 0.0  # seconds of sound
    work_s: float = 0.0  # seconds of work


@dataclass(frozen=True)
class Figure:
    """A number with its unit, and as people read it. A value of None is unknown."""

    value: Decimal | None
    unit: str
    text: str


Cell = Figure | str
Tone = Literal["plain", "good", "warn", "muted", "strong"]


@dataclass(frozen=True)
class Row:
    """A labelled line of a table."""

    label: str
    cells: tuple[Cell, ...]
    note: str = ""
    tone: Tone = "plain"


@dataclass(frozen=True)
class Table:
    """Labelled lines under column heads: a spec, a costing, a menu."""

    rows: tuple[Row, ...]
    heads: tuple[str, ...] = ()  # empty, or one for the label and one for each cell
    title: str = ""
    type: Literal["table"] = "table"


@dataclass(frozen=True)
class Steps:
    """What to do, in order; `current` is the index of the step being read, if any."""

    items: tuple[str, ...]
    current: int | None = None
    title: str = ""
    type: Literal["steps"] = "steps"


@dataclass(frozen=True)
class Bar:
    """One bar of a picture; `low` and `high` mark the usual band on the same scale."""

    label: str
    figure: Figure
    low: Decimal | None = None
    high: Decimal | None = None
    second: Figure | None = None  # beside it: the other drink, the riff
    tone: Tone = "plain"


@dataclass(frozen=True)
class Bars:
    """A picture of a few numbers: each bar has a scale of its own, from zero to `top`."""

    bars: tuple[Bar, ...]
    tops: tuple[Decimal, ...]
    title: str = ""
    names: tuple[str, ...] = ()  # legend when bars have a second figure
    type: Literal["bars"] = "bars"


@dataclass(frozen=True)
class Dot:
    """One thing on a picture of two measures: `across` from left to right, `up` from below."""

    label: str
    across: Figure
    up: Figure
    tone: Tone = "plain"


@dataclass(frozen=True)
class Plot:
    """A picture of two measures against each other, cut into four fields by a line on each."""

    dots: tuple[Dot, ...]  # numbered from 1, in this order
    across: str  # what is measured from left to right
    up: str
    across_from: Figure  # where the line stands
    up_from: Figure
    fields: tuple[str, str, str, str]  # what the fields are called: upper left, upper right, lower left, lower right
    title: str = ""
    type: Literal["plot"] = "plot"


@dataclass(frozen=True)
class Note:
    """A sentence on the card."""

    text: str
    tone: Tone = "plain"
    type: Literal["note"] = "note"


Block = Table | Steps | Bars | Plot | Note


@dataclass(frozen=True)
class Card:
    """What the eye gets: a title, a line of facts under it, and blocks from top to bottom."""

    kind: str  # the intent that made it, for tests and for styling
    title: str
    facts: tuple[str, ...] = ()  # 'coupe', 'shaken', 'no ice'
    blocks: tuple[Block, ...] = ()


@dataclass(frozen=True)
class Choice:
    """One way to answer a question back."""

    label: str  # what to say or press
    command: Command  # what is then done


@dataclass(frozen=True)
class Question:
    """A question back, and its choices."""

    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class Reply:
    """What comes back: a sentence for the ear and a card for the eye."""

    say: str
    card: Card | None = None
    cautions: tuple[str, ...] = ()
    asks: Question | None = None
    undo: str | None = None  # token of the change that this reply reports
    heard: Heard | None = None
    command: Command | None = None
    understood: bool = True
    who: str = ""  # who asked, by name; empty: nobody said
    pin: Literal["", "needed", "lock"] = ""  # the manager's: it needs typing, or the device is to be locked again
    slow: bool = False  # to be spoken slowly
    voice: Literal["", "off", "on"] = ""  # of whoever speaks this: silent from here on, or no more


@dataclass(frozen=True)
class Focus:
    """What a conversation is about just now; follow-ups fill their gaps from it."""

    drink: str | None = None
    other: str | None = None  # the drink talked of before, for 'the other one'
    count: int = 1
    unit: str = "oz"  # 'oz', 'ml' or 'part'
    step: int | None = None  # index of the step last read
    without: tuple[str, ...] = ()
    ingredient: str | None = None
    extra: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))  # an intent's own: a quiz, a riff
