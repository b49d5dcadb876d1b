"""Numbers between digits and the words people say, and what the number tags of the phrases come to."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

# fmt: off
_SMALL = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
# fmt: on
_FRACTIONS = {
    Fraction(1, 2): "a half",
    Fraction(1, 4): "a quarter",
    Fraction(3, 4): "three quarters",
    Fraction(1, 3): "a third",
    Fraction(2, 3): "two thirds",
    Fraction(1, 8): "an eighth",
    Fraction(3, 8): "three eighths",
    Fraction(5, 8): "five eighths",
    Fraction(7, 8): "seven eighths",
}
LARGEST = 99_999  # no bar counts further; longer digits are no number of ours
PLACES = 4  # digits after the point that can be said

_FACTOR = re.compile(r"([*/])\s*(\d+)$")
_TERM = re.compile(r"\d+(?:\.\d+|/\d+)?$")


def in_words(value: Decimal | Fraction | int) -> str | None:
    """How a number of digits is said ('22.5' is 'twenty two point five'); None when it is beyond saying."""
    if value < 0 or value > LARGEST:
        return None
    whole, rest = divmod(Fraction(value), 1)
    if not rest:
        return _whole(whole)
    if not isinstance(value, Decimal):
        said = _FRACTIONS.get(rest)
        return said and (f"{_whole(whole)} and {said}" if whole else said)
    digits = f"{value.normalize():f}".partition(".")[2]
    if len(digits) > PLACES:
        return None
    return f"{_whole(whole)} point {' '.join(_SMALL[int(digit)] for digit in digits)}"


def _whole(number: int) -> str:
    if number < len(_SMALL):
        return _SMALL[number]
    if number < 100:
        return f"{_TENS[number // 10]} {_SMALL[number % 10]}" if number % 10 else _TENS[number // 10]
    size, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = f" {_whole(number % size)}" if number % size else ""
    return f"{_whole(number // size)} {name}{rest}"


def is_number_tag(tag: str) -> bool:
    """Whether a tag of the phrases counts: '3', '1/8', '*100', '/10'."""
    return bool(_TERM.match(tag) or _FACTOR.match(tag))


def counted(tag: str, before: Fraction | None, own: Fraction | None) -> Fraction | None:
    """What has been counted in a rule after an item with this tag.

    Args:
        tag: a number tag.
        before: what was counted in the rule before the item.
        own: the number of the item itself, if it has one.
    """
    factor = _FACTOR.match(tag)
    if factor is None:
        return added(added(before, own), Fraction(tag))
    by = Fraction(factor[2]) if factor[1] == "*" else 1 / Fraction(factor[2])
    return added(before, own * by) if own is not None else before and before * by


def added(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    """The sum, where None is nothing counted yet."""
    if one is None or other is None:
        return other if one is None else one
    return one + other


def as_decimal(value: Fraction) -> Decimal:
    """The number as a Decimal: exact where it ends, to four places where it does not (a third is 0.3333)."""
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return exact if Fraction(exact) == value else round(exact, PLACES)
