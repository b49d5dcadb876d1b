"""Backups: whole while the bar goes on, put back whole, and nothing put in their place that is none."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from assistant.answers.base import SetOut
from assistant.care.backups import back_up, is_backup, restore
from assistant.care.copying import Counts
from assistant.errors import BackupRefused, DiskFull, MemoryFailed, NewerDatabase
from assistant.memory import Memory
from tests.assistant.remembering import ONE_OF_EACH, Clock, holdings

RELEASE_1 = Path(__file__).parents[1] / "releases" / "1.sql"


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory with one change of each kind in it, on SQLite and on PostgreSQL."""
    memory = Memory(url, Clock())
    for change in ONE_OF_EACH:
        memory.apply(change, "Ana")
    yield memory
    memory.close()


def total(rows: Counts) -> int:
    """All rows together."""
    return sum(rows.values())


class TestBackUp:
    """A backup of what is remembered."""

    def test_it_holds_all_that_is_remembered(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """The file is a memory of its own, equal to the one it was made of, the trail included; and only one file."""
        back_up(url, tmp_path / "to" / "backup.db")
        assert [file.name for file in (tmp_path / "to").iterdir()] == ["backup.db"]
        with closing(Memory(f"sqlite:///{tmp_path / 'to' / 'backup.db'}")) as copy:
            assert holdings(copy) == holdings(memory)
            assert copy.trail() == memory.trail()

    def test_it_is_of_one_moment_while_the_bar_goes_on(self, url: str, tmp_path: Path) -> None:
        """Changes go on all the while; each backup has whole changes only: as many things out as lines in the trail."""
        memory = Memory(url, Clock())
        over = threading.Event()

        def work() -> None:
            turn = 0
            while not over.is_set():
                memory.apply(SetOut(f"bottle {turn}", True), "bar")
                turn += 1

        busy = threading.Thread(target=work)
        busy.start()
        files = [tmp_path / f"{number}.db" for number in range(8)]
        try:
            for file in files:
                back_up(url, file)
        finally:
            over.set()
            busy.join()
            memory.close()
        lines = []
        for file in files:
            with closing(Memory(f"sqlite:///{file}")) as copy:
                lines.append(len(copy.trail(10_000)))
                assert len(copy.recall().out) == lines[-1]
        assert lines == sorted(lines)
        assert lines[-1] > lines[0], "the bar did go on meanwhile"

    def test_a_backup_that_cannot_be_made_leaves_the_one_before(
        self, memory: Memory, url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """A disk that gives no more room when the file is to be finished costs the new backup and no other."""

        def no_room(*_: object) -> None:
            raise DiskFull("no room")

        file = tmp_path / "to" / "backup.db"
        back_up(url, file)
        before = file.read_bytes()
        memory.apply(SetOut("mint", True), "Ana")
        monkeypatch.setattr("assistant.care.backups.is_spoilt", no_room)
        with pytest.raises(MemoryFailed):
            back_up(url, file)
        assert file.read_bytes() == before
        assert [each.name for each in file.parent.iterdir()] == ["backup.db"]


class TestRestore:
    """A backup put back."""

    def test_all_is_as_it_was_and_what_it_replaced_is_kept(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """What came after the backup is gone from the memory, and there in the file that is named."""
        was, before = holdings(memory), tmp_path / "before.db"
        back_up(url, tmp_path / "backup.db")
        memory.apply(SetOut("mint", True), "Ana")
        later = holdings(memory)
        done = restore(tmp_path / "backup.db", url, before)
        assert holdings(memory) == was
        assert total(done.rows) == len(ONE_OF_EACH) * 2, "each change and its line in the trail"
        assert done.replaced == before
        with closing(Memory(f"sqlite:///{before}")) as kept:
            assert holdings(kept) == later

    def test_a_server_that_is_running_sees_it(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """Its next look finds another version, whatever was restored; and what it changes next comes on top."""
        seen = {memory.version()}
        for _ in range(3):
            back_up(url, tmp_path / "backup.db")
            restore(tmp_path / "backup.db", url, tmp_path / "before.db")
            assert memory.version() not in seen
            seen.add(memory.version())
        token = memory.apply(SetOut("mint", True), "Ana")
        memory.undo(token, "Ana")

    def test_undo_still_knows_what_came_before_the_backup(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """A change that was made before the backup is undone after it was put back."""
        token = memory.apply(SetOut("mint", True), "Ana")
        back_up(url, tmp_path / "backup.db")
        restore(tmp_path / "backup.db", url, tmp_path / "before.db")
        memory.undo(token, "Ana")
        assert "mint" not in memory.recall().out

    def test_it_goes_into_an_empty_database(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """On a new machine there is nothing to keep first."""
        back_up(url, tmp_path / "backup.db")
        new = f"sqlite:///{tmp_path / 'new' / 'shift.db'}"
        done = restore(tmp_path / "backup.db", new, tmp_path / "before.db")
        assert done.replaced is None
        with closing(Memory(new)) as restored:
            assert holdings(restored) == holdings(memory)

    def test_a_backup_of_the_first_release_is_brought_up_to_date(self, url: str, tmp_path: Path) -> None:
        """An old backup is as good as a new one, and is not changed by being used."""
        old = tmp_path / "old.db"
        with closing(sqlite3.connect(old)) as raw:
            raw.executescript(RELEASE_1.read_text("utf-8"))
        before = old.read_bytes()
        restore(old, url, tmp_path / "before.db")
        assert old.read_bytes() == before
        with closing(Memory(url)) as restored:
            assert restored.recall().out == {"mint"}
            assert len(restored.trail()) == 11

    @pytest.mark.parametrize("wrong", ["none", "empty", "text", "other", "cut"])
    def test_what_is_no_backup_is_refused(self, memory: Memory, url: str, tmp_path: Path, wrong: str) -> None:
        """No file, an empty one, a shopping list, another program's database, half a backup: nothing has changed."""
        file = tmp_path / "file.db"
        back_up(url, file)
        whole = file.read_bytes()
        file.unlink()
        if wrong == "other":
            with closing(sqlite3.connect(file)) as raw:
                raw.execute("CREATE TABLE shopping (what TEXT)")
        elif wrong != "none":
            file.write_bytes({"empty": b"", "text": b"limes, mint, ice " * 400, "cut": whole[: len(whole) // 2]}[wrong])
        assert not is_backup(file)
        before = holdings(memory)
        with pytest.raises(BackupRefused) as refused:
            restore(file, url, tmp_path / "before.db")
        assert refused.value.file == str(file)
        assert holdings(memory) == before
        assert not (tmp_path / "before.db").exists()

    def test_a_backup_of_a_later_version_is_refused(self, memory: Memory, url: str, tmp_path: Path) -> None:
        """What only a later program understands is not put in place of what this one does."""
        back_up(url, tmp_path / "later.db")
        with closing(sqlite3.connect(tmp_path / "later.db")) as raw, raw:
            raw.execute("UPDATE schema_release SET release = 999")
        before = holdings(memory)
        with pytest.raises(NewerDatabase):
            restore(tmp_path / "later.db", url, tmp_path / "before.db")
        assert holdings(memory) == before

    def test_one_that_breaks_off_changes_nothing(
        self, memory: Memory, url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """When the copying fails after half of it, all is as before."""
        back_up(url, tmp_path / "backup.db")
        memory.apply(SetOut("mint", True), "Ana")
        before = holdings(memory)
        monkeypatch.setattr("assistant.care.copying.counts", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            restore(tmp_path / "backup.db", url, tmp_path / "before.db")
        assert holdings(memory) == before
