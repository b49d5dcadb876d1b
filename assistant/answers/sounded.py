"""What is said of how a name will be heard, with its sounds spelled the way newspapers spell them for readers."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.answers.speech import joined
from assistant.editing.sounding import Sounding
from grammar.sounds import VOWELS

SPELLED = {  # ARPAbet as English readers spell it: common practice
    "AA": "ah", "AE": "a", "AH": "uh", "AO": "aw", "AW": "ow", "AY": "igh", "EH": "e", "ER": "ur", "EY": "ay",
    "IH": "i", "IY": "ee", "OW": "oh", "OY": "oy", "UH": "uu", "UW": "oo",
    "DH": "th", "HH": "h", "JH": "j",
}  # fmt: skip
SHORT = frozenset({"AE", "AH", "EH", "IH", "UH"})
RESPELL = "If that is not how you say it, write under Sounds like how it is said, in common English words."


def respelled(phones: Sequence[str]) -> str:
    """One word in syllables: 'dak-ur-ee'."""
    syllables: list[list[str]] = [[]]
    for at, phone in enumerate(phones):
        if _begins_syllable(at, phones) and any(p in VOWELS for p in syllables[-1]):
            syllables.append([])
        syllables[-1].append(phone)
    return "-".join("".join(SPELLED.get(p, p.lower()) for p in syllable) for syllable in syllables)


def _begins_syllable(at: int, phones: Sequence[str]) -> bool:
    """The last consonant before a vowel does, but for one that closes a short vowel's syllable; then the vowel does."""
    if phones[at] in VOWELS:
        return at > 0 and (phones[at - 1] in VOWELS or _closes(at - 1, phones))
    return at + 1 < len(phones) and phones[at + 1] in VOWELS and not _closes(at, phones)


def _closes(at: int, phones: Sequence[str]) -> bool:
    """Whether a consonant stands alone between a short vowel and the next: the k of 'dak-ur-ee'."""
    alone = phones[at] not in VOWELS and at + 1 < len(phones) and phones[at + 1] in VOWELS
    return alone and at > 0 and phones[at - 1] in SHORT


def heard_as(found: Sounding) -> tuple[str, ...]:
    """Sentences about a name: what is listened for, what was guessed of it, and what it may be taken for."""
    if not found.is_sayable:
        words = f" ({joined(found.mute)})" if found.mute else ""
        return (f"Nobody can say that aloud{words}. Write under Sounds like how it is said, in common English words.",)
    told = [f"Listens for: {' '.join(map(respelled, found.words))}."]
    if found.guessed:
        verb = "is" if len(found.guessed) == 1 else "are"
        told.append(f"{joined(found.guessed)} {verb} in no dictionary, so the sound is a guess. {RESPELL}")
    if found.taken_for:
        told.append(f"Said aloud it is taken for {joined(found.taken_for)}. Respell it, or give it another name.")
    return tuple(told)
