"""Sums of money as lists write them: '$24.00', '1.234,50', 'EUR 12,-', "1'234.50". Nothing is guessed.

Which mark is the decimal one is taken from the whole column: a mark with other than three digits after it, or the
second of two marks. A sum that could be read two ways stays unread.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from enum import StrEnum

DOLLARS = frozenset({"USD", "AUD", "CAD", "NZD"})
SIGNS = {"$": DOLLARS, "€": frozenset({"EUR"}), "£": frozenset({"GBP"}), "¥": frozenset({"JPY", "CNY"})}
CODES = frozenset({*DOLLARS, "EUR", "GBP", "JPY", "CNY", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK"})  # ISO 4217
_SPACES = re.compile(r"[\s\u00a0\u2009\u202f]+")
_NUMBER = re.compile(r"\d+(?:[.,'\u2019]\d+)*(?:[.,][-\u2013\u2014]+)?")
_CODE = re.compile(r"[A-Z]{3}")


class Unread(StrEnum):
    """Why a sum was not read."""

    NOTHING = "no price"
    NO_NUMBER = "no number"
    TWO_WAYS = "two ways"
    CURRENCY = "another currency"
    NOT_POSITIVE = "not positive"


def decimal_mark(texts: Iterable[str]) -> str | None:
    """The decimal mark of a column, '.' or ','; None where its sums do not tell, or tell both."""
    told = {mark for text in texts for mark in (_told_mark(_bare(text)),) if mark}
    return told.pop() if len(told) == 1 else None


def is_foreign(text: str, currency: str) -> bool:
    """Whether a sign or a code of a currency stands in the text that is not the house's (an ISO 4217 code)."""
    codes = [frozenset({code}) for code in _CODE.findall(text) if code in CODES]
    signs = [meant for sign, meant in SIGNS.items() if sign in text]
    return any(currency not in meant for meant in (*codes, *signs))


def read_money(text: str, mark: str | None, currency: str) -> Decimal | Unread:
    """A sum above zero in the house's currency; `mark` is the column's decimal mark, if it is known."""
    if not text.strip():
        return Unread.NOTHING
    if is_foreign(text, currency):
        return Unread.CURRENCY
    bare = _bare(text)
    if bare.startswith(("-", "(")):
        return Unread.NOT_POSITIVE
    if not _NUMBER.fullmatch(bare):
        return Unread.NO_NUMBER
    mark = _told_mark(bare) or mark
    if mark is None and re.search("[.,]", bare):
        return Unread.TWO_WAYS
    value = Decimal(re.sub(r"[^\d.]", "", _with_point(bare, mark)).rstrip("."))
    return value if value > 0 else Unread.NOT_POSITIVE


def _bare(text: str) -> str:
    """Without spaces, signs and codes of currency."""
    bare = _SPACES.sub("", _CODE.sub(lambda found: "" if found[0] in CODES else found[0], text))
    return bare.translate({ord(sign): None for sign in SIGNS})


def _with_point(bare: str, mark: str | None) -> str:
    if mark != ",":
        return bare.replace(",", "")
    return bare.replace(".", "").replace(",", ".")


def _told_mark(bare: str) -> str | None:
    """The decimal mark that one sum tells by itself."""
    marks = re.findall("[.,]", bare)
    if len(set(marks)) == 2:
        return marks[-1] if marks.count(marks[-1]) == 1 else None
    if not marks:
        return None
    other = "," if marks[0] == "." else "."
    if len(marks) > 1:
        return other
    head, tail = bare.split(marks[0])
    return None if len(tail) == 3 and tail.isdecimal() and 0 < len(head) <= 3 and head != "0" else marks[0]
