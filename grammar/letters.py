"""How a word that no dictionary has is said by its letters: as bars say it, and as other languages do.

The rules are data: letters.txt for bars that speak English, letters_romance.txt for names from four other languages.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

Phones = tuple[str, ...]

AS_BARS_DO = Path(__file__).with_name("letters.txt")
AS_ELSEWHERE = Path(__file__).with_name("letters_romance.txt")
LANGUAGES = "isfp"  # of the second file, in the order in which they are told
NEVER, ONLY = "never", "only"  # what the spelling of a language has nothing of, and must have something of
MOST_KEPT = 4_096  # words: more than a book's names have


@dataclass(frozen=True)
class _Rule:
    looks: str  # the letters that the file has for those it holds for, or '-'
    left: re.Pattern[str]
    letters: str
    right: re.Pattern[str]
    phones: Phones


@dataclass(frozen=True)
class _Rules:
    by_letter: Mapping[str, list[_Rule]]  # the first of each rule's; in the order of the file
    spellings: Mapping[tuple[str, str], re.Pattern[str]]  # by language, and NEVER or ONLY

    def say(self, word: str, look: str) -> Phones:
        """The phones of a word; letters of no rule (digits, other scripts) are silent."""
        at = 0
        phones: list[str] = []
        while at < len(word):
            rule = next((r for r in self.by_letter.get(word[at], ()) if _fits(r, word, at, look)), None)
            if rule is None:
                at += 1
                continue
            phones += rule.phones
            at += len(rule.letters)
        return tuple(phones)

    def can_be(self, word: str, language: str) -> bool:
        """Whether a word is spelled as a language spells."""
        never, only = (self.spellings.get((language, kind)) for kind in (NEVER, ONLY))
        return not (never and never.search(word)) and not (only and not only.search(word))


def from_letters(word: str) -> Phones:
    """The phones of a word as bars usually say its letters."""
    return _rules(AS_BARS_DO).say(word, "r" if looks_romance(word) else "e")


@lru_cache(MOST_KEPT)
def as_elsewhere(word: str) -> tuple[Phones, ...]:
    """The phones of a word as French, Italian, Spanish and Portuguese have it, of those that could spell it so."""
    rules = _rules(AS_ELSEWHERE)
    return tuple(rules.say(word, language) for language in LANGUAGES if rules.can_be(word, language))


def looks_romance(word: str) -> bool:
    """Whether a word ends as those of Italy and Spain do."""
    return word.endswith(("a", "i", "o", "as", "os")) and len(word) > 2


def _fits(rule: _Rule, word: str, at: int, look: str) -> bool:
    return (
        word.startswith(rule.letters, at)
        and (rule.looks == "-" or look in rule.looks)
        and bool(rule.right.match(word, at + len(rule.letters)))
        and bool(rule.left.search(word[:at]))
    )


@cache
def _rules(file: Path) -> _Rules:
    by_letter: dict[str, list[_Rule]] = {}
    spellings: dict[tuple[str, str], re.Pattern[str]] = {}
    for looks, *line in _lines(file):
        if line[0] in (NEVER, ONLY):
            spellings[looks, line[0]] = re.compile(line[1])
            continue
        left, letters, right, *phones = line
        rule = _Rule(looks, _left(left), letters, _right(right), tuple(p for p in phones if p != "-"))
        by_letter.setdefault(letters[0], []).append(rule)
    return _Rules(by_letter, spellings)


def _lines(file: Path) -> Iterator[list[str]]:
    for line in file.read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            yield line.split()


_CLASSES = {"V": "[aeiouy]", "C": "[^aeiouy]", "N": "[^aeiouyhmn]", "F": "[eiy]", "-": ""}


def _left(context: str) -> re.Pattern[str]:
    spelled = "|".join("".join(_CLASSES.get(c, c) for c in option) for option in context.split("|"))
    return re.compile(f"(?:{spelled})$")


def _right(context: str) -> re.Pattern[str]:
    return re.compile("|".join("".join(_CLASSES.get(c, c) for c in option) for option in context.split("|")))
