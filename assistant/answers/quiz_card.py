"""The cards of the quiz: the question, the answer beside the book, and what is known so far in bars."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from assistant.answers.base import FloorTest
from assistant.answers.figures import amount_figure, percent_figure
from assistant.answers.people import signed
from assistant.answers.quiz_words import right_answer
from assistant.answers.speech import sentence
from assistant.messages import Bar, Bars, Block, Card, Figure, Note, Row, Table, Tone
from recipes.marking import Line, Marking, Verdict
from recipes.model import Book
from recipes.quiz import Standing

PICTURED = 10  # how many bars a picture has at most
RULES = (  # those of recipes.marking, in a trainee's words
    ("the exact amount", "3 points"),
    ("within a jigger step", "2 points"),
    ("the ingredient, another amount", "1 point"),
    ("left out", "0 points"),
    ("named, and not in it", "1 point off"),
    ("the family", "2 points, 1 for one branch away"),
    ("method, glass, garnish, what is missing", "1 point each"),
    ("the drink's name, each change, each allergen", "1 point each"),
)
READY = Decimal("0.8")  # of a section: as much as a floor test takes

_TONES: Mapping[Verdict, Tone] = {
    Verdict.EXACT: "good",
    Verdict.CLOSE: "plain",
    Verdict.WRONG: "warn",
    Verdict.UNSAID: "warn",
    Verdict.LEFT_OUT: "warn",
    Verdict.ADDED: "warn",
}


def question_card(question: str, title: str, length: int, hint: str) -> Card:
    """The first question of a round, and how answers are marked."""
    table = Table(tuple(Row(answer, (points,)) for answer, points in RULES), title="How it is marked")
    return Card("quiz", question, (title, f"question 1 of {length}"), (Note(hint, "muted"), table))


def marking_card(marking: Marking, book: Book, following: str = "") -> Card:
    """What was said beside what the book has, line by line, and the question that follows."""
    rows = tuple(Row(line.name, _cells(line), line.verdict.value, _TONES[line.verdict]) for line in marking.lines)
    points = f"{marking.points} of {marking.out_of}"
    blocks: list[Block] = [
        Table(rows, ("", "book", "you", "points")),
        Note(sentence(right_answer(marking.question, book))),
    ]
    blocks += [Note(following, "strong")] if following else []
    return Card("answer", marking.question.drink, (marking.question.subject, points), tuple(blocks))


def _cells(line: Line) -> tuple[Figure | str, ...]:
    wanted = amount_figure(line.expected) if line.expected else ""
    said = amount_figure(line.said) if line.said else ""
    taken = -1 if line.verdict is Verdict.ADDED else line.points
    return wanted, said, Figure(Decimal(taken), "points", f"{taken} of {line.out_of}" if line.out_of else str(taken))


def score_card(
    by_drink: Sequence[Standing],
    by_family: Sequence[Standing],
    ready: Mapping[str, Decimal],
    tests: Sequence[FloorTest],
    name: str = "",
) -> Card:
    """How ready for each section, what is known of each family and drink, the least known first, and floor tests.

    Of somebody else, by name, the floor tests come first: that is what whoever runs the floor asks for.
    """
    taken = [tests_table(tests)] if tests else []
    blocks: list[Block] = [*(taken if name else ()), _readiness(ready)]
    blocks += [_picture(title, found) for title, found in (("By family", by_family), ("By drink", by_drink)) if found]
    blocks += () if name else taken
    title = f"What {name} knows" if name else "What you know"
    return Card("score", title, ("latest answer to each question",), tuple(blocks))


def _readiness(ready: Mapping[str, Decimal]) -> Bars:
    bars = tuple(
        Bar(title, percent_figure(share * 100, 0), tone="good" if share >= READY else "warn")
        for title, share in ready.items()
    )
    return Bars(bars, tuple(Decimal(100) for _ in bars), "Ready for each section")


def tests_table(tests: Sequence[FloorTest]) -> Table:
    """Floor tests, the newest first."""
    rows = tuple(
        Row(
            signed(test.trainee),
            (test.title, percent_figure(Decimal(100 * test.points) / (test.out_of or 1), 0)),
            f"{test.at:%Y-%m-%d}, {'passed' if test.passed else 'not passed'}",
            "good" if test.passed else "warn",
        )
        for test in reversed(tests)
    )
    return Table(rows, ("trainee", "on", "points"), "Floor tests")


def _picture(title: str, found: Sequence[Standing]) -> Bars:
    shown = found[:PICTURED]
    bars = tuple(
        Bar(each.name, percent_figure(each.share * 100, 0), tone="good" if each.share == 1 else "warn")
        for each in shown
    )
    return Bars(bars, tuple(Decimal(100) for _ in bars), title)
