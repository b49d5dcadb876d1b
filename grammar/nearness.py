"""Which names and words come nearest to what was typed or heard, by spelling and by sound."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import OSA, Levenshtein

from grammar.sounds import VOWELS, Phones, Voice, likeness
from grammar.wordings import Wording, Wordings

LOOKED_AT = 5  # candidates compared closely, of each kind
FLOOR = 0.45  # likeness in spelling below this is none
ROUGH = 0.55  # the same for the quick comparison of sounds
SHORTEST = 3  # letters, or phones: shorter ones are alike by chance

# Phones that are easily taken for each other share a letter, so that a quick comparison finds the candidates.
_CLASSES = {
    **dict.fromkeys(("B", "P"), "p"),
    **dict.fromkeys(("D", "T", "DH", "TH"), "t"),
    **dict.fromkeys(("G", "K", "HH"), "k"),
    **dict.fromkeys(("F", "V"), "f"),
    **dict.fromkeys(("S", "Z", "SH", "ZH", "CH", "JH"), "s"),
    **dict.fromkeys(("M", "N", "NG"), "n"),
    **dict.fromkeys(("L", "R"), "l"),
    **dict.fromkeys(("W", "Y"), "w"),
    **dict.fromkeys(VOWELS, "a"),
}


@dataclass(frozen=True)
class Near:
    """A wording near to some words: how alike they are (0..1), and whether spelling or sound says so."""

    wording: Wording
    likeness: float
    how: str  # 'fuzzy' or 'sound'


class NearNames:
    """The wordings of the book, to be found from slips and from words misheard."""

    def __init__(self, wordings: Wordings, voice: Voice) -> None:
        self._voice = voice
        self._wordings = wordings.all
        self._letters = [wording.joined for wording in wordings.all]
        self._phones = [voice.phrase(wording.words) for wording in wordings.all]
        self._codes = [_code(phones) for phones in self._phones]

    def to(self, words: Sequence[str]) -> list[Near]:
        """The wordings nearest to some words, best first, each name once."""
        best: dict[tuple[str, str], Near] = {}
        for near in (*self._by_spelling("".join(words)), *self._by_sound(words)):
            key = (near.wording.kind, near.wording.canonical)
            if key not in best or near.likeness > best[key].likeness:
                best[key] = near
        return sorted(best.values(), key=lambda near: -near.likeness)

    def _by_spelling(self, letters: str) -> Iterable[Near]:
        if len(letters) < SHORTEST:
            return
        found = process.extract(
            letters, self._letters, scorer=OSA.normalized_similarity, score_cutoff=FLOOR, limit=LOOKED_AT
        )
        for _, alike, at in found:
            yield Near(self._wordings[at], alike, "fuzzy")

    def _by_sound(self, words: Sequence[str]) -> Iterable[Near]:
        phones = self._voice.phrase(words)
        if len(phones) < SHORTEST:
            return
        found = process.extract(
            _code(phones), self._codes, scorer=Levenshtein.normalized_similarity, score_cutoff=ROUGH, limit=LOOKED_AT
        )
        for _, _, at in found:
            yield Near(self._wordings[at], likeness(phones, self._phones[at]), "sound")


class NearWords:
    """The words of the phrases, to be found from slips and from words misheard."""

    def __init__(self, words: Iterable[str], voice: Voice) -> None:
        self._voice = voice
        self._words = sorted(words)
        self._sounding: defaultdict[Phones, list[str]] = defaultdict(list)
        for word in self._words:
            self._sounding[voice.word(word)].append(word)

    def to(self, word: str) -> dict[str, float]:
        """The words that this one is a slip of, or sounds like, with how alike they are."""
        slips = max(1, len(word) // 5)
        found: dict[str, float] = {}
        if len(word) >= SHORTEST:
            for near, far, _ in process.extract(word, self._words, scorer=OSA.distance, score_cutoff=slips, limit=4):
                if (
                    len(word) > SHORTEST
                    or sorted(near) == sorted(word)
                    or (len(near) > SHORTEST and near[0] == word[0])
                ):
                    found[near] = 1 - far / max(len(near), len(word))
        phones = self._voice.word(word)
        if len(phones) >= SHORTEST:
            found |= dict.fromkeys(self._sounding.get(phones, ()), 1.0)
        return found


def _code(phones: Phones) -> str:
    return "".join(_CLASSES[phone] for phone in phones)
