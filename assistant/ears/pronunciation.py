"""How words are said, in the phones of PocketSphinx's own English dictionary (ARPAbet without stress).

The dictionary in its wheel comes first, with every way that it knows; a word that it lacks is said by its letters
(`grammar.sounds`). A name that is not read as written is respelled in the book ('sounds like'), in words it knows.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

import pocketsphinx

from grammar.sounds import Phones, Voice

MODEL = Path(pocketsphinx.get_model_path()) / "en-us"
ACOUSTIC_MODEL = MODEL / "en-us"
DICTIONARY = MODEL / "cmudict-en-us.dict"
PHONE_LOOP = MODEL / "en-us-phone.lm.bin"

_OTHER_WAY = re.compile(r"\(\d+\)$")  # 'either(2)'


class Pronouncer:
    """Says words in phones."""

    def __init__(self, dictionary: Mapping[str, tuple[Phones, ...]] | None = None) -> None:
        self._dictionary = english() if dictionary is None else dictionary
        self._voice = Voice(usual_ways() if dictionary is None else _first(dictionary))

    def ways(self, word: str) -> tuple[Phones, ...]:
        """Every way to say one word; empty when none of its letters can be said."""
        plain = _plain(word)
        if plain in self._dictionary:
            return self._dictionary[plain]
        phones = tuple(
            phone for part in re.findall(r"[a-z]+", plain.replace("'", "")) for phone in self._voice.word(part)
        )
        return (phones,) if phones else ()

    def is_known(self, word: str) -> bool:
        """Whether the dictionary has it, so that nothing was guessed."""
        return _plain(word) in self._dictionary

    def unsayable(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of the words that have no sound: digits, other scripts."""
        return tuple(sorted(word for word in words if not self.ways(word)))


@cache
def english() -> Mapping[str, tuple[Phones, ...]]:
    """The dictionary in PocketSphinx's wheel: each word's ways to be said, the usual one first."""
    ways: dict[str, tuple[Phones, ...]] = {}
    for line in DICTIONARY.read_text(encoding="utf-8").splitlines():
        word, *phones = line.split()
        word = _OTHER_WAY.sub("", word)
        ways[word] = (*ways.get(word, ()), tuple(phones))
    return ways


@cache
def usual_ways() -> Mapping[str, str]:
    """The usual way to say each word of that dictionary, phones parted by spaces: what the grammar takes."""
    return _first(english())


def _first(dictionary: Mapping[str, tuple[Phones, ...]]) -> dict[str, str]:
    return {word: " ".join(ways[0]) for word, ways in dictionary.items()}


def _plain(word: str) -> str:
    """In small letters, without accents."""
    parted = unicodedata.normalize("NFKD", word.casefold())
    return "".join(letter for letter in parted if not unicodedata.combining(letter)).replace("\u2019", "'")
