"""Backups that are made by themselves: when, how many are kept, and before what."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url

from assistant.answers.base import SetOut
from assistant.care.automatic import EVERY, KEPT, Backups, back_up_now, backed_up, backups_of, made_at, shelf_of
from assistant.care.backups import is_backup, is_outdated
from assistant.care.files import release_in
from assistant.care.findings import State
from assistant.care.store_checks import of_backups, of_database
from assistant.cli import main
from assistant.errors import MemoryFailed
from assistant.memory import Memory
from assistant.services import Services
from tests.assistant.remembering import ONE_OF_EACH, START, Clock, holdings
from tests.assistant.test_schema import load

RELEASE_1 = Path(__file__).parents[1] / "releases" / "1.sql"
PATIENCE_S = 30.0


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A database in which something is out."""
    file = tmp_path / "shift.db"
    with closing(Memory(f"sqlite:///{file}", Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
    return file


def rows_of(database: sqlite3.Connection) -> dict[str, list[tuple[object, ...]]]:
    """All rows of all tables, by table."""
    tables = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    return {table: sorted(database.execute(f"SELECT * FROM {table}"), key=repr) for table in sorted(tables)}


def rows_in(file: Path) -> dict[str, list[tuple[object, ...]]]:
    """The same of a file."""
    with closing(sqlite3.connect(file)) as database:
        return rows_of(database)


def wait_for(number: int, url: str) -> None:
    """Wait until there are so many backups; fail when there never are."""
    end = time.monotonic() + PATIENCE_S
    while len(backups_of(url)) < number:
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
    made = [back_up_now(f"sqlite:///{file}", START + EVERY * turn) for turn in range(KEPT + 2)]
    assert backups_of(f"sqlite:///{file}") == tuple(reversed(made[2:]))
    assert all(is_backup(each) for each in backups_of(f"sqlite:///{file}"))
    assert own.read_text("utf-8") == "mine"
    assert made_at(made[1]) == START + EVERY


class TestWhileServing:
    """The thread that makes them."""

    def test_it_makes_one_at_once_and_then_on_time(self, file: Path) -> None:
        """The first comes with the start, the next when the time is over."""
        with closing(Backups(f"sqlite:///{file}", Clock(), every=timedelta(milliseconds=50))):
            wait_for(3, f"sqlite:///{file}")

    def test_a_start_soon_after_makes_no_other(self, file: Path) -> None:
        """A server that is started ten times in an hour does not push the week's backups out."""

        def soon() -> datetime:
            return START + timedelta(minutes=10)

        back_up_now(f"sqlite:///{file}", START)
        for _ in range(3):
            Backups(f"sqlite:///{file}", soon).close()
        assert len(backups_of(f"sqlite:///{file}")) == 1

    def test_one_from_the_future_does_not_hold_up_the_next(self, file: Path) -> None:
        """The clock was ahead when the last one was made."""
        back_up_now(f"sqlite:///{file}", START + timedelta(days=9_000))
        with closing(Backups(f"sqlite:///{file}", Clock())):
            wait_for(2, f"sqlite:///{file}")

    def test_one_that_fails_does_not_end_them(self, file: Path) -> None:
        """Something is in the way of the folder for a while."""
        way = file.parent / "backups"
        way.write_text("in the way", "utf-8")
        with closing(Backups(f"sqlite:///{file}", Clock(), every=timedelta(milliseconds=50))):
            time.sleep(0.2)
            way.unlink()
            wait_for(1, f"sqlite:///{file}")


class TestPostgresql:
    """A database elsewhere: its backups lie in this person's own folder."""

    @pytest.fixture(autouse=True)
    def own(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
        """That folder, for this test alone."""
        monkeypatch.setattr(click, "get_app_dir", lambda name: str(tmp_path / name))
        return tmp_path / "prep-assistant" / "backups"

    def test_it_is_backed_up_while_the_server_runs_and_can_be_put_back(self, postgres_url: str) -> None:
        """All of it, of every venue, in one file that `restore` takes."""
        with closing(Memory(postgres_url, Clock(), "quay")) as quay, closing(Memory(postgres_url, Clock())) as house:
            for change in ONE_OF_EACH:
                quay.apply(change, "Ana")
            house.apply(SetOut("orgeat", True), "bar")
            before = holdings(quay), holdings(house)
            with backed_up(postgres_url):
                wait_for(1, postgres_url)
            house.apply(SetOut("mint", True), "bar")
            (backup,) = backups_of(postgres_url)
            done = CliRunner().invoke(main, ["--database", postgres_url, "restore", str(backup)])
            assert done.exit_code == 0, done.output
            assert (holdings(quay), holdings(house)) == before

    def test_the_oldest_go_as_a_files_do(self, postgres_url: str, own: Path) -> None:
        """And another database's, in the same folder, stay."""
        other = make_url(postgres_url).set(database="other").render_as_string(hide_password=False)
        own.mkdir(parents=True)
        (own / f"{shelf_of(other).stem}-000001-20240301T170000Z.db").touch()  # type: ignore[union-attr]
        with closing(Memory(postgres_url, Clock())) as memory:
            memory.apply(SetOut("orgeat", True), "bar")
        made = [back_up_now(postgres_url, START + EVERY * turn) for turn in range(KEPT + 2)]
        assert backups_of(postgres_url) == tuple(reversed(made[2:]))
        assert len(backups_of(other)) == 1
        assert all(is_backup(each) for each in backups_of(postgres_url))

    def test_whoever_opens_it_finds_the_same_backups(self, postgres_url: str) -> None:
        """With another role, or another password; and no name of a file tells either."""
        as_another = make_url(postgres_url).set(username="cy", password="pelican").render_as_string(hide_password=False)
        assert shelf_of(as_another) == shelf_of(postgres_url)

    def test_the_backups_are_listed_and_looked_at(self, postgres_url: str) -> None:
        """By `restore` without a file, and by the doctor."""
        Memory(postgres_url, Clock()).close()
        assert of_backups(postgres_url).state is State.NOTE
        made = back_up_now(postgres_url, datetime.now(UTC))
        assert of_backups(postgres_url).state is State.WELL
        assert str(made) in CliRunner().invoke(main, ["--database", postgres_url, "restore"]).output

    def test_an_old_one_is_backed_up_as_it_is_before_it_is_brought_up_to_date(self, postgres_url: str) -> None:
        """Row for row and number for number what the earlier version kept; what is another program's is left alone."""
        load(postgres_url, 1)
        engine = create_engine(postgres_url)
        with engine.begin() as connection:
            connection.execute(text("CREATE TABLE till (amount MONEY)"))
        engine.dispose()
        assert of_database(postgres_url).state is State.NOTE
        for _ in range(2):
            with closing(Services(database_url=postgres_url)) as services:
                assert services.tonight().out == {"mint"}
        (backup,) = backups_of(postgres_url)
        assert release_in(backup) == 1
        assert is_backup(backup)
        with closing(sqlite3.connect(":memory:")) as left:
            left.executescript(RELEASE_1.read_text("utf-8"))
            assert rows_in(backup) == rows_of(left)

    def test_a_backup_of_an_old_one_is_put_back(self, postgres_url: str) -> None:
        """After a night with the new version: what the old one kept is there again, its changes can still be undone."""
        load(postgres_url, 1)
        with closing(Services(database_url=postgres_url)) as services:
            services.memory.apply(SetOut("orgeat", True), "bar")
            before, (backup,) = services.memory.trail()[1:], backups_of(postgres_url)
            done = CliRunner().invoke(main, ["--database", postgres_url, "restore", str(backup)])
            assert done.exit_code == 0, done.output
            assert services.tonight().out == {"mint"}
            assert services.memory.trail() == before
            services.memory.undo(before[0].token, "bar")

    def test_nothing_is_changed_when_it_cannot_be_backed_up(self, postgres_url: str, own: Path) -> None:
        """Something is in the way of the backups' folder: it does not start, and the old version still could."""
        load(postgres_url, 1)
        own.parent.mkdir(parents=True)
        own.write_text("in the way", "utf-8")
        with pytest.raises(MemoryFailed):
            Services(database_url=postgres_url)
        assert is_outdated(postgres_url)

    def test_one_that_cannot_be_reached_does_not_end_them(self, postgres_url: str) -> None:
        """The database is away for a while: its schema has another name."""
        Memory(postgres_url, Clock()).close()
        schema = postgres_url.rpartition("%3D")[2]
        engine = create_engine(postgres_url, isolation_level="AUTOCOMMIT")
        with engine.connect() as connection:
            connection.exec_driver_sql(f"ALTER SCHEMA {schema} RENAME TO away_{schema}")
            with closing(Backups(postgres_url, Clock(), every=timedelta(milliseconds=50))):
                time.sleep(0.2)
                assert backups_of(postgres_url) == ()
                connection.exec_driver_sql(f"ALTER SCHEMA away_{schema} RENAME TO {schema}")
                wait_for(1, postgres_url)
        engine.dispose()


def test_a_database_in_memory_is_not_backed_up() -> None:
    """It ends with the program."""
    with backed_up("sqlite://"):
        assert backups_of("sqlite://") == ()


def test_an_old_database_is_backed_up_before_it_is_brought_up_to_date(tmp_path: Path) -> None:
    """With the older version of the program the bar could go on from that file."""
    file = tmp_path / "shift.db"
    with closing(sqlite3.connect(file)) as raw:
        raw.executescript(RELEASE_1.read_text("utf-8"))
    for _ in range(2):
        with closing(Services(database_url=f"sqlite:///{file}")) as services:
            assert services.tonight().out == {"mint"}
    (backup,) = backups_of(f"sqlite:///{file}")
    assert release_in(backup) == 1
