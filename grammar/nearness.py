"""Which names and words come nearest to what was typed or heard, by spelling and by sound."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import OSA, Levenshtein

from grammar.sounds import VOWELS, Phones, Voice, likeness
from grammar.wordings import Wording, Wordings

LOOKED_AT = 5  # candidates compared closely, of each kind
CLOSE_SOUND = 0.82  # names less alike than this in sound are not taken for each other
CLOSE_WORDS = 0.88  # the same for words that are English themselves
CLOSE_WORD = 0.99  # and for a single one: 'sidebar' is no sidecar
FLOOR = 0.45  # likeness in spelling below this is none
ROUGH = 0.55  # the same for the quick comparison of sounds
LEAST_APART = 0.4  # of a phone: two sounds are that far apart, or more, for each letter of that comparison
SHORTEST = 3  # letters, or phones: shorter ones are alike by chance
TAIL = 2  # letters after a name that may still be its own: 'gimletes'

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
    """A wording near to some words, and what makes it so."""

    wording: Wording
    likeness: float  # 0..1
    how: str  # 'fuzzy' (spelling) or 'sound'
    close: bool  # alike enough to be meant; else only to be offered


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
        return _best([*self._by_spelling(words), *self._by_sound(words, ROUGH)])

    def close(self, words: Sequence[str]) -> list[Near]:
        """Those of them alone that are close enough to be meant; found in less time, since most words have none."""
        rough = 1 - (1 - self._least(words)) / LEAST_APART
        return _best(near for near in (*self._by_spelling(words), *self._by_sound(words, rough)) if near.close)

    def _by_spelling(self, words: Sequence[str]) -> Iterable[Near]:
        letters = "".join(words)
        if len(letters) < SHORTEST:
            return
        if all(map(self._voice.knows, words)):
            return  # English words are no slips of the fingers
        found = process.extract(
            letters, self._letters, scorer=OSA.normalized_similarity, score_cutoff=FLOOR, limit=LOOKED_AT
        )
        for _, alike, at in found:
            far = round((1 - alike) * max(len(letters), len(self._letters[at])))
            close = _is_slip(letters, self._letters[at], far) and not _runs_on(letters, self._letters[at])
            yield Near(self._wordings[at], alike, "fuzzy", close)

    def _by_sound(self, words: Sequence[str], rough: float) -> Iterable[Near]:
        phones = self._voice.phrase(words)
        if len(phones) < SHORTEST:
            return
        found = process.extract(
            _code(phones), self._codes, scorer=Levenshtein.normalized_similarity, score_cutoff=rough, limit=LOOKED_AT
        )
        least = self._least(words)
        for _, _, at in found:
            alike = likeness(phones, self._phones[at])
            runs_on = _runs_on("".join(words), self._letters[at])
            yield Near(self._wordings[at], alike, "sound", alike >= least and not runs_on)

    def _least(self, words: Sequence[str]) -> float:
        """How alike in sound a name must be at least to be meant by these words."""
        if not all(map(self._voice.knows, words)):
            return CLOSE_SOUND
        return CLOSE_WORD if len(words) == 1 else CLOSE_WORDS


def _best(found: Iterable[Near]) -> list[Near]:
    """Each name once, as the wording that is nearest, the closest and likest first."""
    best: dict[tuple[str, str], Near] = {}
    for near in found:
        key = (near.wording.kind, near.wording.canonical)
        if key not in best or (near.close, near.likeness) > (best[key].close, best[key].likeness):
            best[key] = near
    return sorted(best.values(), key=lambda near: (-near.close, -near.likeness))


def _runs_on(letters: str, name: str) -> bool:
    """Whether these are a name's letters and more of a word of its own: 'bamboozle' is no Bamboo."""
    one = name.removesuffix("s")
    return letters.startswith(one) and len(letters) > len(one) + TAIL


def _is_slip(letters: str, meant: str, far: int) -> bool:
    """Whether so many slips of the fingers may be in a word: one up to seven letters, two up to eleven, then three.

    Of four letters, one that is another makes another word ('cold', 'cola').
    """
    if len(letters) <= SHORTEST + 1 and len(letters) == len(meant):
        return sorted(letters) == sorted(meant)
    return far <= 1 + (len(letters) > 7) + (len(letters) > 11) and len(letters) > SHORTEST


class NearWords:
    """The words of the phrases, to be found from slips and from words misheard."""

    def __init__(self, words: Iterable[str], small: Collection[str], voice: Voice) -> None:
        """Of `small` words, only letters that changed places make a slip: they are like too many others."""
        self._voice = voice
        self._small = small
        self._words = sorted(words)
        self._sounding: defaultdict[Phones, list[str]] = defaultdict(list)
        for word in self._words:
            self._sounding[voice.word(word)].append(word)

    def to(self, word: str) -> dict[str, float]:
        """The words that this one is a slip of, or sounds like, with how alike they are."""
        alike = self._sounding.get(self._voice.word(word), []) if len(word) >= SHORTEST else []
        found = {near: 1.0 for near in alike if near not in self._small}
        if self._voice.knows(word):
            return found
        slips = max(1, len(word) // 5)
        near_ones = process.extract(word, self._words, scorer=OSA.distance, score_cutoff=slips, limit=4)
        for near, far, _ in near_ones if len(word) >= SHORTEST else ():
            if sorted(near) == sorted(word) or (near not in self._small and _may_be_short_for(near, word)):
                found.setdefault(near, 1 - far / max(len(near), len(word)))
        return found


def _may_be_short_for(near: str, word: str) -> bool:
    """A word of three letters may lack one of its own, but is no slip of another three."""
    return len(word) > SHORTEST or (len(near) > SHORTEST and near[0] == word[0])


def _code(phones: Phones) -> str:
    return "".join(_CLASSES[phone] for phone in phones)
