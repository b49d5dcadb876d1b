"""Text as it came, to the words a grammar is written in: lower case, no accents, numbers in words, no punctuation.

Each word keeps where it stood in the text, so that a slot can show what it was taken from.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from grammar.numbers import in_words

MAX_CHARACTERS = 600  # more than anyone says in one breath
MAX_WORDS = 80

# How the phrases spell what people also write otherwise; a value may be several words.
SPELLINGS = {
    "oz": "ounces",
    "ozs": "ounces",
    "ml": "mils",
    "mls": "mils",
    "mill": "mil",
    "mills": "mils",
    "milliliter": "millilitre",
    "milliliters": "millilitres",
    "cl": "centilitres",
    "centiliter": "centilitre",
    "centiliters": "centilitres",
    "liter": "litre",
    "liters": "litres",
    "ltr": "litre",
    "qt": "quarts",
    "qts": "quarts",
    "gal": "gallons",
    "gals": "gallons",
    "tsp": "teaspoons",
    "tbsp": "tablespoons",
    "bsp": "barspoons",
    "kg": "kilos",
    "pct": "percent",
    "abv": "a b v",
    "vs": "versus",
    "thru": "through",
    "flavor": "flavour",
    "flavors": "flavours",
    "sulfite": "sulphite",
    "sulfites": "sulphites",
    "whisky": "whiskey",
    "whiskies": "whiskeys",
    "ok": "okay",
    "u": "you",
    "w": "with",
    "wo": "without",
    "n": "and",
    "pls": "please",
    "plz": "please",
    "thx": "thanks",
    "cuz": "because",
    "nvm": "never mind",
    "wat": "what",
    "wut": "what",
    "wot": "what",
    "wats": "what's",
    "wots": "what's",
    "wich": "which",
    "teh": "the",
    "hte": "the",
    "abt": "about",
    "ur": "your",
    "r": "are",
    "celiac": "coeliac",
    "celiacs": "coeliacs",
    "gp": "g p",
    "howd": "how did",
    "hed": "he would",
    "whatre": "what are",
    "idk": "i don't know",
    "gimme": "give me",
    "lemme": "let me",
    "k": "okay",
}
# fmt: off
_CONTRACTIONS = frozenset({
    "what's", "that's", "it's", "there's", "how's", "let's", "who's", "where's", "here's", "she's", "he's",
    "why's", "i'm", "i'd", "i've", "i'll", "we're", "we've", "we'll", "you're", "you've", "they're", "don't",
    "doesn't", "didn't", "can't", "won't", "isn't", "aren't", "wasn't", "haven't", "hasn't", "couldn't",
    "shouldn't", "ma'am", "o'clock", "what've", "what'll", "that'll",
})
# fmt: on
# Typed without their apostrophe; 'were', 'well', 'ill', 'id' and 'its' are words of their own.
_BARE = {c.replace("'", ""): c for c in _CONTRACTIONS - {"we're", "we'll", "i'll", "i'd", "it's"}}
_AFTER_NUMBER = {"l": "litres", "g": "grams", "c": "cents", "¢": "cents", "%": "percent", "ts": "teaspoons", "d": ""}
_SYMBOLS = {"&": "and", "%": "percent", "+": "and"}
_MONEY = {"$": "dollars", "€": "euros", "£": "pounds"}

_SLASH = "\N{FRACTION SLASH}"
_APOSTROPHES = {
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "`": "'",
    "\N{ACUTE ACCENT}": "'",
}
_TOKEN = re.compile(
    r"""
    (?P<money>[$€£])\s?(?P<sum>\d{1,6}(?:[.,]\d{1,2})?)(?![\d/])
  | (?P<mixed>\d{1,4})[\s-]+(?P<above>\d{1,2})/(?P<below>\d{1,2})(?!\d)
  | (?P<top>\d{1,2})/(?P<bottom>\d{1,2})(?!\d)
  | (?P<times>[xX])(?=\d)
  | (?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d*\.\d+|\d+)
  | (?P<symbol>[%¢&+])
  | (?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    """,
    re.VERBOSE,
)
_HOW_IT_IS = re.compile(r"\s+(?:gone|out|back|empty|finished|done|off)\b")  # before it, 's is 'is': "gin's gone"


@dataclass(frozen=True)
class Said:
    """One word, and the stretch of the text that it came from."""

    word: str
    start: int
    end: int


def words(text: str) -> tuple[Said, ...]:
    """The words of a text; empty when it holds none, or is longer than anything said."""
    if len(text) > MAX_CHARACTERS:
        return ()
    plain, origin = _plain(text)
    found: list[Said] = []
    after_number = False
    for match in _TOKEN.finditer(plain):
        start, end = origin[match.start()], origin[match.end() - 1] + 1
        found += [Said(word, start, end) for word in _spoken(match, after_number).split()]
        after_number = match["number"] is not None or match["bottom"] is not None or match["mixed"] is not None
    return tuple(found) if len(found) <= MAX_WORDS else ()


def phrase(text: str) -> tuple[str, ...]:
    """The words of a text alone: how a name of the book is compared and said."""
    return tuple(said.word for said in words(text))


def _plain(text: str) -> tuple[str, list[int]]:
    """The text without case and accents, and where in it each character came from."""
    plain: list[str] = []
    origin: list[int] = []
    for at, character in enumerate(text):
        spread = unicodedata.normalize("NFKD", _APOSTROPHES.get(character, character)).casefold()
        if unicodedata.decomposition(character).startswith("<fraction>"):
            spread = f" {spread.replace(_SLASH, '/')}"
        for part in spread:
            if not unicodedata.combining(part):
                plain.append(part)
                origin.append(at)
    return "".join(plain), origin


def _spoken(match: re.Match[str], after_number: bool) -> str:
    if match["money"]:
        return _sum(Decimal(match["sum"].replace(",", ".")), _MONEY[match["money"]]) or match[0]
    if match["mixed"]:
        return _fraction(int(match["mixed"]), int(match["above"]), int(match["below"])) or match[0]
    if match["top"]:
        return _fraction(0, int(match["top"]), int(match["bottom"])) or match[0]
    if match["times"]:
        return "times"
    if match["number"]:
        return in_words(Decimal(match["number"].replace(",", ""))) or match[0]
    if after_number and match[0] in _AFTER_NUMBER:
        return _AFTER_NUMBER[match[0]]
    if match["symbol"]:
        return _SYMBOLS.get(match[0], "")
    word = match["word"]
    if word.endswith("'s") and word not in _CONTRACTIONS and _HOW_IT_IS.match(match.string, match.end()):
        return f"{_word(word[:-2])} is"
    return _word(word)


def _word(word: str) -> str:
    if word in _CONTRACTIONS:
        return word
    if word in _BARE:
        return _BARE[word]
    bare = word.replace("'", "")
    return SPELLINGS.get(bare, bare)


def _sum(money: Decimal, name: str) -> str | None:
    whole, cents = divmod(int(money * 100), 100)
    dollars, rest = in_words(whole), in_words(cents)
    if dollars is None or not cents:
        return dollars and f"{dollars} {name}"
    return f"{dollars} {name} {rest}" if whole else f"{rest} cents"


def _fraction(whole: int, above: int, below: int) -> str | None:
    return in_words(whole + Fraction(above, below)) if below and above else None
