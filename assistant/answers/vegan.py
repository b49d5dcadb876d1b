"""What is said to a vegan guest: never yes where the book is silent, and what is known to come from animals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.answers.speech import capital, counted, joined, some
from recipes.safety import Finding, Verdict

NAMED_ALOUD = 4
LABELS = "Check the labels."
TITLES: Mapping[Finding, str] = {
    Finding.YES: "not vegan",
    Finding.UNKNOWN: "unknown, ask: nothing from animals is written down, but not every label is",
    Finding.NO: "vegan by our data",
}


def drink_said(subject: str, verdict: Verdict) -> str:
    """'Is the Whiskey Sour vegan?'"""
    match verdict.finding:
        case Finding.YES:
            through = "" if verdict.holders == (subject,) else f": it has {joined(verdict.holders)}"
            return f"No, the {subject} is not vegan{through}."
        case Finding.NO:
            return f"The {subject} is vegan by our data. {LABELS}"
        case Finding.UNKNOWN:
            return (
                f"Unknown, ask: nothing from animals is written down for the {subject}, but the book does not tell for "
                f"{some(verdict.unknown, NAMED_ALOUD)}. Ask the maker before you promise it."
            )


def drinks_said(not_vegan: Sequence[str], unknown: Sequence[str], vegan: Sequence[str], free: bool) -> list[str]:
    """'Which drinks are vegan?' (`free`), or 'which are not?': those, the others, and what nobody can promise."""
    are_not = f"Not vegan by our data: {some(not_vegan, NAMED_ALOUD)}." if not_vegan else ""
    are = f"{capital(counted(len(vegan), 'drink'))} vegan by our data: {some(vegan, NAMED_ALOUD)}." if vegan else ""
    known = [are or "There is none that I can promise.", _not_told(unknown), are_not]
    return [*filter(None, known if free else known[:0:-1]), LABELS]


def _not_told(unknown: Sequence[str]) -> str:
    if not unknown:
        return ""
    return (
        f"In {counted(len(unknown), 'drink')}, {joined(unknown[:2])} among them, nothing from animals is written down, "
        f"but some labels are unread: unknown, ask the makers."
    )
