"""Marking agrees with a trainer's own marks."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from assistant.names import names_of
from assistant.reading import QuizEar
from assistant.reciting import recited
from grammar.command import Command, Intent
from grammar.matcher import Matcher
from recipes.loader import load_book
from recipes.marking import mark
from recipes.model import Book
from recipes.quiz import Kind, Question

ANSWERS = tomllib.loads(Path(__file__).with_name("marked_answers.toml").read_text(encoding="utf-8"))["answer"]
Answer = dict[str, str | int]


@pytest.fixture(scope="module")
def book() -> Book:
    """The book that ships."""
    return load_book()


@pytest.fixture(scope="module")
def matcher(book: Book) -> Matcher:
    """A matcher for its names."""
    return Matcher(names_of(book))


def asked(answer: Answer) -> Question:
    """The question that was answered."""
    ingredient, other = (str(answer.get(key, "")) for key in ("ingredient", "other"))
    return Question(Kind(str(answer["kind"])), str(answer["drink"]), ingredient, other)


def test_there_are_more_than_sixty() -> None:
    """Of every kind of question, and none twice."""
    assert len({(asked(answer), answer["said"]) for answer in ANSWERS}) == len(ANSWERS) == 74
    assert {answer["kind"] for answer in ANSWERS} == {kind.value for kind in Kind}


@pytest.mark.parametrize("answer", ANSWERS, ids=lambda each: f"{each['drink']}, {each['kind']}: {each['said']}")
def test_an_answer_is_marked_as_by_hand(book: Book, answer: Answer) -> None:
    """The points, and what they are out of."""
    question = asked(answer)
    marking = mark(question, recited(str(answer["said"]), question, book), book)
    assert (marking.points, marking.out_of) == (answer["points"], answer["out_of"]), answer["why"]


@pytest.mark.parametrize("answer", ANSWERS, ids=lambda each: str(each["said"]))
def test_an_answer_is_heard_as_one(matcher: Matcher, answer: Answer) -> None:
    """While its question is open, none of them is taken for a command."""
    said = str(answer["said"])
    assert QuizEar(matcher, asked(answer)).understand(said) == Command(Intent.ANSWER, {"text": said})
