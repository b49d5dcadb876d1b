"""The floor test: so many questions, nothing told before the end, a pass mark, and a result that is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, FloorTest, Marked, Scene
from assistant.answers.people import signed
from assistant.answers.quiz_card import question_card, tests_table
from assistant.answers.quiz_round import Round, ended, keeping
from assistant.answers.quiz_words import points_of, put, right_answer
from assistant.answers.safety import STANDING
from assistant.answers.speech import capital, counted, percent, sentence, some
from assistant.messages import Card, Figure, Note, Reply, Row, Table
from recipes.marking import Marking
from recipes.model import Drink
from recipes.quiz import Kind, is_of, question

LENGTH = 20  # questions: house choice
PASS = Decimal(80)  # percent of the points: house choice
NO_HINTS = "The marks come at the end."


def started(drinks: Sequence[Drink], title: str, scene: Scene) -> Answer:
    """The first question of a test."""
    turn = len(scene.marks)
    asked = question(drinks, scene.book, turn)
    going = Round(tuple(drink.name for drink in drinks), title, turn, asked, length=LENGTH, test=True)
    say = f"Floor test on {title}: {counted(LENGTH, 'question')}, and {percent(PASS)} passes. {NO_HINTS}"
    card = question_card(put(asked, scene.book), title, LENGTH, f"{LENGTH} questions. {NO_HINTS}")
    return Answer(Reply(f"{say} {put(asked, scene.book)}", card), keeping(scene.focus, going))


def went_on(done: Round, mark: Marked, drinks: Sequence[Drink], scene: Scene) -> Answer:
    """The answer is taken down without a word on it, and the next question asked; or the test is over."""
    if done.answered >= done.length:
        return _over(done, mark, scene)
    asked = question(drinks, scene.book, done.turn)
    text = put(asked, scene.book)
    card = Card(
        "quiz", text, (done.title, f"question {done.answered + 1} of {done.length}"), (Note(NO_HINTS, "muted"),)
    )
    return Answer(Reply(f"Noted. {text}", card), keeping(scene.focus, replace(done, asked=asked)), mark, lasting=True)


def _over(done: Round, mark: Marked, scene: Scene) -> Answer:
    share = Decimal(100 * done.points) / (done.out_of or 1)
    passed = share >= PASS
    wrong = [marking.question.drink for marking in done.markings if marking.points < marking.out_of]
    verdict = "You have passed" if passed else f"That is not yet the {percent(PASS)} that it takes"
    look = f" Look again at {some([f'the {name}' for name in dict.fromkeys(wrong)])}." if wrong else ""
    points = capital(points_of(done.points, done.out_of))
    say = f"That was the last one. {points}, {percent(share, 0)}. {verdict}.{look}"
    result = FloorTest(scene.trainee, done.title, done.points, done.out_of, passed)
    asked = {marking.question.kind for marking in done.markings}
    cautions = (STANDING,) if Kind.ALLERGENS in asked else ()
    return Answer(
        Reply(say, _result_card(done, passed, scene), cautions), ended(scene.focus), mark, (result,), lasting=True
    )


def _result_card(done: Round, passed: bool, scene: Scene) -> Card:
    rows = tuple(
        Row(
            marking.question.drink,
            (sentence(right_answer(marking.question, scene.book)), _points(marking)),
            marking.question.subject,
            "good" if marking.points == marking.out_of else "warn",
        )
        for marking in done.markings
        if is_of(marking.question, scene.book)
    )
    facts = (done.title, f"{done.points} of {done.out_of} points", "passed" if passed else "not passed")
    return Card("answer", "Floor test", facts, (Table(rows, ("", "book", "points")),))


def _points(marking: Marking) -> Figure:
    return Figure(Decimal(marking.points), "points", f"{marking.points} of {marking.out_of}")


def results(scene: Scene) -> Answer:
    """'Show me the test results': how every trainee did, for whoever runs the floor."""
    if not scene.tests:
        return Answer(Reply("Nobody has taken a floor test yet."), scene.focus)
    last = scene.tests[-1]
    how = "passed" if last.passed else "not passed"
    taken = capital(counted(len(scene.tests), "floor test"))
    say = f"{taken} so far. The last was by {signed(last.trainee)}, on {last.title}: {how}."
    return Answer(Reply(say, Card("score", "Floor tests", ("newest first",), (tests_table(scene.tests),))), scene.focus)
