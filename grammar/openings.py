"""Talk before a phrase: 'bad news, we're out of limes'; 'a guest wants an aviation, what's in it?'.

Where the end of a text is a phrase word for word, what stands before it may be set aside, if nothing in it could turn
the meaning: no question word, no hard word, no number. A drink named there is what the phrase is about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar import phrasebook
from grammar.command import Intent
from grammar.exact import Mark, Reading
from grammar.phrasebook import Phrasebook
from grammar.pieces import Text
from grammar.templates import SOFT, WORD, Piece

LONGEST = 10  # words before the phrase
SHORTEST = 3  # words of the phrase
ASKING = frozenset(
    {"are", "is", "do", "does", "did", "has", "have", "can", "could", "should", "would", "will", "if", "whether"}
    | {"what", "what's", "which", "who", "when", "where", "why", "how", "not", "don't"}
)  # words that begin a question, or take back what follows
TAGS = frozenset(
    {"there", "we", "it", "they", "i"}
)  # after one of those, they make a question of what is told: 'is there'
DOUBTING = frozenset({"nearly", "almost", "might", "may", "maybe", "perhaps", "probably", "possibly", "soon", "will"})
ABOUT_A_DRINK = frozenset(
    {Intent.SPEC, Intent.AMOUNT, Intent.BUILD, Intent.SCALE, Intent.WITHOUT, Intent.CONTAINS, Intent.TASTE}
    | {Intent.BALANCE, Intent.FAMILY, Intent.COST, Intent.PRICE_FOR_TARGET, Intent.BATCH, Intent.RIFF}
)
NAMES = frozenset(
    {"drink", "drink_2", "ingredient", "ingredient_2", "family", "family_2", "shelf"}
)  # slots whose words say what is asked about, not what is asked: 'house' in a punch's name


def is_told(words: Sequence[str]) -> bool:
    """Whether a text tells how things are: it does not ask, as 'no mint left, is there', and is in no doubt."""
    asks = words[0] in ASKING or (words[-1] in TAGS and not ASKING.isdisjoint(words[-2:-1]))
    return not asks and DOUBTING.isdisjoint(words)


class Openings:
    """Finds phrases that end a text."""

    def __init__(self, book: Phrasebook) -> None:
        self._book = book

    def readings(self, cut: Text) -> Iterator[Reading]:
        """The readings of the longest phrase that ends the text, what stands before it set aside."""
        heard, edges = cut.heard(), cut.edges()
        for at in range(1, min(LONGEST, len(cut.words) - SHORTEST) + 1):
            before = [piece for piece in cut.pieces if piece.start < at]
            if before[-1].end != at:
                continue
            if not self._may_be_set_aside(before):
                return
            found = [r for r in self._book.parser.starts(phrasebook.SAID, heard, at, edges) if r.end == len(heard)]
            readings = [full for r in found if (full := self._about(r, before, cut.words[at:])) is not None]
            if readings:
                yield from readings
                return

    def _may_be_set_aside(self, before: Sequence[Piece]) -> bool:
        """Whether no piece could turn the meaning of what follows, and at most one names a drink."""
        strange = any(not piece.labels for piece in before)
        if strange and not ASKING.isdisjoint(before[0].labels):
            return False
        heavy = [piece for piece in before if piece.labels and piece.weight >= WORD]
        return all("names.drink" in piece.labels for piece in heavy) and len(heavy) <= 1

    def _about(self, reading: Reading, before: Sequence[Piece], words: Sequence[str]) -> Reading | None:
        """The reading, about the drink that was named before it; None if it says too little to stand alone."""
        named = [(piece, fill) for piece in before for fill in piece.labels.get("names.drink", ())]
        slots = {mark.slot: mark.value for mark in reading.marks}
        lexicon = self._book.lexicon
        in_names = {at for mark in reading.marks if mark.slot in NAMES for at in range(mark.start, mark.end)}
        rest = [word for at, word in enumerate(words, reading.end - len(words)) if at not in in_names]
        says = max((lexicon.weigh(word) for word in rest if word in lexicon.carriers), default=0.0)
        if not named:
            idle = all(piece.labels and piece.weight < SOFT for piece in before)
            told = any(mark.end > mark.start for mark in reading.marks)
            return reading if told and (says >= WORD or idle) else None
        if len(named) > 1 or "drink" in slots or slots["intent"] not in ABOUT_A_DRINK:
            return None
        piece, fill = named[0]
        drink = Mark("drink", fill.value, piece.start, piece.end)
        return Reading(reading.end, (*reading.marks, drink), weight=reading.weight)
