"""What a trainee is asked and told: QUIZ, ANSWER, SKIP, SCORE. The round is kept in the focus, marks in the memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from assistant.answers import floor_test
from assistant.answers.base import Answer, Handler, Marked, Scene
from assistant.answers.people import last_test
from assistant.answers.quiz_card import marking_card, question_card, score_card
from assistant.answers.quiz_round import (
    ROUND,
    STOP,
    Round,
    back_to,
    can_go_on,
    ended,
    explaining,
    keeping,
    last_marking,
    so_far,
)
from assistant.answers.quiz_why import why
from assistant.answers.quiz_words import due_again, family_title, put, right_answer, still_missed, told
from assistant.answers.safety import STANDING
from assistant.answers.speech import capital, counted, sentence
from assistant.messages import Reply
from assistant.reciting import recited
from assistant.training import Known, due, known, next_question, readiness
from grammar.command import Command, Intent
from recipes.marking import Marking, mark
from recipes.model import Book, Drink
from recipes.quiz import Kind, Mark, Standing, pool, standings

ALL_OF_IT = "the whole book"
TEST = "test"  # the slot 'text' of a quiz that is a floor test
TESTS = "tests"  # the same, of a score that is every trainee's
WHY = "why"  # the same, of a score that is the last answer's, and the rules behind it
TOLD_LATER = "That is told at the end of the test."


# The four intents


def quiz(command: Command, scene: Scene) -> Answer:
    """'Quiz me on the sours': the first question of a round."""
    drinks, title = _asked_about(command, scene.book)
    if not drinks:
        return Answer(Reply(f"I have no drinks in {title} to ask about. Say quiz me for {ALL_OF_IT}."), scene.focus)
    if command.slots.get("text") == TEST:
        return floor_test.started(drinks, title, scene)
    asked = next_question(drinks, scene.book, scene.marks, scene.now)
    started = Round(tuple(drink.name for drink in drinks), title, 0, asked)
    say = f"{capital(counted(ROUND, 'question'))} on {title}. {put(asked, scene.book)} {STOP}"
    card = question_card(put(asked, scene.book), title, ROUND, STOP)
    return Answer(Reply(say, card), keeping(ended(scene.focus), started))


def answer(command: Command, scene: Scene) -> Answer:
    """What is said while a question is open: marked, put right, and the next question asked."""
    going = can_go_on(scene.focus, scene.book)
    if going is None:
        return Answer(Reply("There is no quiz question open. Say quiz me to start."), ended(scene.focus))
    said = recited(str(command.slots.get("text", "")), going.asked, scene.book)
    if not said:
        say = f"I heard no answer in that. {put(going.asked, scene.book)} {STOP}"
        return Answer(Reply(say, understood=False), scene.focus)
    marking = mark(going.asked, said, scene.book)
    return _next(going, marking, told(marking, scene.book), scene)


def skip(command: Command, scene: Scene) -> Answer:
    """'Skip': the right answer is told, and the question counts as missed."""
    going = can_go_on(scene.focus, scene.book)
    if going is None:
        return Answer(Reply("There is no quiz question to skip. Say quiz me to start."), ended(scene.focus))
    return _next(going, mark(going.asked, (), scene.book), sentence(right_answer(going.asked, scene.book)), scene)


def score(command: Command, scene: Scene) -> Answer:
    """'How am I doing? What do I still miss?': this round, what is weakest, what is due, how ready for each section."""
    if command.slots.get("text") == TESTS:
        return floor_test.results(scene)
    if command.slots.get("text") == WHY:
        return _explained(scene)
    if "person" in command.slots:
        return _of_somebody(str(command.slots["person"]), scene)
    going = can_go_on(scene.focus, scene.book)
    if going and going.test:
        return Answer(Reply(f"{TOLD_LATER} {back_to(going, scene.book)}"), scene.focus)
    marks = [one for one in scene.marks if one.drink in scene.book.drinks]
    if not marks:
        return Answer(Reply("You have no marks yet. Say quiz me to start."), scene.focus)
    by_drink, by_family = _standings(marks, scene.book)
    found = known(marks, scene.now)
    ripe = due(found, scene.book.drinks, scene.now)
    parts = [so_far(going)] if going and going.answered else []
    parts += [still_missed(by_drink, by_family)]
    parts += [due_again([one.drink for one in ripe])] if ripe else []
    parts += [back_to(going, scene.book)] if going else []
    tests = [test for test in scene.tests if test.trainee == scene.trainee]
    card = score_card(by_drink, by_family, _ready(found, scene.book), tests)
    return Answer(Reply(" ".join(parts), card), scene.focus)


def _explained(scene: Scene) -> Answer:
    """'Why?': how the last answer was marked, while the round goes on or when it is over."""
    going, marking = can_go_on(scene.focus, scene.book), last_marking(scene.focus, scene.book)
    if going and going.test:
        say, marking = TOLD_LATER, None
    else:
        say = why(marking, scene.book) if marking else "There is no mark to explain."
    card = marking_card(marking, scene.book) if marking else None
    cautions = _cautions(marking) if marking else ()
    say = f"{say} {back_to(going, scene.book)}" if going else f"{say} Say quiz me for a question."
    return Answer(Reply(say, card, cautions), scene.focus)


def _of_somebody(name: str, scene: Scene) -> Answer:
    """'How did Sam do?': the last floor test, what is still missed and what is due, for whoever runs the floor."""
    marks = [one for one in scene.marks if one.drink in scene.book.drinks]
    tests = [test for test in scene.tests if test.trainee == name]
    if not marks and not tests:
        return Answer(Reply(f"{name} has no marks yet."), scene.focus)
    by_drink, by_family = _standings(marks, scene.book)
    found = known(marks, scene.now)
    ripe = due(found, scene.book.drinks, scene.now)
    parts = [last_test(name, tests), still_missed(by_drink, by_family, name) if marks else ""]
    parts += [due_again([one.drink for one in ripe])] if ripe else []
    card = score_card(by_drink, by_family, _ready(found, scene.book), tests, name)
    return Answer(Reply(" ".join(filter(None, parts)), card), scene.focus)


def _standings(marks: Sequence[Marked], book: Book) -> tuple[tuple[Standing, ...], tuple[Standing, ...]]:
    """How well each drink and each family is known by the latest answers, the least known first."""
    plain = [Mark(one.drink, one.kind, one.points, one.out_of) for one in marks]
    by_drink = standings(plain, lambda one: one.drink)
    return by_drink, standings(plain, lambda one: family_title(book.drinks[one.drink], book))


def _ready(found: Sequence[Known], book: Book) -> dict[str, Decimal]:
    """How ready for each section of the book, by its title; only those of which something was asked."""
    asked = {book.drinks[one.drink].shelf for one in found}
    shelves = [shelf for shelf in dict.fromkeys(drink.shelf for drink in book.drinks.values()) if shelf in asked]
    return {book.shelves.get(shelf, shelf): readiness(book.drinks_on(shelf), found) for shelf in shelves}


# A round


def _asked_about(command: Command, book: Book) -> tuple[Sequence[Drink], str]:
    slots = command.slots
    if "drink" in slots:
        return (book.drinks[str(slots["drink"])],), f"the {slots['drink']}"
    if "family" in slots:
        family = str(slots["family"])
        title = book.families[family].title if family in book.families else family
        return pool(book, family=family), f"the {title} family"
    if "shelf" in slots:
        shelf = str(slots["shelf"])
        return pool(book, shelf=shelf), book.shelves.get(shelf, shelf)
    return pool(book), ALL_OF_IT


def _next(going: Round, marking: Marking, verdict: str, scene: Scene) -> Answer:
    """The mark is kept, and the next question asked; after the last one the round is summed up."""
    done = going.marked(marking)
    change = Marked(scene.trainee, going.asked.drink, going.asked.subject, marking.points, marking.out_of, scene.now)
    drinks = [scene.book.drinks[name] for name in going.drinks if name in scene.book.drinks]
    if going.test:
        return floor_test.went_on(done, change, drinks, scene)
    cautions = _cautions(marking)
    if done.answered >= done.length:
        say = f"{verdict} That was the last one. {so_far(done)} Ask what you still miss, or say quiz me for more."
        return Answer(
            Reply(say, marking_card(marking, scene.book), cautions), explaining(ended(scene.focus), marking), change
        )
    asked = next_question(drinks, scene.book, (*scene.marks, change), scene.now, going.asked)
    say = f"{verdict} Next. {put(asked, scene.book)}"
    card = marking_card(marking, scene.book, put(asked, scene.book))
    focus = keeping(explaining(scene.focus, marking), replace(done, asked=asked))
    return Answer(Reply(say, card, cautions), focus, change)


def _cautions(marking: Marking) -> tuple[str, ...]:
    """What goes with every word on allergens."""
    return (STANDING,) if marking.question.kind is Kind.ALLERGENS else ()


HANDLERS: dict[Intent, Handler] = {
    Intent.QUIZ: quiz,
    Intent.ANSWER: answer,
    Intent.SKIP: skip,
    Intent.SCORE: score,
}
