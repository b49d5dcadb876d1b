"""Clocks that jump: the trail keeps its order, undo finds the last change, the quiz and the backups go on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.answers.base import Marked, SetOut, SetPrice
from assistant.care.automatic import KEPT, back_up_now, backups_of
from assistant.memory import Memory
from assistant.services import Services
from assistant.training import known
from recipes.units import quantity
from tests.assistant.remembering import START

YEAR = timedelta(days=365)
JUMPS = (timedelta(0), -YEAR * 20, YEAR * 50, timedelta(hours=-1), timedelta(0))  # a dead battery, a wrong year, ...


class JumpingClock:
    """A clock that is off by another jump each time it is read."""

    def __init__(self) -> None:
        self._turn = -1

    def __call__(self) -> datetime:
        self._turn += 1
        return START + timedelta(minutes=self._turn) + JUMPS[self._turn % len(JUMPS)]


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory whose clock jumps at every change, on SQLite and on PostgreSQL."""
    memory = Memory(url, JumpingClock())
    yield memory
    memory.close()


def test_the_trail_keeps_the_order_of_the_changes(memory: Memory) -> None:
    """Newest first is by what was done last, not by what a clock said."""
    names = [f"bottle {number}" for number in range(12)]
    for name in names:
        memory.apply(SetOut(name, True), "bar")
    assert [entry.name for entry in memory.trail()] == names[::-1]
    times = [entry.at for entry in memory.trail()]
    assert times != sorted(times, reverse=True), "the clock did jump"


def test_undo_takes_back_the_last_change(memory: Memory) -> None:
    """Prices come off one by one, the last first, whatever the clock said at each."""
    tokens = [memory.apply(SetPrice("gin", quantity(price, "money")), "bar") for price in range(20, 27)]
    for token, left in zip(reversed(tokens), (25, 24, 23, 22, 21, 20), strict=False):
        memory.undo(token, "bar")
        assert memory.recall().prices == {"gin": quantity(left, "money")}


def test_a_talk_goes_on_through_every_jump(tmp_path: Path) -> None:
    """Questions are answered, a change is made and undone, whatever the clock says between them."""
    with closing(Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}", clock=JumpingClock())) as services:
        for _ in range(len(JUMPS)):
            assert services.ask("spec for a gimlet", "bar").understood
            assert services.ask("we're out of orgeat", "bar").undo
            assert services.tonight().out == {"orgeat"}
            assert services.ask("undo that", "bar").say.startswith("Undone")
            assert services.tonight().out == frozenset()


class TestQuiz:
    """What is due again."""

    ASKED = "Gimlet", "build"

    def answers(self, *times: datetime) -> list[Marked]:
        """Right answers to one question, in the order in which they were given."""
        return [Marked("Ana", *self.ASKED, 6, 6, at) for at in times]

    def test_answers_from_a_clock_ahead_are_due_again(self) -> None:
        """A question that was answered in a year that never came is due within weeks of now, not fifty years on."""
        ahead = self.answers(START, START + YEAR * 50, START + timedelta(days=1))
        (one,) = known(ahead, START + timedelta(days=1, hours=1))
        assert START < one.due < START + timedelta(days=60)

    def test_a_last_answer_from_a_clock_ahead_counts_as_just_given(self) -> None:
        """As long as nothing came after it; the next answer, to whatever, puts it in its place."""
        now = START + timedelta(days=1)
        (one,) = known(self.answers(START + YEAR), now)
        assert now < one.due < now + timedelta(days=60)
        later = [*self.answers(START + YEAR), Marked("Ana", "Daiquiri", "build", 6, 6, now)]
        for days in (30, 60):
            again = next(each for each in known(later, now + timedelta(days=days)) if each.drink == "Gimlet")
            assert again.due < now + timedelta(days=60)

    def test_answers_from_a_clock_behind_do_no_harm(self) -> None:
        """A clock that was set back twenty years for an evening changes no due day by more than that evening's."""
        (right,) = known(self.answers(START, START + timedelta(days=3)), START + timedelta(days=4))
        (jumped,) = known(self.answers(START, START - YEAR * 20, START + timedelta(days=3)), START + timedelta(days=4))
        assert jumped.due > START
        assert abs(jumped.due - right.due) < timedelta(days=14)

    def test_asked_while_the_clock_is_behind(self) -> None:
        """With the clock before every answer, each still has a chance between nought and one, and a day."""
        for one in known(self.answers(START, START + timedelta(days=3)), START - YEAR):
            assert 0 <= one.recall <= 1


class TestBackups:
    """The automatic backups."""

    def test_the_latest_is_the_last_made(self, tmp_path: Path) -> None:
        """A backup made while the clock is behind is still the latest, and the oldest made is the one that goes."""
        file = tmp_path / "shift.db"
        with closing(Memory(f"sqlite:///{file}", JumpingClock())) as memory:
            memory.apply(SetOut("orgeat", True), "bar")
        clock = JumpingClock()
        made = [back_up_now(f"sqlite:///{file}", clock()) for _ in range(KEPT + 3)]
        assert backups_of(f"sqlite:///{file}") == tuple(reversed(made[3:]))
