"""Backups that are made by themselves: when, how many are kept, and before what."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.answers.base import SetOut
from assistant.care.automatic import EVERY, KEPT, Backups, back_up_now, backed_up, backups_of, made_at
from assistant.care.backups import is_backup
from assistant.care.files import release_in
from assistant.memory import Memory
from assistant.services import Services
from tests.assistant.remembering import START, Clock

RELEASE_1 = Path(__file__).parents[1] / "releases" / "1.sql"
PATIENCE_S = 30.0


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A database in which something is out."""
    file = tmp_path / "shift.db"
    with closing(Memory(f"sqlite:///{file}", Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
    return file


def wait_for(number: int, file: Path) -> None:
    """Wait until there are so many backups; fail when there never are."""
    end = time.monotonic() + PATIENCE_S
    while len(backups_of(file)) < number:
        assert time.monotonic() < end, "no backup was made"
        time.sleep(0.02)


def test_the_stated_number_is_kept() -> None:
    """Four a day for a week, as the README says."""
    assert timedelta(hours=6) == EVERY
    assert timedelta(days=7) == EVERY * KEPT


def test_the_oldest_go_and_other_files_stay(file: Path) -> None:
    """Only backups that were made by themselves are ever deleted."""
    own = file.parent / "backups" / "shift-mine.db"
    own.parent.mkdir()
    own.write_text("mine", "utf-8")
    made = [back_up_now(file, START + EVERY * turn) for turn in range(KEPT + 2)]
    assert backups_of(file) == tuple(reversed(made[2:]))
    assert all(is_backup(each) for each in backups_of(file))
    assert own.read_text("utf-8") == "mine"
    assert made_at(made[1]) == START + EVERY


class TestWhileServing:
    """The thread that makes them."""

    def test_it_makes_one_at_once_and_then_on_time(self, file: Path) -> None:
        """The first comes with the start, the next when the time is over."""
        with closing(Backups(file, Clock(), every=timedelta(milliseconds=50))):
            wait_for(3, file)

    def test_a_start_soon_after_makes_no_other(self, file: Path) -> None:
        """A server that is started ten times in an hour does not push the week's backups out."""

        def soon() -> datetime:
            return START + timedelta(minutes=10)

        back_up_now(file, START)
        for _ in range(3):
            Backups(file, soon).close()
        assert len(backups_of(file)) == 1

    def test_one_from_the_future_does_not_hold_up_the_next(self, file: Path) -> None:
        """The clock was ahead when the last one was made."""
        back_up_now(file, START + timedelta(days=9_000))
        with closing(Backups(file, Clock())):
            wait_for(2, file)

    def test_one_that_fails_does_not_end_them(self, file: Path) -> None:
        """Something is in the way of the folder for a while."""
        way = file.parent / "backups"
        way.write_text("in the way", "utf-8")
        with closing(Backups(file, Clock(), every=timedelta(milliseconds=50))):
            time.sleep(0.2)
            way.unlink()
            wait_for(1, file)

    def test_postgresql_is_left_to_its_own_means(self, postgres_url: str, tmp_path: Path) -> None:
        """Nothing is written here for a database elsewhere."""
        with backed_up(postgres_url):
            assert list(tmp_path.iterdir()) == []


def test_an_old_database_is_backed_up_before_it_is_brought_up_to_date(tmp_path: Path) -> None:
    """With the older version of the program the bar could go on from that file."""
    file = tmp_path / "shift.db"
    with closing(sqlite3.connect(file)) as raw:
        raw.executescript(RELEASE_1.read_text("utf-8"))
    for _ in range(2):
        with closing(Services(database_url=f"sqlite:///{file}")) as services:
            assert services.tonight().out == {"mint"}
    (backup,) = backups_of(file)
    assert release_in(backup) == 1
