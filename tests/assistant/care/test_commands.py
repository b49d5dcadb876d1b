"""The commands of care, from a terminal: what they do, print and end with."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from assistant.answers.base import KeepDrink, SetOut
from assistant.care.automatic import back_up_now, backups_of
from assistant.care.commands import WORDS
from assistant.care.copying import COPIED
from assistant.care.files import release_in
from assistant.cli import main
from assistant.memory import Memory
from tests.assistant.remembering import ONE_OF_EACH, RIFF, START, Clock
from tests.assistant.test_schema import load


@pytest.fixture
def url(tmp_path: Path) -> str:
    """A database with a change of each kind."""
    url = f"sqlite:///{tmp_path / 'data' / 'shift.db'}"
    with closing(Memory(url, Clock())) as memory:
        for change in ONE_OF_EACH:
            memory.apply(change, "Ana")
    return url


def run(url: str, *words: str) -> Result:
    """Run a command as from a terminal."""
    return CliRunner().invoke(main, ["--database", url, *words])


def out_in(url: str, venue: str = "house") -> frozenset[str]:
    """What is out."""
    with closing(Memory(url, venue=venue)) as memory:
        return memory.recall().out


class TestBackupAndRestore:
    """There and back."""

    def test_there_and_back(self, url: str, tmp_path: Path) -> None:
        """A backup is made, something changes, and the backup brings back what was; the change is in a file."""
        backup = tmp_path / "backup.db"
        assert run(url, "backup", str(backup)).exit_code == 0
        with closing(Memory(url)) as memory:
            memory.apply(SetOut("mint", True), "bar")
        done = run(url, "restore", str(backup))
        assert done.exit_code == 0
        assert f"changes in the trail {len(ONE_OF_EACH)}" in done.output
        assert out_in(url) == {"orgeat"}
        replaced = done.output.split("kept in ")[1].strip()
        assert out_in(f"sqlite:///{replaced}") == {"orgeat", "mint"}

    def test_a_backup_is_not_written_over(self, url: str, tmp_path: Path) -> None:
        """A name that is taken is refused."""
        (tmp_path / "backup.db").write_text("mine", "utf-8")
        refused = run(url, "backup", str(tmp_path / "backup.db"))
        assert refused.exit_code == 2
        assert (tmp_path / "backup.db").read_text("utf-8") == "mine"

    def test_what_is_no_backup_is_refused_with_a_sentence(self, url: str, tmp_path: Path) -> None:
        """And nothing has changed."""
        (tmp_path / "list.txt").write_text("limes", "utf-8")
        refused = run(url, "restore", str(tmp_path / "list.txt"))
        assert refused.exit_code == 1
        assert "is no backup of this program's" in refused.output
        assert out_in(url) == {"orgeat"}

    def test_the_automatic_ones_are_listed(self, url: str, tmp_path: Path) -> None:
        """Without a file the latest stands first, and how to put it back."""
        assert run(url, "restore").output == "There is no automatic backup yet.\n"
        file = back_up_now(url, START)
        assert run(url, "restore").output.splitlines()[0] == f"2024-03-01 17:00 UTC  {file}"

    def test_a_damaged_database_is_kept_and_replaced(self, url: str, tmp_path: Path) -> None:
        """Where the database is none any more, a backup of yours takes its place."""
        backup, file = tmp_path / "backup.db", tmp_path / "data" / "shift.db"
        run(url, "backup", str(backup))
        file.write_bytes(b"limes, mint, ice " * 400)
        assert "no automatic backup is there" in run(url, "ask", "spec for a gimlet").output
        done = run(url, "restore", str(backup))
        assert f"kept in {file}.damaged-1" in done.output
        assert out_in(url) == {"orgeat"}


class TestOldDatabases:
    """Where a command brings a database of an earlier version up to date, it is backed up before."""

    @pytest.fixture
    def old(self, tmp_path: Path) -> str:
        """One of the first release."""
        old = f"sqlite:///{tmp_path / 'old' / 'shift.db'}"
        load(old, 1)
        return old

    def test_to_put_a_backup_in_its_place(self, old: str, url: str, tmp_path: Path) -> None:
        """What is replaced is kept in a form that the earlier version reads too."""
        assert run(url, "backup", str(tmp_path / "backup.db")).exit_code == 0
        assert run(old, "restore", str(tmp_path / "backup.db")).exit_code == 0
        assert [release_in(backup) for backup in backups_of(old)] == [1]

    def test_to_move_out_of_it(self, old: str, tmp_path: Path) -> None:
        """The earlier version could go on from the backup if the move does not please."""
        assert run(old, "move", f"sqlite:///{tmp_path / 'new.db'}").exit_code == 0
        assert [release_in(backup) for backup in backups_of(old)] == [1]


class TestMove:
    """Into the house's database."""

    def test_it_tells_what_arrived_and_how_to_go_on(self, url: str, postgres_url: str) -> None:
        """The counts were read back there, and the command to start with is printed without the password."""
        done = run(url, "move", postgres_url.replace("tester@", "tester:pelican@"), "--as", "quay")
        assert done.exit_code == 0
        assert "prices 1" in done.output
        assert "--venue quay serve" in done.output
        assert "pelican" not in done.output
        assert out_in(postgres_url, "quay") == {"orgeat"}
        again = run(url, "move", postgres_url, "--as", "quay")
        assert again.exit_code == 1
        assert again.output.rstrip().endswith(
            "There is a venue called quay there already. Give another name with --as. Nothing was moved."
        )

    def test_a_clash_is_told_by_name(self, url: str, tmp_path: Path) -> None:
        """Which drink stands in the way."""
        other = f"sqlite:///{tmp_path / 'other.db'}"
        with closing(Memory(other, venue="hill")) as hill:
            hill.apply(KeepDrink(RIFF), "Cy")
        refused = run(url, "move", other, "--as", "quay")
        assert refused.exit_code == 1
        assert "Harbour Gimlet" in refused.output

    def test_what_is_no_url_is_wrong_usage(self, url: str) -> None:
        """An example says what one looks like."""
        refused = run(url, "move", "the other bar")
        assert refused.exit_code == 2
        assert "postgresql+psycopg://" in refused.output

    def test_each_table_has_words(self) -> None:
        """Whatever is counted has a name that people know."""
        assert WORDS.keys() == {table.name for table in COPIED}


class TestVenue:
    """Which bar this is."""

    def test_two_bars_on_one_database(self, url: str) -> None:
        """What is out at the quay is in at the house."""
        run(url, "--venue", "quay", "ask", "we're out of gin")
        assert out_in(url, "quay") == {"gin"}
        assert out_in(url) == {"orgeat"}

    @pytest.mark.parametrize("name", ["(book)", "x" * 81, " "])
    def test_a_name_that_is_none_is_refused(self, url: str, name: str) -> None:
        """Nor may a venue be called as the book of all of them is."""
        assert run(url, "--venue", name, "ask", "spec for a gimlet").exit_code == 2
