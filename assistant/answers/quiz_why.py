"""'Why?', asked in a quiz: the rules by which the last answer was marked, and the right answer again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.answers.quiz_words import points_of, right_answer
from assistant.answers.speech import capital, counted, joined, sentence
from recipes.marking import Line, Marking, Verdict
from recipes.model import Book
from recipes.quiz import Kind

MEASURED = (Kind.BUILD, Kind.AMOUNT)  # kinds of question that are answered with amounts
_WHY: Mapping[Verdict, str] = {
    Verdict.EXACT: "right",
    Verdict.CLOSE: "one branch away",
    Verdict.LEFT_OUT: "not named",
    Verdict.ADDED: "named, and not so",
}
_WHY_MEASURED: Mapping[Verdict, str] = {
    Verdict.EXACT: "the exact amount",
    Verdict.CLOSE: "within a jigger step",
    Verdict.WRONG: "more than a jigger step off",
    Verdict.UNSAID: "no amount said",
    Verdict.LEFT_OUT: "left out",
    Verdict.ADDED: "named, and not in it",
}


def why(marking: Marking, book: Book) -> str:
    """The points, the rule for each part of the answer, and what is right."""
    kinds = dict.fromkeys((line.verdict, line.points, line.out_of) for line in marking.lines)
    alike = [[line for line in marking.lines if (line.verdict, line.points, line.out_of) == kind] for kind in kinds]
    total = f"{capital(points_of(marking.points, marking.out_of))}."
    rules = [_rule(lines, marking.question.kind) for lines in alike]
    return " ".join((total, *rules, sentence(right_answer(marking.question, book))))


def _rule(lines: Sequence[Line], kind: Kind) -> str:
    """'Gin and lime juice: the exact amount, three points each.'"""
    first = lines[0]
    reason = (_WHY_MEASURED if kind in MEASURED else _WHY)[first.verdict]
    added = first.verdict is Verdict.ADDED
    points = f"{counted(1, 'point')} off" if added else counted(first.points, "point")
    names = capital(joined([line.name for line in lines]))
    return f"{names}: {reason}, {points}{' each' if len(lines) > 1 else ''}."
