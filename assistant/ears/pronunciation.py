"""How words are said, in the phones of PocketSphinx's own English dictionary (ARPAbet without stress).

The dictionary in its wheel comes first, with every way that it knows, and what we know beside it (also_said.txt). A
word that it lacks may be one that it has, in British spelling ('litre') or more than one of it ('gimlets'); else it is
said by its letters, as English-speaking bars read them (`grammar.sounds`) and as other languages that could spell it so
do (`grammar.letters`). A name that is not read as written is respelled in the book ('sounds like'), in words it knows.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

import pocketsphinx

from grammar.letters import as_elsewhere
from grammar.sounds import Phones, Voice

MODEL = Path(pocketsphinx.get_model_path()) / "en-us"
ACOUSTIC_MODEL = MODEL / "en-us"
DICTIONARY = MODEL / "cmudict-en-us.dict"
ALSO_SAID = Path(__file__).with_name("also_said.txt")

BRITISH = (
    (re.compile(r"re(?=s?$)"), "er"),
    (re.compile("our"), "or"),
    (re.compile("ph"), "f"),
)  # and as the other side
HISSING, VOICELESS = frozenset({"S", "Z", "SH", "ZH", "CH", "JH"}), frozenset({"P", "T", "K", "F", "TH"})
SHORTEST_PLURAL = 4  # letters
MOST_WAYS = 4  # to say a word by its letters: the bar's first, then other languages'
_OTHER_WAY = re.compile(r"\(\d+\)$")  # 'either(2)'


class Pronouncer:
    """Says words in phones."""

    def __init__(self, dictionary: Mapping[str, tuple[Phones, ...]] | None = None) -> None:
        self._dictionary = english() if dictionary is None else dictionary
        self._voice = Voice(usual_ways() if dictionary is None else _first(dictionary))

    def ways(self, word: str) -> tuple[Phones, ...]:
        """Every way to say one word; empty when none of its letters can be said."""
        plain = _plain(word)
        return (
            self._listed(plain) or tuple(_more_than_one(way) for way in self._of_one(plain)) or self._by_letters(plain)
        )

    def _listed(self, word: str) -> tuple[Phones, ...]:
        """As the dictionary has it, in one spelling or the other."""
        american = (spelt.sub(respelt, word) for spelt, respelt in BRITISH)
        return next((self._dictionary[each] for each in (word, *american) if each in self._dictionary), ())

    def _of_one(self, word: str) -> tuple[Phones, ...]:
        """The ways to say the one of which this is more; none where it is not the plural of anything it could be."""
        if not word.endswith("s") or word.endswith("ss") or len(word) < SHORTEST_PLURAL:
            return ()
        ones = (word[:-1], word[:-2], f"{word[:-3]}y" if word.endswith("ies") else word[:-1])
        return next(filter(None, map(self._listed, ones)), ()) or self._by_letters(ones[-1])

    def _by_letters(self, word: str) -> tuple[Phones, ...]:
        parts = re.findall(r"[a-z]+", word.replace("'", ""))
        here = tuple(phone for part in parts for phone in self._voice.word(part))
        elsewhere = as_elsewhere(parts[0]) if len(parts) == 1 else ()
        return tuple(dict.fromkeys(filter(None, (here, *elsewhere))))[:MOST_WAYS]

    def is_known(self, word: str) -> bool:
        """Whether the dictionary has it, so that nothing was guessed."""
        return _plain(word) in self._dictionary

    def unsayable(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of the words that have no sound: digits, other scripts."""
        return tuple(sorted(word for word in words if not self.ways(word)))


@cache
def english() -> Mapping[str, tuple[Phones, ...]]:
    """The dictionary, with what is said beside it: each word's ways to be said, the usual one first."""
    ways: dict[str, tuple[Phones, ...]] = {}
    for entry, phones in _entries():
        word = _OTHER_WAY.sub("", entry)
        ways[word] = (*ways.get(word, ()), tuple(phones.split()))
    return ways


@cache
def usual_ways() -> Mapping[str, str]:
    """The usual way to say each word of that dictionary, phones parted by spaces: what the grammar takes.

    Read for itself, in a third of the time that all the ways take: the first typed answer waits for it.
    """
    return {entry: phones for entry, phones in _entries() if not entry.endswith(")")}


def _entries() -> Iterator[tuple[str, str]]:
    """The dictionary's lines: a word, with the number of the way in brackets from the second on, and its phones."""
    for file in (DICTIONARY, ALSO_SAID):
        for line in file.read_text(encoding="utf-8").splitlines():
            entry, _, phones = line.partition(" ")
            if entry != "#":
                yield entry, phones


def _more_than_one(way: Phones) -> Phones:
    """A word in the plural, as English says it."""
    if not way or way[-1] in HISSING:
        return (*way, "IH", "Z")
    return (*way, "S" if way[-1] in VOICELESS else "Z")


def _first(dictionary: Mapping[str, tuple[Phones, ...]]) -> dict[str, str]:
    return {word: " ".join(ways[0]) for word, ways in dictionary.items()}


def _plain(word: str) -> str:
    """In small letters, without accents."""
    parted = unicodedata.normalize("NFKD", word.casefold())
    return "".join(letter for letter in parted if not unicodedata.combining(letter)).replace("\u2019", "'")
