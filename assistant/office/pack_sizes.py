"""Pack sizes as suppliers write them: '6x700ml', '12/1L', 'case of 12', '750', '2 kg', 'each', '15 dozen'.

A size is how many, and of what: a volume, a mass or a number of pieces; or only 'a bottle' or 'a case of 12', of the
size that the book has. 'oz' is the US fluid ounce where the book pours, and the avoirdupois ounce where it weighs
(NIST Handbook 44, appendix C: 29.5735 mL and 28.349523125 g, both as US customary units).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.model import Pack
from recipes.units import Quantity, quantity


class Of(StrEnum):
    """What a pack holds, where no size is written."""

    PACK = "pack"  # a bottle, a jar: one of what the book buys
    PIECE = "piece"  # each
    THING = "thing"  # 12 of something
    NUMBER = "number"  # a bare number


@dataclass(frozen=True)
class PackSize:
    """So many of a size; or of a pack, a piece or a thing; `number` is a bare number whose unit is left to the book."""

    count: Decimal
    of: Quantity | Of
    number: Decimal = Decimal(1)


class Unsized(StrEnum):
    """Why a pack cannot be compared with the book's."""

    NOT_UNDERSTOOD = "size not understood"
    NO_UNIT = "no unit"
    OTHER_KIND = "bought another way"
    HOW_MANY = "how many pieces"


# fmt: off
_SIZES: dict[str, tuple[int | str, str]] = {
    **dict.fromkeys(("ml", "mls", "millilitre", "millilitres", "milliliter", "milliliters"), (1, "milliliter")),
    **dict.fromkeys(("cl", "centilitre", "centilitres", "centiliter", "centiliters"), (10, "milliliter")),
    **dict.fromkeys(("dl",), (100, "milliliter")),
    **dict.fromkeys(("l", "lt", "ltr", "ltrs", "litre", "litres", "liter", "liters"), (1000, "milliliter")),
    **dict.fromkeys(("floz",), ("29.5735295625", "milliliter")),
    **dict.fromkeys(("gal", "gallon", "gallons"), ("3785.411784", "milliliter")),
    **dict.fromkeys(("g", "gr", "grs", "gram", "grams"), (1, "gram")),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), (1000, "gram")),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), ("453.59237", "gram")),
    **dict.fromkeys(("doz", "dozen", "dz", "dzn"), (12, "piece")),
    **dict.fromkeys(("pc", "pcs", "piece", "pieces", "stück", "stk", "pièce", "pièces", "ud", "pz"), (1, "piece")),
}
_OUNCES = frozenset({"oz", "ozs", "ounce", "ounces"})
_OF_OUNCE = {"[volume]": quantity("29.5735295625", "milliliter"), "[mass]": quantity("28.349523125", "gram")}
_ONES = frozenset({"each", "ea", "ct", "count", "unit", "units", "single", "je"})
_PACKS = frozenset({
    "bottle", "bottles", "btl", "btls", "bt", "can", "cans", "tin", "tins", "jar", "jars", "bunch", "punnet", "bag",
    "tub",
    "flasche", "flaschen", "fl", "bouteille", "bouteilles", "botella", "botellas", "bottiglia", "fles",
})
_CASES = frozenset({
    "case", "cases", "cs", "box", "boxes", "carton", "cartons", "ctn", "crate", "tray", "pack", "packs", "pk", "pkt",
    "karton", "kiste", "kasten", "caisse", "caja", "cassa", "doos",
})
# fmt: on
_FILLERS = frozenset({"of", "the", "a", "per", "à", "zu", "de", "x"})
_TOKEN = re.compile(r"(\d+(?:[.,]\d+)?)|([^\W\d_]+)|([x*\u00d7/])", re.IGNORECASE)
_GLUED_X = re.compile(r"(?<=\d)\s*[x\u00d7*/]\s*(?=\d)", re.IGNORECASE)
_FRACTION = re.compile(r"(\d+)\s*/\s*(\d+)")
_NOT_SAID = re.compile(r"\d\s+\d|\d\s*-\s*\d|^\s*-")  # '1 500 ml' and '12-14 ml' could be anything
MOST_BELOW = 16  # '1/2 l' and '1/6 keg' are fractions, '6/750 ml' is six bottles
LEAST_BARE = 50  # a bare number below this is no size in mL or g that anything is sold in


def read_pack_size(text: str) -> PackSize | None:
    """The size that a text says; None where it is not understood."""
    tokens = _tokens(text)
    if tokens is None:
        return None
    numbers = [Decimal(token) for token in tokens if token[0].isdigit()]
    words = [token for token in tokens if not token[0].isdigit() and token not in _FILLERS]
    units = [word for word in words if word in _SIZES or word in _OUNCES]
    if len(units) > 1 or any(word not in _SIZES.keys() | _OUNCES | _ONES | _PACKS | _CASES for word in words):
        return None
    if units:
        return _sized(tokens, numbers, units[0])
    return _unsized(numbers, set(words))


def price_of_pack(size: PackSize, price: Decimal, pack: Pack) -> Decimal | Unsized:
    """What the book's own pack costs, when a pack of this size costs `price`."""
    one = _one_of(size, pack)
    if isinstance(one, Unsized):
        return one
    if not one.is_compatible_with(pack.size):
        return Unsized.OTHER_KIND
    return Decimal(price * pack.size.m_as(one.units) / (size.count * one.magnitude))


def _one_of(size: PackSize, pack: Pack) -> Quantity | Unsized:
    counted = pack.size.check("[count]")
    several = counted and pack.size.m_as("piece") != 1
    match size.of:
        case Of.PACK:
            return pack.size
        case Of.PIECE:
            return Unsized.HOW_MANY if several else pack.size
        case Of.THING:
            return Unsized.HOW_MANY if several else pack.size
        case Of.NUMBER if counted:
            return quantity(size.number, "piece")
        case Of.NUMBER:
            return Unsized.NO_UNIT if size.number < LEAST_BARE else _base(pack, size.number)
    return _of_ounces(size.of, pack)


def _base(pack: Pack, number: Decimal) -> Quantity:
    return quantity(number, "gram" if pack.size.check("[mass]") else "milliliter")


def _of_ounces(one: Quantity, pack: Pack) -> Quantity:
    """Ounces were kept as such until it is known what the book does with them."""
    if str(one.units) != "ounce":
        return one
    kind = "[mass]" if pack.size.check("[mass]") else "[volume]"
    ounces: Quantity = one.magnitude * _OF_OUNCE[kind]
    return ounces


def _sized(tokens: list[str], numbers: list[Decimal], unit: str) -> PackSize | None:
    """'6 x 700 ml', '700 ml x 6', '1 l', 'kg': the number before the unit is its size, the others how many."""
    at = tokens.index(unit)
    before = tokens[at - 1] if at and tokens[at - 1][0].isdigit() else ""
    number = _thousands(before, unit) if before else Decimal(1)
    counts = numbers.copy()
    if before:
        counts.remove(Decimal(before))
    if not number or any(not count or count % 1 for count in counts):
        return None
    return PackSize(_product(counts), _size(number, unit))


def _size(number: Decimal, unit: str) -> Quantity:
    if unit in _OUNCES:
        return quantity(number, "ounce")
    factor, name = _SIZES[unit]
    return quantity(number * Decimal(factor), name)


def _thousands(number: str, unit: str) -> Decimal:
    """'1.000 ml' is a litre: nobody sells thousandths of a millilitre or a gram."""
    whole, mark, tail = number.partition(".")
    if mark and len(tail) == 3 and whole != "0" and unit in ("ml", "g", "gr"):
        return Decimal(whole + tail)
    return Decimal(number)


def _unsized(numbers: list[Decimal], words: set[str]) -> PackSize | None:
    *counts, last = numbers or [Decimal(1)]
    if any(not number for number in numbers) or any(count % 1 for count in counts):
        return None
    if not words:
        return PackSize(_product(counts), Of.NUMBER, last) if numbers else None
    if last % 1:
        return None
    count = _product([*counts, last])
    if words & _PACKS:
        return PackSize(count, Of.PACK)
    if words & _ONES:
        return PackSize(Decimal(1), quantity(count, "piece")) if count > 1 else PackSize(count, Of.PIECE)
    return PackSize(count, Of.THING) if numbers else None  # 'a case', of nobody knows how many


def _product(numbers: list[Decimal]) -> Decimal:
    product = Decimal(1)
    for number in numbers:
        product *= number
    return product


def _tokens(text: str) -> list[str] | None:
    """Numbers with a point and words in small letters; None where something else is in the text."""
    if any(int(top) < int(below) <= MOST_BELOW for top, below in _FRACTION.findall(text)):
        return None
    folded = _GLUED_X.sub(" x ", text.casefold().replace("fl. oz", "floz").replace("fl oz", "floz"))
    if _NOT_SAID.search(folded):
        return None
    rest = re.sub(r"[\s.,()\-]", "", _TOKEN.sub("", folded))
    found = [number.replace(",", ".") or word for number, word, _ in _TOKEN.findall(folded)]
    return None if rest or not found else [token for token in found if token]
