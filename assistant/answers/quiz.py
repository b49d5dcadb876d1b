"""What a trainee is asked and told: QUIZ, ANSWER, SKIP, SCORE. The round is kept in the focus, marks in the memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.answers.base import Answer, Handler, Marked, Scene
from assistant.answers.quiz_card import marking_card, question_card, score_card
from assistant.answers.quiz_words import family_title, points_of, put, right_answer, still_missed, told
from assistant.answers.speech import counted, sentence
from assistant.messages import Focus, Reply
from assistant.reciting import recited
from grammar.command import Command, Intent
from recipes.marking import Marking, mark
from recipes.model import Book, Drink
from recipes.quiz import Mark, Question, pool, question, standings

KEPT_AS = "quiz"  # the key in Focus.extra
ROUND = 10  # questions in a round
ALL_OF_IT = "the whole book"
STOP = "Say skip if you do not know, or stop to end."


@dataclass(frozen=True)
class Round:
    """A quiz that is going on."""

    drinks: tuple[str, ...]  # what is asked about, by name
    title: str
    turn: int  # of the question that is open
    asked: Question
    answered: int = 0
    points: int = 0
    out_of: int = 0


def open_round(focus: Focus) -> Round | None:
    """The round that is going on, if one is."""
    found = focus.extra.get(KEPT_AS)
    return found if isinstance(found, Round) else None


# The four intents


def quiz(command: Command, scene: Scene) -> Answer:
    """'Quiz me on the sours': the first question of a round."""
    drinks, title = _asked_about(command, scene.book)
    if not drinks:
        return Answer(Reply(f"I have no drinks in {title} to ask about. Say quiz me for {ALL_OF_IT}."), scene.focus)
    turn = len(scene.marks)
    asked = question(drinks, scene.book, turn)
    started = Round(tuple(drink.name for drink in drinks), title, turn, asked)
    say = f"{sentence(counted(ROUND, 'question'))[:-1]} on {title}. {put(asked, scene.book)} {STOP}"
    return Answer(Reply(say, question_card(put(asked, scene.book), title, ROUND, STOP)), _keeping(scene.focus, started))


def answer(command: Command, scene: Scene) -> Answer:
    """What is said while a question is open: marked, put right, and the next question asked."""
    going = open_round(scene.focus)
    if going is None or going.asked.drink not in scene.book.drinks:
        return Answer(Reply("There is no quiz question open. Say quiz me to start."), _ended(scene.focus))
    said = recited(str(command.slots.get("text", "")), going.asked, scene.book)
    if not said:
        say = f"I heard no answer in that. {put(going.asked, scene.book)} {STOP}"
        return Answer(Reply(say, understood=False), scene.focus)
    marking = mark(going.asked, said, scene.book)
    return _next(going, marking, told(marking, scene.book), scene)


def skip(command: Command, scene: Scene) -> Answer:
    """'Skip': the right answer is told, and the question counts as missed."""
    going = open_round(scene.focus)
    if going is None or going.asked.drink not in scene.book.drinks:
        return Answer(Reply("There is no quiz question to skip. Say quiz me to start."), _ended(scene.focus))
    return _next(going, mark(going.asked, (), scene.book), sentence(right_answer(going.asked, scene.book)), scene)


def score(command: Command, scene: Scene) -> Answer:
    """'How am I doing? What do I still miss?': this round, and what is weakest of all that was ever asked."""
    marks = [Mark(one.drink, one.kind, one.points, one.out_of) for one in scene.marks if one.drink in scene.book.drinks]
    if not marks:
        return Answer(Reply("You have no marks yet. Say quiz me to start."), scene.focus)
    by_drink = standings(marks, lambda one: one.drink)
    by_family = standings(marks, lambda one: family_title(scene.book.drinks[one.drink], scene.book))
    going = open_round(scene.focus)
    parts = [_so_far(going)] if going and going.answered else []
    parts += [still_missed(by_drink, by_family)]
    parts += [back_to(going, scene.book)] if going else []
    return Answer(Reply(" ".join(parts), score_card(by_drink, by_family)), scene.focus)


def back_to(going: Round, book: Book) -> str:
    """The open question again, after something else was answered."""
    return f"Back to the question. {put(going.asked, book)}"


def stopped(focus: Focus) -> str:
    """What is said when a round is dropped; empty when none is going on."""
    going = open_round(focus)
    if going is None:
        return ""
    return f"The quiz is over. {_so_far(going)}" if going.answered else "The quiz is over."


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
    done = replace(
        going,
        turn=going.turn + 1,
        answered=going.answered + 1,
        points=going.points + marking.points,
        out_of=going.out_of + marking.out_of,
    )
    change = Marked(scene.trainee, going.asked.drink, going.asked.subject, marking.points, marking.out_of)
    drinks = [scene.book.drinks[name] for name in going.drinks if name in scene.book.drinks]
    if done.answered >= ROUND:
        say = f"{verdict} That was the last one. {_so_far(done)} Ask what you still miss, or say quiz me for more."
        return Answer(Reply(say, marking_card(marking, scene.book)), _ended(scene.focus), change)
    done = replace(done, asked=question(drinks, scene.book, done.turn))
    say = f"{verdict} Next. {put(done.asked, scene.book)}"
    card = marking_card(marking, scene.book, put(done.asked, scene.book))
    return Answer(Reply(say, card), _keeping(scene.focus, done), change)


def _keeping(focus: Focus, going: Round) -> Focus:
    return replace(focus, extra={**focus.extra, KEPT_AS: going})


def _ended(focus: Focus) -> Focus:
    return replace(focus, extra={key: value for key, value in focus.extra.items() if key != KEPT_AS})


def _so_far(going: Round) -> str:
    return f"{sentence(counted(going.answered, 'question'))[:-1]}, {points_of(going.points, going.out_of)}."


HANDLERS: dict[Intent, Handler] = {
    Intent.QUIZ: quiz,
    Intent.ANSWER: answer,
    Intent.SKIP: skip,
    Intent.SCORE: score,
}
