"""When a question is asked again: what is due first, what is new next, and how ready a trainee is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from fsrs import Card, Rating

from assistant.answers.base import Marked
from assistant.training import AGAIN, SCHEDULER, due, known, next_question, rating, readiness
from recipes.model import Book, Drink
from recipes.quiz import Kind, Question

START = datetime(2024, 3, 4, 16, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def marked(drink: str, subject: str = "build", share: tuple[int, int] = (6, 6), at: datetime = START) -> Marked:
    """A mark of Ana's."""
    return Marked("Ana", drink, subject, *share, at)


def drinks(book: Book, *names: str) -> list[Drink]:
    """These drinks of the book."""
    return [book.drinks[name] for name in names]


@pytest.mark.parametrize(
    ("points", "out_of", "expected"),
    [
        (6, 6, Rating.Good),
        (0, 0, Rating.Good),
        (5, 6, Rating.Hard),
        (4, 6, Rating.Hard),
        (3, 6, Rating.Again),
        (0, 1, Rating.Again),
    ],
)
def test_what_a_mark_is_to_the_scheduler(points: int, out_of: int, expected: Rating) -> None:
    """All right is good, two thirds are hard, less is again."""
    assert rating(marked("Gimlet", share=(points, out_of))) is expected


def test_each_answer_is_played_through_the_library() -> None:
    """Where a question stands is what FSRS itself makes of the same answers at the same times."""
    history = ((2, START), (6, START + AGAIN), (6, START + 3 * DAY), (4, START + 9 * DAY))
    card = Card(card_id=1, due=START)
    for points, at in history:
        card, _ = SCHEDULER.review_card(card, rating(marked("Gimlet", share=(points, 6))), at)
    (found,) = known([marked("Gimlet", share=(points, 6), at=at) for points, at in history], START + 10 * DAY)
    assert (found.drink, found.subject, found.due) == ("Gimlet", "build", card.due)
    assert float(found.recall) == pytest.approx(SCHEDULER.get_card_retrievability(card, START + 10 * DAY), abs=1e-4)
    assert found.share == Decimal(4) / 6


def test_what_is_missed_comes_back_soon_and_what_is_known_later() -> None:
    """Missed: in ten minutes. Known: not before tomorrow, and each time after a longer while."""
    (missed,) = known([marked("Gimlet", share=(0, 6))], START)
    assert missed.due == START + AGAIN
    marks: list[Marked] = []
    waits = []
    at = START
    for _ in range(4):
        marks.append(marked("Gimlet", at=at))
        (found,) = known(marks, at)
        waits.append(found.due - at)
        at = found.due
    assert waits[0] >= DAY
    assert waits == sorted(set(waits))


def test_a_mark_that_is_undone_leaves_no_trace() -> None:
    """Without it, the question stands where it stood before."""
    marks = [marked("Gimlet"), marked("Gimlet", share=(0, 6), at=START + DAY)]
    assert known(marks[:1], START + DAY) != known(marks, START + DAY)
    assert known(marks[:1], START + DAY) == known([marked("Gimlet")], START + DAY)


def test_a_clock_that_was_set_back_does_no_harm() -> None:
    """An answer that seems to come before the one before it is taken as coming right after."""
    marks = [marked("Gimlet"), marked("Gimlet", at=START - DAY)]
    assert known(marks, START)[0].due > START


def test_what_is_forgotten_is_due() -> None:
    """The longest due first; what is not of these drinks is left out."""
    marks = [marked("Gimlet"), marked("Daiquiri", share=(0, 9)), marked("Aviation", share=(0, 9))]
    later = START + 30 * DAY
    assert due(known(marks, START), ("Gimlet", "Daiquiri"), START) == ()
    assert [one.drink for one in due(known(marks, later), ("Gimlet", "Daiquiri"), later)] == ["Daiquiri", "Gimlet"]


class TestNextQuestion:
    """What is asked next."""

    def test_what_is_due_comes_before_what_is_new(self, tiny_book: Book) -> None:
        """Yesterday's miss is asked before anything else."""
        pool = drinks(tiny_book, "Gimlet", "Daiquiri", "Aviation")
        marks = [marked("Daiquiri", "method", (0, 1))]
        assert next_question(pool, tiny_book, marks, START + DAY) == Question(Kind.METHOD, "Daiquiri")

    def test_with_nothing_due_something_new_is_asked(self, tiny_book: Book) -> None:
        """And none of it twice, until all has been asked once."""
        pool = drinks(tiny_book, "Gimlet", "Daiquiri")
        marks: list[Marked] = []
        asked = []
        for _ in range(8):
            asked.append(next_question(pool, tiny_book, marks, START, asked[-1] if asked else None))
            marks.append(marked(asked[-1].drink, asked[-1].subject, (1, 1)))
        assert len(set(asked)) == 8

    def test_with_nothing_new_what_is_due_soonest_is_asked(self, tiny_book: Book) -> None:
        """A quiz on one drink never runs dry, and never asks the same thing twice in a row."""
        pool = drinks(tiny_book, "Gimlet")
        marks: list[Marked] = []
        last: Question | None = None
        for turn in range(30):
            asked = next_question(pool, tiny_book, marks, START + turn * timedelta(seconds=20), last)
            assert asked != last
            marks.append(marked("Gimlet", asked.subject, (turn % 2, 1)))
            last = asked

    def test_what_the_book_no_longer_has_is_not_asked(self, tiny_book: Book) -> None:
        """An ingredient that left the drink, and a drink that is not asked about."""
        marks = [
            marked("Gimlet", "amount of orgeat", (0, 3)),
            marked("Aviation", "build", (0, 9)),
            marked("Gimlet", "glass", (0, 1), START + AGAIN),
        ]
        asked = next_question(drinks(tiny_book, "Gimlet"), tiny_book, marks, START + DAY)
        assert asked == Question(Kind.GLASS, "Gimlet")


def test_readiness_is_over_the_whole_section(tiny_book: Book) -> None:
    """A drink never asked counts as nothing; one half known as a half; what fades is less than it was."""
    pool = drinks(tiny_book, "Gimlet", "Daiquiri")
    marks = [marked("Gimlet", share=(6, 6)), marked("Gimlet", "glass", (0, 1))]
    assert readiness(pool, known(marks, START)) == Decimal("0.25")
    assert 0 < readiness(pool, known(marks, START + 30 * DAY)) < Decimal("0.25")
    assert readiness(pool, ()) == 0
    assert readiness((), ()) == 0
