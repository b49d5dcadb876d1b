"""What a trainee knows, and when each question is due again: the marks so far, played through FSRS in their order.

FSRS (Free Spaced Repetition Scheduler, the `fsrs` library) reckons from each answer how long it will be remembered.
Only marks are stored; where each question stands is worked out from them, so that an undone mark leaves no trace.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import islice

from fsrs import Card, Rating, Scheduler

from assistant.answers.base import Marked
from recipes.model import Book, Drink
from recipes.quiz import Kind, Question, question, still_asked

AGAIN = timedelta(minutes=10)  # until what was missed is asked again: house choice
NEARLY = Fraction(2, 3)  # of the points: from here an answer counts as known, though hard: house choice
SCHEDULER = Scheduler(
    desired_retention=0.9,  # asked again when it is nine in ten that it is still known: the library's own choice
    learning_steps=(AGAIN,),
    relearning_steps=(AGAIN,),
    enable_fuzzing=False,  # the same answers always lead to the same days
)


@dataclass(frozen=True)
class Known:
    """How well one question is known, as of one moment."""

    drink: str
    subject: str  # as in Question
    share: Decimal  # of the points, at the last answer
    recall: Decimal  # the chance that what was known then is still known, 0..1
    due: datetime

    @property
    def chance(self) -> Decimal:
        """How much of the answer is likely to be right now, 0..1."""
        return self.share * self.recall


def known(marks: Iterable[Marked], now: datetime) -> tuple[Known, ...]:
    """Every question that was ever asked, the longest due first; `marks` are oldest first."""
    cards: dict[tuple[str, str], Card] = {}
    last: dict[tuple[str, str], Marked] = {}
    for mark in _in_time(marks, now):
        key = mark.drink, mark.kind
        card = cards.get(key, Card(card_id=len(cards), due=mark.at.astimezone(UTC)))
        at = max(mark.at, card.last_review or mark.at).astimezone(UTC)  # a clock may have been set back
        cards[key], _ = SCHEDULER.review_card(card, rating(mark), at)
        last[key] = mark
    found = [_known(last[key], card, now.astimezone(UTC)) for key, card in cards.items()]
    return tuple(sorted(found, key=lambda one: one.due))


def _in_time(marks: Iterable[Marked], now: datetime) -> list[Marked]:
    """The marks with none in the future: the clock was ahead then, and they were made before whatever came after them.

    Otherwise what was answered while the clock was ahead would not be due again for as long as it was ahead.
    """
    found, latest = [], now
    for mark in reversed(list(marks)):
        if mark.at > now:
            mark = replace(mark, at=latest)
        latest = mark.at
        found.append(mark)
    return found[::-1]


def _known(mark: Marked, card: Card, now: datetime) -> Known:
    recall = Decimal(str(round(SCHEDULER.get_card_retrievability(card, now), 4)))
    return Known(mark.drink, mark.kind, Decimal(mark.points) / (mark.out_of or 1), recall, card.due)


def rating(mark: Marked) -> Rating:
    """What a mark is to the scheduler: all points are good, from two thirds of them hard, below that again."""
    if mark.points >= mark.out_of:
        return Rating.Good
    return Rating.Hard if Fraction(mark.points, mark.out_of) >= NEARLY else Rating.Again


def due(found: Iterable[Known], drinks: Iterable[str], now: datetime) -> tuple[Known, ...]:
    """What of these drinks should be asked again by now, the longest due first."""
    names = set(drinks)
    return tuple(one for one in found if one.due <= now and one.drink in names)


def next_question(
    drinks: Sequence[Drink], book: Book, marks: Sequence[Marked], now: datetime, last: Question | None = None
) -> Question:
    """What to ask now: what is due, else something new, else what will be due soonest; never `last` if there is else.

    Raises ValueError when there are no drinks.
    """
    choices = _choices(drinks, book, known(marks, now), len(marks), now)
    return next((each for each in choices if each != last), last or question(drinks, book, len(marks)))


def _choices(
    drinks: Sequence[Drink], book: Book, found: Sequence[Known], turn: int, now: datetime
) -> Iterator[Question]:
    asked = {Question.of(one.drink, one.subject): one for one in found}
    by_name = {drink.name: drink for drink in drinks}
    again = [each for each in asked if each.drink in by_name]
    ripe = [each for each in again if asked[each].due <= now]
    series = (question(drinks, book, turn + more) for more in range(len(drinks) * len(Kind)))
    yield from (each for each in ripe if still_asked(each, by_name[each.drink], book))
    yield from islice((each for each in series if each not in asked), 1)
    yield from (each for each in again if still_asked(each, by_name[each.drink], book))


def readiness(drinks: Sequence[Drink], found: Iterable[Known]) -> Decimal:
    """How ready a trainee is for these drinks, 0..1: the mean of what is likely to be right, drink by drink.

    A drink that was never asked counts as nothing, so that a section is ready only when all of it is.
    """
    chances: dict[str, list[Decimal]] = {drink.name: [] for drink in drinks}
    for one in found:
        if one.drink in chances:
            chances[one.drink].append(one.chance)
    means = [sum(each, Decimal(0)) / len(each) if each else Decimal(0) for each in chances.values()]
    return sum(means, Decimal(0)) / len(means) if means else Decimal(0)
