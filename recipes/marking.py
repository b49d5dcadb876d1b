"""Marks for the answers to quiz questions. The points are house choice:

- a build: each line 3 for the exact amount, 2 within one jigger step, 1 for the ingredient alone; 0 when left out
- one amount: 3 exact, 2 within one jigger step
- the family: 2; 1 for the family it is a branch of, or a branch of it
- method, glass, what is missing, the drink's name: 1
- each garnish, each thing that changes, each allergen (or that there is none): 1
- what was named and is not so takes 1 off, never below nothing
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from recipes.changes import is_unmeasured
from recipes.model import Book, Drink, Pour
from recipes.portions import portion
from recipes.quiz import Kind, Question, right_names
from recipes.spec import JIGGERED, METRIC, spec_lines
from recipes.units import COUNTED, Amount, Unit

EXACT_POINTS, CLOSE_POINTS, NAMED_POINTS = 3, 2, 1


class Verdict(StrEnum):
    """How one part of an answer compares with the book."""

    EXACT = "exact"
    CLOSE = "close"  # within one jigger step, or a family one branch away
    WRONG = "wrong"  # the right ingredient with another amount
    UNSAID = "unsaid"  # the right ingredient without its amount
    LEFT_OUT = "left out"
    ADDED = "added"  # named, and not so


@dataclass(frozen=True)
class Recited:
    """One thing a trainee named, and how much of it, if they said."""

    name: str
    amount: Amount | None = None


@dataclass(frozen=True)
class Line:
    """One part of an answer, marked."""

    name: str
    verdict: Verdict
    expected: Amount | None = None
    said: Amount | None = None
    points: int = 0
    out_of: int = 0


@dataclass(frozen=True)
class Marking:
    """An answer, marked line by line."""

    question: Question
    lines: tuple[Line, ...]

    @property
    def out_of(self) -> int:
        """What a perfect answer gets."""
        return sum(line.out_of for line in self.lines)

    @property
    def points(self) -> int:
        """What this answer gets."""
        added = sum(line.verdict is Verdict.ADDED for line in self.lines)
        return max(0, sum(line.points for line in self.lines) - added)


def mark(asked: Question, said: Sequence[Recited], book: Book) -> Marking:
    """The marks for an answer; what is said is in the book's names."""
    match asked.kind:
        case Kind.BUILD:
            return Marking(asked, _marked_build(book.drinks[asked.drink], said, book))
        case Kind.AMOUNT:
            return Marking(asked, (_marked_amount(asked, said, book),))
        case Kind.FAMILY:
            return Marking(asked, _marked_family(asked, said, book))
        case Kind.CHANGE:
            before = book.drinks[asked.other].method.value  # 'stirred, not shaken' names both
            said = [one for one in said if one.name != before]
    return Marking(asked, _marked_names(right_names(asked, book), said))


def _marked_build(drink: Drink, said: Sequence[Recited], book: Book) -> tuple[Line, ...]:
    left = list(said)
    lines = []
    for place, pour in enumerate(drink.pours):
        one = next((one for one in left if one.name == pour.ingredient), None)
        if one is not None:
            left.remove(one)
        lines.append(_marked_pour(place, drink, one, book))
    return (*lines, *_added(one for one in left if drink.pour_of(one.name) is None))


def _marked_pour(place: int, drink: Drink, one: Recited | None, book: Book) -> Line:
    pour = drink.pours[place]
    if one is None:
        return Line(pour.ingredient, Verdict.LEFT_OUT, pour.amount, None, 0, EXACT_POINTS)
    verdict = compared(place, drink, one.amount, book)
    points = {Verdict.EXACT: EXACT_POINTS, Verdict.CLOSE: CLOSE_POINTS}.get(verdict, NAMED_POINTS)
    return Line(pour.ingredient, verdict, pour.amount, one.amount, points, EXACT_POINTS)


def _marked_amount(asked: Question, said: Sequence[Recited], book: Book) -> Line:
    drink = book.drinks[asked.drink]
    place = next(i for i, pour in enumerate(drink.pours) if pour.ingredient == asked.ingredient)
    amount = next((one.amount for one in said if one.amount is not None), None)
    verdict = compared(place, drink, amount, book)
    points = {Verdict.EXACT: EXACT_POINTS, Verdict.CLOSE: CLOSE_POINTS}.get(verdict, 0)
    return Line(asked.ingredient, verdict, drink.pours[place].amount, amount, points, EXACT_POINTS)


def _marked_family(asked: Question, said: Sequence[Recited], book: Book) -> tuple[Line, ...]:
    right = right_names(asked, book)[0]
    kin = {rule.id for rule in book.families.values() if rule.branch_of == right}
    kin |= {book.families[right].branch_of or ""} if right in book.families else set()
    named = [one.name for one in said]
    if right in named:
        return (Line(right, Verdict.EXACT, points=2, out_of=2), *_added(one for one in said if one.name != right))
    if kin & set(named):
        return (Line(right, Verdict.CLOSE, points=1, out_of=2),)
    return (Line(right, Verdict.LEFT_OUT, out_of=2), *_added(said))


def _marked_names(right: Sequence[str], said: Sequence[Recited]) -> tuple[Line, ...]:
    named = {one.name for one in said}
    lines = [
        Line(name, Verdict.EXACT, points=1, out_of=1) if name in named else Line(name, Verdict.LEFT_OUT, out_of=1)
        for name in right
    ]
    return (*lines, *_added(one for one in said if one.name not in right))


def _added(said: Iterable[Recited]) -> list[Line]:
    return [Line(one.name, Verdict.ADDED, said=one.amount) for one in said]


def compared(place: int, drink: Drink, said: Amount | None, book: Book) -> Verdict:
    """How an amount compares with the pour at that place of a drink.

    Exact is what the book writes, or what the house reads out for it in ounces, millilitres or parts. Close is within
    one jigger step, or within one where it is dashed or counted.
    """
    pour = drink.pours[place]
    if said is None:
        return Verdict.EXACT if is_unmeasured(pour) else Verdict.UNSAID
    read_out = [spec_lines(drink, book, unit)[place].amount for unit in ("oz", "ml", "part")]
    if said in (pour.amount, *read_out) or (_both_counted(pour, said) and said.number == pour.amount.number):
        return Verdict.EXACT
    return Verdict.CLOSE if _is_close(pour, said, book) else Verdict.WRONG


def _is_close(pour: Pour, said: Amount, book: Book) -> bool:
    if Unit.PART in (said.unit, pour.amount.unit):
        return False
    if _both_counted(pour, said) or (said.unit is pour.amount.unit and said.unit not in JIGGERED):
        return abs(said.number - pour.amount.number) <= 1
    poured, named = (portion(Pour(pour.ingredient, each, pour.role), book).ml for each in (pour.amount, said))
    if not poured or not named:
        return False
    both_metric = {said.unit, pour.amount.unit} <= METRIC
    step = book.house.measures.physical(book.house.metric_step if both_metric else book.house.jigger_step)
    return bool(abs(poured - named) <= step.m_as("milliliter"))


def _both_counted(pour: Pour, said: Amount) -> bool:
    return {pour.amount.unit, said.unit} <= COUNTED
