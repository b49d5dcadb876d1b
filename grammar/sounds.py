"""How words sound: phones from a dictionary or from their letters, and how far two sounds are apart.

Phones are ARPAbet without stress, as in the recogniser's own dictionary.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate

from grammar.letters import Phones as Phones
from grammar.letters import from_letters, looks_romance

# Phones that are taken for each other, and how much that counts against them: 1 is a whole phone. Voicing and place are
# confused first, then vowels among themselves (house choice, tuned on what recognisers mishear).
_ALIKE = (
    (0.3, "B P|D T|G K|V F|Z S|ZH SH|JH CH|DH TH|M N|N NG|AA AO|AA AH|IH IY|IH EH|UH UW|EH AE|AH IH|AH UH|AH ER|OW AO"),
    (0.5, "B V|B M|D N|D DH|T TH|F TH|S TH|V DH|S SH|Z ZH|SH CH|ZH JH|T CH|D JH|K T|P T|R L|R W|L W|Y IY|W UW|N M"),
    (0.5, "EY EH|EY IY|EY AE|AY AA|AY AE|AW AA|AW OW|OY AO|AE AA|AE AH|EH AH|AO AH|OW UH|OW UW|ER AO|ER R|OW AH|EY AY"),
    (0.6, "D R|T D|HH K|HH F"),
)
# fmt: off
VOWELS = frozenset({
    "AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW",
})
PHONES = VOWELS | {
    "B", "CH", "D", "DH", "F", "G", "HH", "JH", "K", "L", "M", "N", "NG", "P", "R", "S", "SH", "T", "TH", "V", "W", "Y",
    "Z", "ZH",
}
# fmt: on
_VOWEL_FOR_VOWEL = 0.7
_WEAK = {"HH": 0.4, "AH": 0.5, "IH": 0.6, "R": 0.6, "T": 0.6, "D": 0.6, "Y": 0.5, "W": 0.7, "Z": 0.7, "S": 0.7}
_STRONG = 0.9  # a phone said or heard that the other lacks, unless it is a weak one


def _confusions() -> dict[str, dict[str, float]]:
    """What it costs to take one phone for another: 0 for the same, 1 for two that nobody confuses."""
    costs = {
        one: {other: _VOWEL_FOR_VOWEL if {one, other} <= VOWELS else 1.0 for other in PHONES} | {one: 0.0}
        for one in PHONES
    }
    for cost, pairs in _ALIKE:
        for one, other in (pair.split() for pair in pairs.split("|")):
            costs[one][other] = costs[other][one] = cost
    return costs


_CONFUSED = _confusions()
_DROPPED = {phone: _WEAK.get(phone, _STRONG) for phone in PHONES}
_HISSING = frozenset({"S", "Z", "SH", "ZH", "CH", "JH"})
_VOICELESS = frozenset({"P", "T", "K", "F", "TH"})
MIN_HEAD, MIN_TAIL = 4, 3  # letters of a compound's two halves: shorter ones are chance


class Voice:
    """Says words: by a dictionary (word -> phones parted by spaces) where it has them, else by their letters."""

    def __init__(self, dictionary: Mapping[str, str] | None = None) -> None:
        self._dictionary = dictionary or {}
        self._said: dict[str, Phones] = {}

    def word(self, word: str) -> Phones:
        """The phones of one word."""
        if word not in self._said:
            self._said[word] = self._known(word) or self._several(word) or self._compound(word) or from_letters(word)
        return self._said[word]

    def _known(self, word: str) -> Phones:
        return tuple(phone for phone in self._dictionary.get(word, "").split() if phone in PHONES)

    def _several(self, word: str) -> Phones:
        """A plural of a word that the dictionary has: 'orgeats', 'daisies'."""
        if not word.endswith("s") or len(word) <= MIN_TAIL:
            return ()
        one = self._known(word[:-1]) or (self._known(f"{word[:-3]}y") if word.endswith("ies") else ())
        if not one:
            return ()
        return (*one, *(("IH", "Z") if one[-1] in _HISSING else ("S",) if one[-1] in _VOICELESS else ("Z",)))

    def _compound(self, word: str) -> Phones:
        """Two words of the dictionary written as one: 'tidewrack'; of several ways, the longest first word."""
        if looks_romance(word):
            return ()
        for cut in range(len(word) - MIN_TAIL, MIN_HEAD - 1, -1):
            head, tail = self._known(word[:cut]), self._known(word[cut:])
            if head and tail:
                return head + tail
        return ()

    def knows(self, word: str) -> bool:
        """Whether the dictionary has the word: then it is English, and no slip of the fingers."""
        return word in self._dictionary

    def phrase(self, words: Iterable[str]) -> Phones:
        """The phones of some words, run together."""
        return tuple(phone for word in words for phone in self.word(word))


def distance(one: Sequence[str], other: Sequence[str]) -> float:
    """The least cost of turning one run of phones into the other (weighted edit distance, in phones)."""
    drops = [_DROPPED[phone] for phone in other]
    above = list(accumulate(drops, initial=0.0))
    for mine in one:
        drop, confused = _DROPPED[mine], _CONFUSED[mine]
        here = above[0] + drop
        row = [here]
        for column, theirs in enumerate(other):
            across = above[column] + confused[theirs]
            down = above[column + 1] + drop
            here += drops[column]
            here = across if across < here and across < down else down if down < here else here
            row.append(here)
        above = row
    return above[-1]


def likeness(one: Sequence[str], other: Sequence[str]) -> float:
    """How alike two runs of phones are: 1 the same, 0 nothing in common."""
    longer = max(len(one), len(other))
    return max(0.0, 1 - distance(one, other) / longer) if longer else 0.0
