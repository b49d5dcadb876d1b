"""The floor test: so many questions, nothing told before the end, and a result that is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from assistant.answers import quiz
from assistant.answers.base import Answer, FloorTest, Marked, Scene
from assistant.answers.floor_test import LENGTH
from assistant.answers.quiz_round import open_round, stopped
from assistant.answers.quiz_words import right_answer
from assistant.messages import Focus, Table
from grammar.command import Command, Intent
from recipes.loader import load_book
from recipes.model import Book

TEST = Command(Intent.QUIZ, {"shelf": "classics", "text": "test"})


@pytest.fixture(scope="module")
def book() -> Book:
    """The book that ships."""
    return load_book()


def scene(book: Book, focus: Focus) -> Scene:
    """Ana's."""
    return Scene(book, frozenset(), focus, "Ana")


def taken(book: Book, right: int) -> list[Answer]:
    """A whole test, of which so many answers are what the book has, and the rest are skipped."""
    answers = [quiz.quiz(TEST, scene(book, Focus()))]
    for turn in range(LENGTH):
        going = open_round(answers[-1].focus)
        assert going is not None
        if turn < right:
            said = Command(Intent.ANSWER, {"text": right_answer(going.asked, book).partition(":")[0]})
            answers.append(quiz.answer(said, scene(book, answers[-1].focus)))
        else:
            answers.append(quiz.skip(Command(Intent.SKIP), scene(book, answers[-1].focus)))
    return answers


def test_it_says_how_long_it_is_and_what_passes(book: Book) -> None:
    """Before the first question."""
    say = quiz.quiz(TEST, scene(book, Focus())).reply.say
    assert say.startswith(
        "Floor test on Classics: twenty questions, and eighty percent passes. The marks come at the end. "
    )


def test_nothing_is_told_before_the_end(book: Book) -> None:
    """Neither right answers nor points, on the card or aloud; every answer is marked and kept all the same."""
    answers = taken(book, right=10)[1:-1]
    assert {answer.reply.say.partition(" ")[0] for answer in answers} == {"Noted."}
    assert [answer.reply.card.kind for answer in answers if answer.reply.card] == ["quiz"] * (LENGTH - 1)
    assert all(isinstance(answer.change, Marked) and not answer.also for answer in answers)


def test_the_questions_are_all_different(book: Book) -> None:
    """Twenty things are asked."""
    rounds = [open_round(answer.focus) for answer in taken(book, right=0)[:-1]]
    assert len({going.asked for going in rounds if going}) == LENGTH


def test_who_knows_it_passes(book: Book) -> None:
    """All answers right: passed, and the result is kept beside the last mark."""
    last = taken(book, right=LENGTH)[-1]
    assert "one hundred percent. You have passed." in last.reply.say
    assert isinstance(last.change, Marked)
    (result,) = last.also
    assert isinstance(result, FloorTest)
    assert (result.trainee, result.title, result.passed) == ("Ana", "Classics", True)
    assert result.points == result.out_of
    assert open_round(last.focus) is None


def test_who_does_not_know_it_is_told_what_to_look_at(book: Book) -> None:
    """Half of it: not passed, the drinks to look at, and the card with every right answer."""
    last = taken(book, right=10)[-1]
    assert "That is not yet the eighty percent that it takes. Look again at the " in last.reply.say
    (result,) = last.also
    assert isinstance(result, FloorTest)
    assert not result.passed
    assert last.reply.card is not None
    table = last.reply.card.blocks[0]
    assert isinstance(table, Table)
    assert [row.tone for row in table.rows] == ["good"] * 10 + ["warn"] * 10


def test_the_score_waits_for_the_end(book: Book) -> None:
    """'How am I doing', asked in a test, is not told; the question comes again."""
    going = quiz.quiz(TEST, scene(book, Focus()))
    say = quiz.score(Command(Intent.SCORE), scene(book, going.focus)).reply.say
    assert say.startswith("That is told at the end of the test. Back to the question. ")


def test_a_test_that_is_dropped_has_no_result(book: Book) -> None:
    """'Stop' says so."""
    going = quiz.quiz(TEST, scene(book, Focus()))
    assert stopped(going.focus) == "The floor test is over before its end, so it has no result."


def test_a_drink_that_leaves_the_book_in_a_test_does_not_break_it(book: Book) -> None:
    """Whatever was asked about a drink that is gone by the end is left off the card."""
    focus = taken(book, right=0)[-2].focus
    going = open_round(focus)
    assert going is not None
    gone = going.markings[0].question.drink
    drinks = {name: drink for name, drink in book.drinks.items() if name != gone}
    less = Scene(replace(book, drinks=drinks), frozenset(), focus, "Ana")
    last = quiz.skip(Command(Intent.SKIP), less)
    assert last.also
    assert last.reply.card is not None
    table = last.reply.card.blocks[0]
    assert isinstance(table, Table)
    assert gone not in {row.label for row in table.rows}


class TestResults:
    """'Show me the test results': for whoever runs the floor."""

    TESTS = (
        FloorTest("Ana", "Classics", 33, 40, True, datetime(2024, 3, 4, tzinfo=UTC)),
        FloorTest("Bo", "The Fogbell", 12, 40, False, datetime(2024, 3, 5, tzinfo=UTC)),
    )
    ASKED = Command(Intent.SCORE, {"text": "tests"})

    def test_every_trainee_is_on_the_card(self, book: Book) -> None:
        """The newest first, with the day and whether it was passed."""
        found = quiz.score(self.ASKED, Scene(book, frozenset(), Focus(), "office", tests=self.TESTS))
        assert found.reply.say == "Two floor tests so far. The last was by Bo, on The Fogbell: not passed."
        assert found.reply.card is not None
        table = found.reply.card.blocks[0]
        assert isinstance(table, Table)
        assert [(row.label, row.note, row.tone) for row in table.rows] == [
            ("Bo", "2024-03-05, not passed", "warn"),
            ("Ana", "2024-03-04, passed", "good"),
        ]

    def test_before_the_first_there_is_none(self, book: Book) -> None:
        """And that is said."""
        say = quiz.score(self.ASKED, Scene(book, frozenset(), Focus())).reply.say
        assert say == "Nobody has taken a floor test yet."
