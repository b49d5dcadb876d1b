"""A trainee's five days, from the first question to the floor test, by a clock that the test sets."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from assistant.answers.floor_test import LENGTH
from assistant.answers.quiz_round import ROUND, open_round
from assistant.answers.quiz_words import right_answer
from assistant.messages import Bars, Reply, Table
from assistant.services import Services
from recipes.quiz import Question

MONDAY = datetime(2024, 3, 4, 15, 0, tzinfo=UTC)
DAISIES = "quiz me on the daisies"


class Clock:
    """A clock that a test sets."""

    now = MONDAY

    def __call__(self) -> datetime:
        return self.now


class Trainee:
    """Someone at the tablet: knows a question from the moment it was told, except what they keep getting wrong."""

    def __init__(self, services: Services, clock: Clock, name: str) -> None:
        self.services, self.clock, self.name = services, clock, name
        self.told: set[Question] = set()
        self.hopeless: set[str] = set()  # kinds of question that do not stick
        self.studied = False  # has read the book through

    def say(self, text: str) -> Reply:
        """Say it, half a minute later."""
        self.clock.now += timedelta(seconds=30)
        return self.services.ask(text, f"{self.name}'s phone", self.name)

    def asked(self) -> Question | None:
        """The question that is open."""
        with self.services.dialogue._conversations.held(f"{self.name}'s phone", self.clock.now) as talk:
            going = open_round(talk.focus)
        return going.asked if going else None

    def round(self, start: str) -> list[Question]:
        """A whole round, or test; what was asked in it."""
        self.say(start)
        asked = []
        while (question := self.asked()) is not None:
            asked.append(question)
            if self.studied or (question in self.told and question.kind not in self.hopeless):
                self.say(right_answer(question, self.services.book).partition(":")[0])
            else:
                self.say("I don't know")
            self.told.add(question)
        return asked

    def readiness(self, section: str) -> Decimal:
        """What the card shows for a section, in percent."""
        card = self.say("what do I still miss").card
        assert card is not None
        picture = card.blocks[0]
        assert isinstance(picture, Bars)
        found = {bar.label: bar.figure.value for bar in picture.bars}[section]
        assert found is not None
        return found


@pytest.fixture
def clock() -> Clock:
    """The bar's clock, at three on a Monday."""
    return Clock()


@pytest.fixture
def services(tmp_path: Path, clock: Clock) -> Iterator[Services]:
    """The assistant on the book that ships."""
    services = Services(None, f"sqlite:///{tmp_path / 'shift.db'}", clock)
    yield services
    services.close()


@pytest.fixture
def sam(services: Services, clock: Clock) -> Trainee:
    """A new trainee."""
    return Trainee(services, clock, "Sam")


def on_day(clock: Clock, day: int) -> None:
    """Three in the afternoon of a day, Monday being 1."""
    clock.now = MONDAY + timedelta(days=day - 1)


def test_five_days(services: Services, clock: Clock, sam: Trainee) -> None:
    """Missed on Monday, asked first on Tuesday, known by Thursday, tested on Friday, and seen by the manager."""
    assert sam.say("what do I still miss").say == "You have no marks yet. Say quiz me to start."
    monday = sam.round(DAISIES)
    assert len(set(monday)) == ROUND
    assert sam.say("what do I still miss").say.startswith("You still miss most in the ")

    on_day(clock, 2)
    assert "Ten questions are due again, on the " in sam.say("what do I still miss").say
    tuesday = sam.round(DAISIES)
    assert set(tuesday) == set(monday)
    say = sam.say("what do I still miss").say
    assert say == "By your latest answers you miss nothing."
    more = sam.round(DAISIES)
    assert not set(more) & set(monday)

    on_day(clock, 3)
    wednesday = sam.round(DAISIES)
    assert set(wednesday) == set(more)

    on_day(clock, 4)
    before = sam.readiness("Classics")
    for _ in range(12):
        sam.round("quiz me on the classics")
    assert sam.readiness("Classics") > before

    on_day(clock, 5)
    sam.hopeless = {"build", "amount"}
    sam.round("give me the floor test on the daisies")
    sam.studied = True
    assert len(sam.round("give me the floor test on the daisies")) == LENGTH
    card = sam.say("what do I still miss").card
    assert card is not None
    tests = card.blocks[-1]
    assert isinstance(tests, Table)
    assert [row.note for row in tests.rows] == ["2024-03-08, passed", "2024-03-08, not passed"]

    seen = services.ask("show me the floor test results", "office", "Kit")
    assert seen.say == "Two floor tests so far. The last was by Sam, on the daisy family: passed."
    marks = services.memory.marks("Sam")
    for _ in range(60):
        sam.say("undo")
    assert len(services.memory.tests()) == 2
    assert services.memory.marks("Sam")[-2 * LENGTH :] == marks[-2 * LENGTH :]


def test_what_was_known_is_asked_ever_more_seldom(clock: Clock, sam: Trainee) -> None:
    """One drink, answered right each time it is due: the days between grow."""
    sam.told = {Question.of("Gimlet", subject) for subject in ("build", "glass", "method", "garnish", "family")}
    sam.round("quiz me on the gimlet")
    days = []
    for day in range(2, 40):
        on_day(clock, day)
        if "due again" in sam.say("what do I still miss").say:
            days.append(day)
            for _ in range(2):
                sam.round("quiz me on the gimlet")
    waits = [after - before for before, after in pairwise(days)]
    assert max(waits[:2]) < max(waits[-2:])


def test_two_trainees_on_one_server_do_not_mix(services: Services, clock: Clock, sam: Trainee) -> None:
    """Neither questions nor marks nor what is due: each has a schedule of their own."""
    ana = Trainee(services, clock, "Ana")
    first = sam.round(DAISIES)
    assert ana.say("what do I still miss").say == "You have no marks yet. Say quiz me to start."
    on_day(clock, 2)
    assert "due again" in sam.say("what do I still miss").say
    assert ana.round(DAISIES) == first
    assert {mark.trainee for mark in services.memory.marks("Ana")} == {"Ana"}
    assert len(services.memory.marks("Sam")) == ROUND


def test_the_week_outlives_a_restart(services: Services, clock: Clock, sam: Trainee, tmp_path: Path) -> None:
    """On Tuesday a new process asks first what was missed on Monday."""
    monday = sam.round(DAISIES)
    on_day(clock, 2)
    again = Services(None, f"sqlite:///{tmp_path / 'shift.db'}", clock)
    try:
        assert set(Trainee(again, clock, "Sam").round(DAISIES)) == set(monday)
    finally:
        again.close()
