"""Faults made for real: a full disk, a disk that may only be read, a damaged database; the bar is told and goes on.

The disks are memory (tmpfs) mounted in a namespace of the server's own, so no rights beyond those of namespaces are
needed; where the system gives none, those tests are left out and say so.
"""

from __future__ import annotations

import json
import os
import resource
import shlex
import subprocess
import urllib.error
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from assistant.answers.base import SetOut
from assistant.care.automatic import back_up_now
from assistant.errors import DiskFull, MemoryFailed, ReadOnly
from assistant.memory import Memory
from assistant.services import Services
from tests.assistant.remembering import START, Clock
from tests.assistant.running import Server, running

NAMESPACE = ("unshare", "--user", "--map-root-user", "--mount")
FULL = "The disk is full. I could not write that down, so nothing has changed. Make room on it, then say it again."
FIXED = "My notes may only be read, not changed. I could not write that down, so nothing has changed."
MENDED = "My notes were damaged, so I work from the last backup. What was changed after it is lost."


def namespaces() -> bool:
    """Whether a process may have a namespace of its own, and mount memory in it."""
    trying = [*NAMESPACE, "mount", "-t", "tmpfs", "tmpfs", "/mnt"]
    return subprocess.run(trying, capture_output=True, check=False).returncode == 0


needs_namespaces = pytest.mark.skipif(not namespaces(), reason="no namespaces: a disk of the test's own needs them")


@dataclass(frozen=True)
class Disk:
    """A small disk that only the server sees."""

    folder: Path
    server: Server

    def remount(self, options: str) -> None:
        """Change the disk while the server runs: give it another size, let it be written."""
        self._seen_by_the_server("mount", "-o", f"remount,{options}", str(self.folder))

    @contextmanager
    def read_only(self) -> Iterator[None]:
        """As a disk is that its system found faulty: no file can be opened to be written, nor written if it is open.

        The system refuses to turn a disk read-only by hand while its files are open; so the folder is laid over itself
        to be read only, and the server's own writing is stopped by the limit of its files' size.
        """
        pid, folder = self.server.process.pid, str(self.folder)
        before = resource.prlimit(pid, resource.RLIMIT_FSIZE)
        self._seen_by_the_server("mount", "--bind", folder, folder)
        self._seen_by_the_server("mount", "-o", "remount,bind,ro", folder)
        resource.prlimit(pid, resource.RLIMIT_FSIZE, (0, before[1]))
        yield
        resource.prlimit(pid, resource.RLIMIT_FSIZE, before)
        self._seen_by_the_server("umount", folder)

    def _seen_by_the_server(self, *command: str) -> None:
        inside = ["nsenter", "--target", str(self.server.process.pid), "--user", "--mount", "--preserve-credentials"]
        subprocess.run([*inside, *command], check=True)


def on_a_disk(folder: Path, size: str, then: str = "true") -> tuple[str, ...]:
    """What a command is run by to have a disk of that size at the folder, with what lay there on it."""
    at = shlex.quote(str(folder))
    lines = (
        f"cp -a {at} {at}.before",
        f"mount -t tmpfs -o size={size} tmpfs {at}",
        f"cp -a {at}.before/. {at}",
        then.format(at),
        'exec "$@"',
    )
    return (*NAMESPACE, "sh", "-e", "-c", "\n".join(lines), "sh")


@needs_namespaces
class TestFullDisk:
    """The disk has no more room."""

    @pytest.fixture
    def disk(self, tmp_path: Path) -> Iterator[Disk]:
        """The server on a disk of one and a half megabytes."""
        folder = tmp_path / "disk"
        folder.mkdir()
        with running(folder, on_a_disk(folder, "1536k")) as server:
            yield Disk(folder, server)

    def test_changes_are_refused_and_questions_answered(self, disk: Disk) -> None:
        """When nothing more can be written, the next change says so and is not made; specs go on; room mends it."""
        said: list[str] = []
        for turn in range(400):
            words = "we're out of orgeat" if turn % 2 == 0 else "orgeat is back in"
            said.append(disk.server.ask(words)["say"])
            if said[-1] == FULL:
                break
        assert said[-1] == FULL
        assert not said[0].startswith("The disk")
        is_out = len(said) % 2 == 0  # the last one that was made said so
        assert disk.server.ask("spec for a gimlet", "other")["say"].startswith("Gimlet: two ounces gin")
        told = disk.server.ask("what are we out of", "other")["say"]
        assert ("orgeat" in told) is is_out, "what was refused is not made"
        disk.remount("size=8m")
        assert disk.server.ask("we're out of rye whiskey")["undo"]
        assert "rye whiskey" in disk.server.ask("what are we out of", "other")["say"]


@needs_namespaces
def test_a_disk_that_may_only_be_read_answers_questions(tmp_path: Path) -> None:
    """The server starts on it, knows what is out, and refuses changes with a sentence."""
    folder = tmp_path / "disk"
    with closing(Memory(f"sqlite:///{folder / 'shift.db'}", Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
    with running(folder, on_a_disk(folder, "4m", then="mount -o remount,ro {}")) as server:
        assert "orgeat" in server.ask("what are we out of")["say"]
        assert server.ask("we're out of gin")["say"].startswith(FIXED)
        assert "gin" not in server.ask("what are we out of")["say"].replace("orgeat", "")
        Disk(folder, server).remount("rw")
        assert server.ask("we're out of gin")["undo"], "it need not be started again once the disk can be written"
        assert "gin and orgeat" in server.ask("what are we out of", "other")["say"]


@needs_namespaces
class TestReadOnlyWhileRunning:
    """The disk turns read-only under a server that is at work, and can be written again later."""

    @pytest.fixture
    def disk(self, tmp_path: Path) -> Iterator[Disk]:
        """The server on a disk of its own, with something out."""
        folder = tmp_path / "disk"
        folder.mkdir()
        with running(folder, on_a_disk(folder, "8m"), log=tmp_path / "log") as server:
            assert server.ask("we're out of orgeat")["undo"]
            yield Disk(folder, server)

    def test_changes_are_refused_whole_and_made_again_later(self, disk: Disk) -> None:
        """Questions are answered, each change is refused for its reason, and nothing of it is there afterwards."""
        with disk.read_only():
            assert disk.server.ask("we're out of gin")["say"].startswith(FIXED)
            assert disk.server.ask("orgeat is back in")["say"].startswith(FIXED)
            assert disk.server.ask("undo that")["say"].startswith(FIXED)
            assert disk.server.ask("spec for a gimlet", "other")["say"].startswith("Gimlet: two ounces gin")
            assert disk.server.ask("what are we out of")["say"].startswith("We are out of orgeat.")
        assert disk.server.ask("what are we out of", "other")["say"].startswith("We are out of orgeat.")
        assert disk.server.ask("we're out of gin")["undo"]
        assert disk.server.ask("undo that")["say"] == "Undone. Gin is in again."
        assert disk.server.ask("undo that")["say"] == "Undone. Orgeat is in again."

    def test_the_pages_say_it_too(self, disk: Disk) -> None:
        """The manager's PIN, which is set without a question, is refused in the same words."""
        with disk.read_only():
            with pytest.raises(urllib.error.HTTPError) as refused:
                disk.server.post("api/pin/set", {"pin": "482913"})
            assert (refused.value.code, json.load(refused.value)["error"].startswith(FIXED)) == (503, True)
        assert disk.server.post("api/pin/set", {"pin": "482913"})["say"]


def test_a_file_that_may_not_grow_refuses_changes_whole(tmp_path: Path) -> None:
    """With the size of files limited (RLIMIT_FSIZE) the write itself fails; nothing of the change is there."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    with closing(Memory(f"sqlite:///{tmp_path / 'shift.db'}", Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
        held = memory.recall()
        ahead = (tmp_path / "shift.db-wal").stat().st_size
        resource.setrlimit(resource.RLIMIT_FSIZE, (ahead, before[1]))
        try:
            with pytest.raises(DiskFull):
                memory.apply(SetOut("mint", True), "bar")
            assert memory.recall() == held
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, before)
        memory.apply(SetOut("mint", True), "bar")
        assert memory.recall().out == {"orgeat", "mint"}


def test_a_postgresql_that_may_only_be_read_says_so(postgres_url: str) -> None:
    """As a standby is: what is there is read, a change is refused by name."""
    with closing(Memory(postgres_url, Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
    with closing(Memory(f"{postgres_url}%20-cdefault_transaction_read_only%3Don", Clock())) as memory:
        assert memory.recall().out == {"orgeat"}
        with pytest.raises(ReadOnly):
            memory.apply(SetOut("mint", True), "bar")


def test_a_postgresql_that_turns_read_only_in_use_is_written_again_later(postgres_url: str) -> None:
    """As one is whose server was made a standby: the same connection, first so, then as before."""
    turn = "SET SESSION CHARACTERISTICS AS TRANSACTION READ {}"
    with closing(Memory(postgres_url, Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
        held = memory.recall()
        with memory._reading() as connection:
            connection.exec_driver_sql(turn.format("ONLY"))
        with pytest.raises(ReadOnly):
            memory.apply(SetOut("mint", True), "bar")
        assert memory.recall() == held
        with memory._reading() as connection:
            connection.exec_driver_sql(turn.format("WRITE"))
        memory.apply(SetOut("mint", True), "bar")
        assert memory.recall().out == {"orgeat", "mint"}


def test_a_postgresql_that_was_started_anew_is_found_again(postgres_url: str) -> None:
    """A connection that was cut costs nothing: the next change goes through another."""
    with closing(Memory(postgres_url, Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
        with memory._reading() as connection:
            pid = connection.exec_driver_sql("SELECT pg_backend_pid()").scalar()
        with closing(Memory(postgres_url, Clock())) as other, other._reading() as connection:
            assert connection.exec_driver_sql(f"SELECT pg_terminate_backend({pid})").scalar() is True
        memory.apply(SetOut("mint", True), "bar")
        assert memory.recall().out == {"orgeat", "mint"}


def spoil_header(file: Path) -> None:
    """Another program has written over it."""
    file.write_bytes(b"limes, mint, ice " * 400)


def spoil_pages(file: Path) -> None:
    """Some blocks of the disk have gone bad."""
    data = bytearray(file.read_bytes())
    data[4096 : 4096 * 12] = os.urandom(4096 * 11)
    file.write_bytes(data)


def spoil_end(file: Path) -> None:
    """It was cut short."""
    os.truncate(file, file.stat().st_size // 2)


def spoil_all(file: Path) -> None:
    """Nothing is left of what was in it."""
    os.truncate(file, 0)


@pytest.mark.parametrize("spoil", [spoil_header, spoil_pages, spoil_end, spoil_all])
class TestDamaged:
    """The database is damaged when the server starts."""

    def test_the_last_backup_takes_its_place_and_it_is_said(
        self, tmp_path: Path, spoil: Callable[[Path], None]
    ) -> None:
        """What the last automatic backup had is there; the damaged file is kept; each conversation hears of it once."""
        file = tmp_path / "shift.db"
        with closing(Memory(f"sqlite:///{file}", Clock())) as memory:
            memory.apply(SetOut("orgeat", True), "bar")
            back_up_now(f"sqlite:///{file}", START)
            memory.apply(SetOut("mint", True), "bar")
            back_up_now(f"sqlite:///{file}", START)
            memory.apply(SetOut("gin", True), "bar")
        spoil(file)
        spoilt = file.read_bytes()
        with closing(Services(database_url=f"sqlite:///{file}")) as services:
            first = services.ask("spec for a gimlet", "bar")
            assert first.say.startswith(f"{MENDED} Gimlet: two ounces gin")
            (told,) = first.cautions
            assert told == (
                "The memory is that of the backup made 2024-03-01 17:00 UTC;"
                " the damaged file is kept as shift.db.damaged-1."
            )
            assert services.ask("spec for a gimlet", "bar").say.startswith("Gimlet")
            assert services.ask("spec for a gimlet", "kitchen").say.startswith(MENDED)
            assert services.tonight().out == {"orgeat", "mint"}
            assert services.ask("we're out of gin", "bar").undo
        assert (tmp_path / "shift.db.damaged-1").read_bytes() == spoilt

    def test_a_damaged_backup_gives_way_to_the_one_before(self, tmp_path: Path, spoil: Callable[[Path], None]) -> None:
        """The last backup is damaged as well, so the one before it is taken."""
        file = tmp_path / "shift.db"
        with closing(Memory(f"sqlite:///{file}", Clock())) as memory:
            memory.apply(SetOut("orgeat", True), "bar")
            back_up_now(f"sqlite:///{file}", START)
            memory.apply(SetOut("mint", True), "bar")
            spoil(back_up_now(f"sqlite:///{file}", START))
        spoil(file)
        with closing(Services(database_url=f"sqlite:///{file}")) as services:
            assert services.tonight().out == {"orgeat"}


def test_the_page_hears_of_it_first(tmp_path: Path) -> None:
    """From the server that people run: the first reply says it aloud, and the log has it."""
    file = tmp_path / "shift.db"
    with closing(Memory(f"sqlite:///{file}", Clock())) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
        back_up_now(f"sqlite:///{file}", START)
    spoil_pages(file)
    with running(tmp_path) as server:
        assert server.ask("what are we out of")["say"].startswith(f"{MENDED} We are out of orgeat.")
    assert "shift.db is damaged: it is kept as" in (tmp_path / "log" / "prep-assistant.log").read_text("utf-8")


def test_a_damaged_database_without_a_backup_is_left_alone(tmp_path: Path) -> None:
    """With nothing to put in its place, nothing is moved and nothing started empty: it is said."""
    file = tmp_path / "shift.db"
    spoil_header(file)
    before = file.read_bytes()
    with pytest.raises(MemoryFailed):
        Services(database_url=f"sqlite:///{file}")
    assert file.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["shift.db"]
