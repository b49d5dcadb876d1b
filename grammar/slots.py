"""From the marks of a parse to a command: each slot in its type, with the stretch of text it came from."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from types import MappingProxyType

from grammar.clean import Said
from grammar.command import Command, Intent, SlotValue
from grammar.exact import Mark
from grammar.numbers import as_decimal

WHOLE = frozenset({"count", "count_2", "count_3", "count_4"})  # slots that hold whole numbers
NUMBERS = frozenset({"amount", "percent", "money"})


def command(text: str, said: Sequence[Said], marks: Sequence[Mark], how: str = "exact") -> Command:
    """The command that marks make; they must give an intent. Of two marks for a slot, the first counts."""
    slots: dict[str, SlotValue] = {}
    spans: dict[str, tuple[int, int]] = {}
    for mark in marks:
        if mark.slot not in slots:
            slots[mark.slot] = _value(mark, text, said)
            if mark.end > mark.start:
                spans[mark.slot] = (said[mark.start].start, said[mark.end - 1].end)
    intent = Intent(str(slots.pop("intent")))
    spans.pop("intent", None)
    return Command(intent, MappingProxyType(slots), spans=MappingProxyType(spans), how=how)


def _value(mark: Mark, text: str, said: Sequence[Said]) -> SlotValue:
    if isinstance(mark.value, Fraction):
        return int(mark.value) if mark.slot in WHOLE and mark.value.denominator == 1 else as_decimal(mark.value)
    if mark.value is not None and mark.slot in WHOLE:
        return int(mark.value)
    if mark.value is not None:
        return mark.value
    return text[said[mark.start].start : said[mark.end - 1].end]
