"""Numbers, amounts, money and lists as a person says them aloud.

Everything here is words: a voice reads 'three quarters of an ounce' the same way everywhere, '3/4 oz' it does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from recipes.spec import vulgar
from recipes.units import COUNTED, Amount, Quantity, Unit

# fmt: off
_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)
_TENS = ("zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
# fmt: on
_SCALES = ((1_000_000, "million"), (1_000, "thousand"), (100, "hundred"))
_PARTS = {2: "half", 3: "third", 4: "quarter", 8: "eighth"}
_NOUNS = {
    Unit.OUNCE: "ounce",
    Unit.MILLILITRE: "mil",
    Unit.CENTILITRE: "centilitre",
    Unit.LITRE: "litre",
    Unit.TEASPOON: "teaspoon",
    Unit.TABLESPOON: "tablespoon",
    Unit.GRAM: "gram",
    Unit.KILOGRAM: "kilo",
}  # the other units are said as the book writes them
_METRIC = frozenset({Unit.MILLILITRE, Unit.CENTILITRE, Unit.LITRE, Unit.GRAM, Unit.KILOGRAM})  # no thirds or eighths
_IRREGULAR = {"leaf": "leaves", "mil": "mil", "half": "halves", "percent": "percent", "penny": "pence"}
_MONEY = {
    "USD": ("dollar", "cent"),
    "AUD": ("dollar", "cent"),
    "CAD": ("dollar", "cent"),
    "NZD": ("dollar", "cent"),
    "EUR": ("euro", "cent"),
    "GBP": ("pound", "penny"),
}  # ISO 4217 code: what a unit and a hundredth of it are called
_CENT = Decimal("0.01")


def joined(items: Sequence[str], word: str = "and") -> str:
    """A list as it is said: 'gin, lime and sugar'."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {word} {items[-1]}"


def some(names: Sequence[str], most: int = 3) -> str:
    """A list that a voice does not read to its end: 'Gimlet, Daiquiri, Aviation and four others'."""
    if len(names) <= most + 1:
        return joined(names)
    return joined([*names[:most], counted(len(names) - most, "other")])


def sentence(text: str) -> str:
    """The text with a capital at its head and a stop at its end."""
    return capital(text) + ("" if text.endswith((".", "?", "!")) else ".")


def capital(text: str) -> str:
    """The text with a capital at its head, to go on from: 'Lime juice', 'Two Gimlets'."""
    return f"{text[:1].upper()}{text[1:]}"


def plural(noun: str) -> str:
    """More than one of it: 'ounces', 'leaves', 'Gin Daisies', 'raspberries on a pick'. A final s stays as it is."""
    head, on, rest = noun.partition(" on ")
    *before, last = head.split(" ")
    return " ".join([*before, _plural_word(last)]) + on + rest


def _plural_word(word: str) -> str:
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if word.endswith(("ss", "sh", "ch", "x", "z")):
        return f"{word}es"
    if word.endswith("s"):
        return word
    if word.endswith("y") and word[-2:-1] not in "aeiou" and word != "Mary":
        return f"{word[:-1]}ies"
    return f"{word}s"


def article(noun: str) -> str:
    """'an ounce', 'a dash'."""
    return f"{'an' if noun[0].lower() in 'aeiou' else 'a'} {noun}"


def integer(value: int) -> str:
    """A whole number from zero up in words: 'one hundred and twenty-five'."""
    if value < 20:
        return _ONES[value]
    if value < 100:
        tens, ones = divmod(value, 10)
        return _TENS[tens] + (f"-{_ONES[ones]}" if ones else "")
    size, name = next(scale for scale in _SCALES if value >= scale[0])
    count, rest = divmod(value, size)
    link = "" if not rest else " and " if rest < 100 else " "
    return f"{integer(count)} {name}{link}{integer(rest) if rest else ''}"


def number(value: Decimal | int) -> str:
    """A number in words, with a fraction where one is usual: 'two and three quarters', 'twenty-two point four'."""
    value = Decimal(value)
    fraction = vulgar(abs(value))
    if fraction is None:
        return decimal(value)
    whole, rest = divmod(fraction, 1)
    words = [integer(whole)] if whole or not rest else []
    words += [_part(rest.numerator, rest.denominator)] if rest else []
    return ("minus " if value < 0 else "") + " and ".join(words)


def _part(top: int, bottom: int) -> str:
    name = _PARTS[bottom]
    return article(name) if top == 1 else f"{integer(top)} {plural(name)}"


def decimal(value: Decimal | int, places: int = 2) -> str:
    """A number in words, digit by digit after the point, rounded to at most `places`: 'point nine'."""
    rounded = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    head, _, tail = f"{abs(rounded):f}".partition(".")
    digits = [_ONES[int(digit)] for digit in tail.rstrip("0")]
    words = [integer(int(head))] if int(head) or not digits else []
    words += ["point", *digits] if digits else []
    return ("minus " if rounded < 0 else "") + " ".join(words)


def counted(count: Decimal | int, noun: str) -> str:
    """How many of a thing: 'half an egg white', 'one lime wheel', 'two Gimlets', 'three quarters of an ounce'."""
    count = Decimal(count)
    fraction = vulgar(count)
    if fraction == 1:
        return f"one {noun}"
    if fraction is None or not 0 < fraction < 1:
        return f"{number(count)} {plural(noun)}"
    if fraction.denominator == 2:
        return f"half {article(noun)}"
    return f"{number(count)} of {article(noun)}"


def amount(value: Amount) -> str:
    """An amount in words: 'three quarters of an ounce', 'twenty-two and a half mil', 'two dashes'."""
    if value.unit is Unit.MILLILITRE and value.number >= 1000:
        return amount(Amount(value.number / 1000, Unit.LITRE))
    if value.unit is Unit.GRAM and value.number >= 1000:
        return amount(Amount(value.number / 1000, Unit.KILOGRAM))
    noun = unit_noun(value.unit)
    if value.unit in _METRIC and value.number * 4 % 1:
        return f"{decimal(value.number)} {plural(noun)}"
    return counted(value.number, noun)


def unit_noun(unit: Unit) -> str:
    """What one of a unit is called: 'ounce', 'barspoon'."""
    return _NOUNS.get(unit, unit.value)


def pour(value: Amount, ingredient: str, of: bool = False) -> str:
    """An amount of something: 'two ounces gin' (or, with `of`, 'two ounces of gin'), 'eight mint leaves'."""
    noun = value.unit.value
    if value.unit not in COUNTED or value.unit is Unit.BOTTLE:
        return f"{amount(value)} {'of ' if of else ''}{ingredient}"
    if value.unit is Unit.PIECE or ingredient.endswith(noun):
        return counted(value.number, ingredient)
    return counted(value.number, f"{ingredient} {noun}")


def money(value: Quantity, currency: str) -> str:
    """A sum in words, half-up to the cent: 'three dollars forty', 'forty-five cents'; `currency` as in ISO 4217."""
    exact = value.magnitude
    cents = int((abs(exact) / _CENT).quantize(Decimal(1), ROUND_HALF_UP))
    sign = "minus " if exact < 0 and cents else ""
    if currency not in _MONEY:
        return f"{sign}{decimal(cents * _CENT)} {currency}"
    return sign + _cents_in_words(cents, *_MONEY[currency], nothing=exact == 0)


def _cents_in_words(cents: int, unit: str, hundredth: str, nothing: bool) -> str:
    whole, rest = divmod(cents, 100)
    if not cents:
        return "nothing" if nothing else f"less than {article(hundredth)}"
    if not whole:
        return counted(rest, hundredth)
    if not rest:
        return counted(whole, unit)
    if rest < 10:
        return f"{counted(whole, unit)} and {counted(rest, hundredth)}"
    return f"{counted(whole, unit)} {integer(rest)}"


def percent(points: Decimal | int, places: int = 1) -> str:
    """A share in words; `points` is 22.4 for 22.4 %: 'twenty-two point four percent'."""
    return f"{decimal(points, places)} percent"


def volume(value: Quantity) -> str:
    """A volume in words, as finely as a person would say it: 'ninety-four mil', 'one point six litres'."""
    return _finely(value.m_as("milliliter"), "mil", "litre")


def mass(value: Quantity) -> str:
    """A mass in words, as finely as a person would say it: 'eight point four grams', 'one point two kilos'."""
    return _finely(value.m_as("gram"), "gram", "kilo")


def _finely(value: Decimal, noun: str, thousand: str) -> str:
    if value >= 1000:
        return _said(value / 1000, 2, thousand)
    return _said(value, 0 if value >= 10 else 1, noun)


def _said(value: Decimal, places: int, noun: str) -> str:
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    return f"{decimal(rounded)} {noun if rounded == 1 else plural(noun)}"
