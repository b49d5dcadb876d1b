"""Moving house: from a file into PostgreSQL, beside other venues, whole or not at all."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import Connection, Table, insert

from assistant.answers.base import KeepDrink, SetOut
from assistant.care import copying
from assistant.care.copying import COPIED, copy_all, counts, venues_in
from assistant.care.moving import move
from assistant.database import opened, reading
from assistant.errors import MemoryFailed, Miscounted, MoveRefused
from assistant.memory import Memory
from assistant.tables import BOOK
from tests.assistant.remembering import ONE_OF_EACH, RIFF, Clock, holdings


@pytest.fixture
def old(tmp_path: Path) -> str:
    """The file of a bar that has changed one of each kind and undone one, and set a PIN."""
    url = f"sqlite:///{tmp_path / 'old' / 'shift.db'}"
    with closing(Memory(url, Clock())) as memory:
        memory.apply_together(ONE_OF_EACH, "Ana")
        memory.undo(memory.apply(SetOut("mint", True), "Ana"), "Bo")
    return url


def rows_in(url: str) -> dict[str, int]:
    """How many rows each table has."""
    with opened(url) as engine, reading(engine) as connection:
        return dict(counts(connection, (*venues_in(connection), BOOK)))


class TestMove:
    """One bar's file goes into another database."""

    def test_all_of_it_arrives_and_the_file_stays(self, old: str, url: str) -> None:
        """The bar goes on there as it was, under the name it goes by there; the counts are those read back."""
        told = move(old, url, "quay")
        assert told == rows_in(old) == rows_in(url)
        with closing(Memory(old)) as before, closing(Memory(url, venue="quay")) as after:
            assert holdings(after) == holdings(before)
            assert after.trail(1000) == before.trail(1000)

    def test_undo_goes_on_there(self, old: str, url: str) -> None:
        """A whole import that was made before the move is taken back after it."""
        with closing(Memory(old)) as before:
            token = before.apply_together((SetOut("gin", True), SetOut("mint", True)), "Ana")
        move(old, url, "quay")
        with closing(Memory(url, venue="quay")) as after:
            after.undo(token, "Ana")
            assert after.recall().out == {"orgeat"}

    def test_it_moves_in_beside_others(self, old: str, url: str) -> None:
        """Two bars with the same bottles out keep their shelves apart, and share what each had kept in the book."""
        with closing(Memory(url, venue="hill")) as hill:
            hill.apply(SetOut("orgeat", True), "Cy")
            hill.apply(KeepDrink(replace(RIFF, name="Hill Gimlet")), "Cy")
            move(old, url, "quay")
            assert hill.recall().out == {"orgeat"}
            assert {drink.name for drink in hill.recall().drinks} == {"Hill Gimlet", RIFF.name}
            assert [entry.name for entry in hill.trail() if entry.kind == "out"] == ["orgeat"]

    def test_a_server_there_sees_the_drinks_that_moved_in(self, old: str, url: str) -> None:
        """Whoever is running on that database looks again."""
        with closing(Memory(url, venue="hill")) as hill:
            before = hill.version()
            move(old, url, "quay")
            assert hill.version() != before

    def test_several_venues_move_under_their_own_names(self, old: str, url: str) -> None:
        """A file that two bars shared moves whole; no one name can be given to both."""
        with closing(Memory(old, venue="hill")) as hill:
            hill.apply(SetOut("gin", True), "Cy")
        with pytest.raises(MoveRefused) as refused:
            move(old, url, "quay")
        assert (refused.value.reason, refused.value.names) == ("many", ("hill", "house"))
        move(old, url)
        with closing(Memory(url, venue="hill")) as there:
            assert there.recall().out == {"gin"}


def test_it_moves_in_while_others_go_on(old: str, postgres_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The counts that are read back are of what moved, whatever a bar that is there changes in the middle of it."""
    real = copying._copy_table
    with closing(Memory(postgres_url, venue="hill")) as hill:

        def meanwhile(table: Table, *others: object) -> None:
            hill.apply(SetOut(f"bottle {table.name}", True), "Cy")
            real(table, *others)  # type: ignore[arg-type]

        monkeypatch.setattr(copying, "_copy_table", meanwhile)
        assert move(old, postgres_url, "quay") == rows_in(old)
        assert len(hill.recall().out) == len(COPIED)


class TestRefused:
    """What does not go is said, and nothing of it goes."""

    def test_a_file_with_nothing_in_it(self, tmp_path: Path, url: str) -> None:
        """The wrong file was named, most likely."""
        with pytest.raises(MoveRefused) as refused:
            move(f"sqlite:///{tmp_path / 'none.db'}", url)
        assert refused.value.reason == "nothing"

    def test_a_venue_that_is_there(self, old: str, url: str) -> None:
        """Moving twice does not double anything."""
        move(old, url, "quay")
        before = rows_in(url)
        with pytest.raises(MoveRefused) as refused:
            move(old, url, "quay")
        assert (refused.value.reason, refused.value.names) == ("there", ("quay",))
        assert rows_in(url) == before

    def test_a_file_that_was_moved_under_another_name(self, old: str, url: str) -> None:
        """One bar does not become two because somebody moves it twice."""
        move(old, url, "quay")
        before = rows_in(url)
        with pytest.raises(MoveRefused) as refused:
            move(old, url, "hill")
        assert refused.value.reason == "moved"
        assert rows_in(url) == before

    def test_a_drink_of_that_name_is_in_the_book_there(self, old: str, url: str) -> None:
        """Of two drinks with one name neither is lost: it is said which, and nothing has moved."""
        with closing(Memory(url, venue="hill")) as hill:
            hill.apply(KeepDrink(replace(RIFF, note="ours")), "Cy")
        before = rows_in(url)
        with pytest.raises(MoveRefused) as refused:
            move(old, url, "quay")
        assert (refused.value.reason, refused.value.names) == ("drinks", (RIFF.name,))
        assert rows_in(url) == before

    def test_one_that_breaks_off_leaves_nothing_behind(
        self, old: str, url: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """The connection is lost in the middle of it: nothing has arrived, and it can be tried again."""
        with opened(url) as engine, reading(engine):
            pass
        real = copying._copy_table

        def lost(table: Table, *others: object) -> None:
            real(table, *others)  # type: ignore[arg-type]
            if table is COPIED[-1]:
                raise ConnectionError

        with monkeypatch.context() as fault:
            fault.setattr(copying, "_copy_table", lost)
            with pytest.raises(MemoryFailed):
                move(old, url, "quay")
        assert not any(rows_in(url).values())
        move(old, url, "quay")
        assert rows_in(url) == rows_in(old)

    def test_a_row_that_did_not_arrive_stops_all_of_them(
        self, old: str, url: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """The counts are read back before anything is settled; one row too few, and none is there."""
        real = copying._copy_table

        def forgetful(table: Table, source: Connection, target: Connection, names: dict[str, str]) -> None:
            real(table, source, target, names)
            if table.name == "trail":
                target.execute(table.delete().where(table.c.kind == "price"))

        monkeypatch.setattr(copying, "_copy_table", forgetful)
        with pytest.raises(Miscounted):
            move(old, url, "quay")
        assert not any(rows_in(url).values())


def test_every_table_says_whose_each_row_is() -> None:
    """What is moved under another name must know its venue, and no row may rest on another row's number."""
    for table in COPIED:
        assert "venue" in table.columns
        assert not table.foreign_keys


def test_many_rows_arrive_in_order(tmp_path: Path, url: str) -> None:
    """More rows than go in one step keep the order in which they were written."""
    trail = next(table for table in COPIED if table.name == "trail")
    names = [f"bottle {number}" for number in range(copying.AT_A_TIME * 2 + 1)]
    line = {"venue": "house", "at": "2024-03-01T17:00:00+00:00", "who": "Ana", "kind": "out"}
    with opened(f"sqlite:///{tmp_path / 'old.db'}") as source, opened(url) as target:
        with source.begin() as connection:
            connection.execute(insert(trail), [{**line, "token": f"t{name}", "name": name} for name in names])
        with reading(source) as sent, target.begin() as arriving:
            copy_all(sent, arriving)
    with closing(Memory(url)) as memory:
        assert [entry.name for entry in reversed(memory.trail(10_000))] == names
