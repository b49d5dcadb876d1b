"""Old databases: each schema that was ever released is brought to ours with all that was in it."""

from __future__ import annotations

import re
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, create_engine, inspect, text

from assistant import schema
from assistant.database import open_engine
from assistant.errors import NewerDatabase
from assistant.failures import sentence_for
from assistant.memory import Memory
from assistant.schema import NEWEST, release_of
from assistant.tables import metadata
from recipes.units import quantity

RELEASES = Path(__file__).parent / "releases"  # NUMBER.sql: a database as the code of that release left it
RELEASED = sorted(int(file.stem) for file in RELEASES.glob("*.sql"))


def load(url: str, release: int) -> None:
    """Make the database of a release: SQLite's own dump, with the keys as PostgreSQL counts them where it is that."""
    dump = (RELEASES / f"{release}.sql").read_text("utf-8")
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        path = Path(engine.url.database or "")
        path.parent.mkdir(parents=True)
        with closing(sqlite3.connect(path)) as raw:
            raw.executescript(dump)
    else:
        with engine.begin() as connection:
            _load_postgres(connection, dump)
    engine.dispose()


def _load_postgres(connection: Connection, dump: str) -> None:
    for unwanted in (r"^--.*$", r"^BEGIN TRANSACTION;$", r"^COMMIT;$"):
        dump = re.sub(unwanted, "", dump, flags=re.MULTILINE)
    connection.exec_driver_sql(dump.replace("number INTEGER NOT NULL", "number SERIAL NOT NULL"))
    for table in re.findall(r"CREATE TABLE (\w+) \(\s*number ", dump):
        count = f"SELECT setval(pg_get_serial_sequence('{table}', 'number'), (SELECT max(number) FROM {table}))"
        connection.exec_driver_sql(count)


def shape(engine: Engine) -> dict[str, object]:
    """Each table's columns, keys and indexes, as the database has them."""
    found = inspect(engine)
    return {
        table: (
            {column["name"]: (str(column["type"]), column["nullable"]) for column in found.get_columns(table)},
            found.get_pk_constraint(table)["constrained_columns"],
            sorted(sorted(unique["column_names"]) for unique in found.get_unique_constraints(table)),
            sorted([*index["column_names"]] for index in found.get_indexes(table) if not index["unique"]),
        )
        for table in found.get_table_names()
    }


class TestUpgrade:
    """A database from an older release."""

    def test_the_first_release_is_among_them(self) -> None:
        """There is a database of release 1 to try."""
        assert RELEASED[0] == 1

    @pytest.mark.parametrize("release", RELEASED)
    def test_it_becomes_as_a_new_one(self, release: int, url: str) -> None:
        """Every column, key and index is as in a database that was made today."""
        load(url, release)
        upgraded = open_engine(url)
        after = shape(upgraded)
        with upgraded.begin() as connection:
            assert release_of(connection) == NEWEST
            metadata.drop_all(connection)
            connection.execute(text("DROP TABLE IF EXISTS schema_release"))
        upgraded.dispose()
        made_today = open_engine(url)
        assert after == shape(made_today)
        made_today.dispose()

    def test_nothing_of_the_first_release_is_lost(self, url: str) -> None:
        """What was out, dear, kept, sold and marked is so still; the trail is whole, and a change in it is undone."""
        load(url, 1)
        with closing(Memory(url)) as memory:
            now, trail = memory.recall(), memory.trail()
            assert now.out == {"mint"}
            prices = {"lime juice": "0.60", "gin": "30", "aged rum": "31.50"}
            assert now.prices == {name: quantity(price, "money") for name, price in prices.items()}
            assert [drink.name for drink in now.drinks] == ["Harbour Gimlet"]
            assert now.supplied == {"limes, box": ("lime juice", "lime wheel")}
            assert now.sold == {"Gimlet": 41}
            assert [(mark.kind, mark.points) for mark in memory.marks("Ana")] == [("build", 5)]
            assert [test.title for test in memory.tests()] == ["Classics"]
            assert len(trail) == 11
            memory.undo("3b160096c45948f49253d30339bf49f7", "Bo")
            assert set(memory.recall().prices) == {"lime juice"}

    def test_a_step_that_fails_leaves_the_old_database(self, url: str, monkeypatch: pytest.MonkeyPatch) -> None:
        """All steps are one transaction: after a fault in the last one the database is of the old release still."""

        def stumble(connection: Connection) -> None:
            connection.execute(text("CREATE TABLE half_done (number INTEGER)"))
            connection.execute(text("SELECT no_such_column FROM trail"))

        load(url, 1)
        before = create_engine(url)
        shape_before = shape(before)
        monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, stumble))
        monkeypatch.setattr(schema, "NEWEST", NEWEST + 1)
        with pytest.raises(Exception, match="no_such_column"):
            open_engine(url)
        assert shape(before) == shape_before
        before.dispose()

    def test_many_that_open_it_at_once_upgrade_it_once(self, url: str) -> None:
        """Three processes that start together find one upgraded database, and none of them fails."""
        load(url, 1)
        found: list[int] = []

        def start() -> None:
            with closing(Memory(url)) as memory:
                found.append(len(memory.trail()))

        threads = [threading.Thread(target=start) for _ in range(3)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert found == [11, 11, 11]


class TestNewer:
    """A database that a later version has changed."""

    def test_it_is_refused_and_not_touched(self, url: str) -> None:
        """An older program does not write into what it does not know, and says which numbers it compared."""
        engine = open_engine(url)
        with engine.begin() as connection:
            connection.execute(text("UPDATE schema_release SET release = :later"), {"later": NEWEST + 3})
        before = shape(engine)
        with pytest.raises(NewerDatabase) as refused:
            Memory(url)
        assert (refused.value.found, refused.value.known) == (NEWEST + 3, NEWEST)
        assert shape(engine) == before
        engine.dispose()

    def test_the_sentence_says_what_to_do(self) -> None:
        """The person at the terminal reads the numbers and what to do about it."""
        told = sentence_for(NewerDatabase(7, 2)) or ""
        assert "its schema is 7, and this one knows 2" in told
        assert "Update the program" in told


def test_a_database_that_is_up_to_date_is_only_read(url: str) -> None:
    """Opening it again takes no lock for writing, so a database that is busy or read-only opens."""
    first = open_engine(url)
    with first.execution_options(writing=True).begin(), closing(Memory(url)) as memory:
        assert memory.recall().version == 0
    first.dispose()
