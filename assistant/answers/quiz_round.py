"""A quiz that is going on: what is kept of it in the focus between two answers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.answers.quiz_words import points_of, put
from assistant.answers.speech import capital, counted
from assistant.memory import Entry
from assistant.messages import Focus
from recipes.marking import Marking
from recipes.model import Book
from recipes.quiz import Question, is_of

KEPT_AS = "quiz"  # the key in Focus.extra
LAST_MARK = "last mark"  # the key of the last marking, which can be asked about when the round is over
ROUND = 10  # questions in a round
STOP = "Say skip if you do not know, or stop to end."


@dataclass(frozen=True)
class Round:
    """A quiz that is going on."""

    drinks: tuple[str, ...]  # what is asked about, by name
    title: str
    turn: int  # of the question that is open, in the series that a floor test asks
    asked: Question
    answered: int = 0
    points: int = 0
    out_of: int = 0
    length: int = ROUND
    test: bool = False  # a floor test: nothing is told before its end
    markings: tuple[Marking, ...] = ()  # of a floor test

    def marked(self, marking: Marking) -> Round:
        """The round with one more answer."""
        return replace(
            self,
            turn=self.turn + 1,
            answered=self.answered + 1,
            points=self.points + marking.points,
            out_of=self.out_of + marking.out_of,
            markings=(*self.markings, marking) if self.test else (),
        )


def open_round(focus: Focus) -> Round | None:
    """The round that is going on, if one is."""
    found = focus.extra.get(KEPT_AS)
    return found if isinstance(found, Round) else None


def keeping(focus: Focus, going: Round) -> Focus:
    """The focus with a round in it."""
    return replace(focus, extra={**focus.extra, KEPT_AS: going})


def can_go_on(focus: Focus, book: Book) -> Round | None:
    """The round that is going on, if the book still has the drinks of its question."""
    going = open_round(focus)
    return going if going is not None and is_of(going.asked, book) else None


def explaining(focus: Focus, marking: Marking) -> Focus:
    """The focus with the marking that 'why?' is about."""
    return replace(focus, extra={**focus.extra, LAST_MARK: marking})


def last_marking(focus: Focus, book: Book) -> Marking | None:
    """The marking that 'why?' is about, if the book still has the drinks of its question."""
    found = focus.extra.get(LAST_MARK)
    return found if isinstance(found, Marking) and is_of(found.question, book) else None


def ended(focus: Focus) -> Focus:
    """The focus without a round, and without its last mark."""
    return replace(focus, extra={key: kept for key, kept in focus.extra.items() if key not in (KEPT_AS, LAST_MARK)})


def without_mark(focus: Focus, undone: Entry) -> Focus:
    """The focus after something was undone: a mark of the round that is going on no longer counts in it."""
    going = open_round(focus)
    if going is None or going.test or not going.answered or undone.kind != "mark" or undone.before is None:
        return focus
    points, out_of = (int(undone.before[column]) for column in ("points", "out_of"))
    less = replace(going, answered=going.answered - 1, points=going.points - points, out_of=going.out_of - out_of)
    return keeping(ended(focus), less)


def back_to(going: Round, book: Book) -> str:
    """The open question again, after something else was answered."""
    return f"Back to the question. {put(going.asked, book)}"


def so_far(going: Round) -> str:
    """How the round stands: 'Three questions, eight of twelve points.'"""
    return f"{capital(counted(going.answered, 'question'))}, {points_of(going.points, going.out_of)}."


def stopped(focus: Focus) -> str:
    """What is said when a round is dropped; empty when none is going on."""
    going = open_round(focus)
    if going is None:
        return ""
    if going.test:
        return "The floor test is over before its end, so it has no result."
    return f"The quiz is over. {so_far(going)}" if going.answered else "The quiz is over."
