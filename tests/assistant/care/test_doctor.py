"""The doctor: each thing that service rests on, well and ill, with what to do about it."""

from __future__ import annotations

import shutil
import socket
from collections import namedtuple
from contextlib import closing
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from assistant.answers.base import SetOut
from assistant.care import machine_checks, store_checks
from assistant.care.automatic import back_up_now
from assistant.care.doctor import Patient, checks
from assistant.care.findings import Found, State
from assistant.cli import main
from assistant.database import opened
from assistant.ears.choose import MODEL
from assistant.ears.errors import NoMicrophone
from assistant.memory import Memory
from assistant.voice import Speaker
from assistant.web.certificate import certificate_for
from assistant.web.lan import NoNetwork
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving

Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A sound database."""
    file = tmp_path / "shift.db"
    with closing(Memory(f"sqlite:///{file}")) as memory:
        memory.apply(SetOut("orgeat", True), "bar")
    return file


def ill(found: Found, state: State, *told: str) -> None:
    """Check that something is found ill in this way, and that it is said what to do."""
    assert found.state is state
    assert found.todo
    for words in told:
        assert words in f"{found.told} {found.todo}"


class TestKept:
    """The book, the database, the backups, the disk."""

    def test_all_is_well(self, file: Path) -> None:
        """The book that ships, a sound database with a fresh backup, on a disk with room."""
        back_up_now(f"sqlite:///{file}", datetime.now(UTC))
        url = f"sqlite:///{file}"
        for found in (
            store_checks.of_book(None),
            store_checks.of_database(url),
            store_checks.of_backups(url),
        ):
            assert found.state is State.WELL, found

    def test_a_book_with_a_fault(self, tmp_path: Path) -> None:
        """How many faults, and where the first is."""
        folder = Path(shutil.copytree(str(files("recipes") / "book"), tmp_path / "book"))
        (folder / "classics.toml").write_text("shelf = ", "utf-8")
        ill(store_checks.of_book(folder), State.STOPS, "classics.toml", "prep-assistant check")

    def test_a_damaged_database(self, file: Path) -> None:
        """It names the two ways out."""
        file.write_bytes(b"limes, mint, ice " * 400)
        ill(store_checks.of_database(f"sqlite:///{file}"), State.STOPS, "damaged", "restore")

    def test_a_database_of_a_later_version(self, file: Path) -> None:
        """It is the program that is to be brought up to date."""
        with opened(f"sqlite:///{file}") as engine, engine.begin() as connection:
            connection.execute(text("UPDATE schema_release SET release = 999"))
        ill(store_checks.of_database(f"sqlite:///{file}"), State.STOPS, "999", "Update")

    def test_a_database_that_is_nowhere(self) -> None:
        """A folder that cannot be."""
        ill(store_checks.of_database("sqlite:////proc/no/shift.db"), State.STOPS, "cannot be opened")

    def test_looking_changes_nothing(self, file: Path) -> None:
        """No change is counted because the doctor tried whether one could be made."""
        with closing(Memory(f"sqlite:///{file}")) as memory:
            before = memory.version()
            store_checks.of_database(f"sqlite:///{file}")
            assert memory.version() == before

    def test_backups_that_are_none_or_old(self, file: Path) -> None:
        """None yet, and one of last week."""
        url = f"sqlite:///{file}"
        ill(store_checks.of_backups(url), State.NOTE, "none yet")
        back_up_now(f"sqlite:///{file}", datetime.now(UTC) - timedelta(days=7))
        ill(store_checks.of_backups(url), State.NOTE, "the last from")

    @pytest.mark.parametrize(("free", "state"), [(100_000_000, State.NOTE), (1_000_000, State.STOPS)])
    def test_a_disk_with_little_room(
        self, file: Path, monkeypatch: pytest.MonkeyPatch, free: int, state: State
    ) -> None:
        """Little room is a note, none stops service."""
        monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(0, 0, free))
        ill(store_checks.of_disk(f"sqlite:///{file}"), state, "megabytes free", "Make room")


class TestMachine:
    """Its port, ear, microphone, voice, network and certificate."""

    def test_a_port_that_is_free(self) -> None:
        """Nobody is there."""
        with socket.socket() as finding:
            finding.bind(("127.0.0.1", 0))
            port = finding.getsockname()[1]
        assert machine_checks.of_port(port).state is State.WELL

    def test_a_port_that_another_program_has(self) -> None:
        """It listens, and is not ours."""
        with socket.socket() as other:
            other.bind(("127.0.0.1", 0))
            other.listen()
            other.settimeout(5)
            port = other.getsockname()[1]
            monkey = pytest.MonkeyPatch()
            monkey.setattr(machine_checks, "PATIENCE_S", 0.2)
            ill(machine_checks.of_port(port), State.STOPS, "another program", "--port")
            monkey.undo()

    def test_a_port_that_our_server_has(self) -> None:
        """The server is running: that is well."""
        with serving(FakeServices()) as server:
            found = machine_checks.of_port(int(server.address.rstrip("/").rpartition(":")[2]))
        assert found.state is State.WELL
        assert "this program's server" in found.told

    def test_an_ear(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        """The one that comes with the install; none; and a model that is not where it is said to be."""
        monkeypatch.delenv(MODEL, raising=False)
        assert machine_checks.of_recogniser().state is State.WELL
        monkeypatch.setenv(MODEL, str(tmp_path / "none"))
        ill(machine_checks.of_recogniser(), State.STOPS, MODEL)
        monkeypatch.delenv(MODEL)
        monkeypatch.setattr(machine_checks, "english_model", lambda: None)
        monkeypatch.setattr(machine_checks, "find_spec", lambda _: None)
        ill(machine_checks.of_recogniser(), State.STOPS, "Install")

    def test_a_microphone(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """By its name; or none, which stops no service, since the page has that of its device."""

        def none() -> str:
            raise NoMicrophone("no microphone can be used", "plug one in")

        monkeypatch.setattr(machine_checks, "default_microphone", lambda: "bar microphone")
        assert machine_checks.of_microphone() == Found("microphone", State.WELL, "bar microphone")
        monkeypatch.setattr(machine_checks, "default_microphone", none)
        ill(machine_checks.of_microphone(), State.NOTE, "no microphone", "plug one in")

    def test_a_voice(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """By its name; or none, and which to install."""
        monkeypatch.setattr(machine_checks, "speaker", lambda: Speaker("flite", "-t", ()))
        assert machine_checks.of_voice() == Found("voice", State.WELL, "flite")
        monkeypatch.setattr(machine_checks, "speaker", lambda: None)
        ill(machine_checks.of_voice(), State.NOTE, "espeak-ng")

    def test_a_certificate(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        """None yet; in time; for another address; run out; and no network at all."""
        monkeypatch.setattr(machine_checks, "lan_address", lambda: "192.0.2.7")
        ill(machine_checks.of_certificate(tmp_path), State.NOTE, "none yet", "serve --lan")
        certificate_for("192.0.2.7", tmp_path)
        assert machine_checks.of_certificate(tmp_path).state is State.WELL
        monkeypatch.setattr(machine_checks, "lan_address", lambda: "192.0.2.8")
        ill(machine_checks.of_certificate(tmp_path), State.NOTE, "another address than 192.0.2.8")
        certificate_for("192.0.2.8", tmp_path / "old", datetime.now(UTC) - timedelta(days=800))
        ill(machine_checks.of_certificate(tmp_path / "old"), State.NOTE, "ran out")

        def none() -> str:
            raise NoNetwork

        monkeypatch.setattr(machine_checks, "lan_address", none)
        ill(machine_checks.of_certificate(tmp_path), State.NOTE, "on none")


class TestCommand:
    """The visit, from a terminal."""

    def test_what_stops_service_ends_with_1(self, file: Path) -> None:
        """Each thing has its line; the damaged database is among them, and the exit code tells programs."""
        file.write_bytes(b"limes, mint, ice " * 400)
        ended = CliRunner().invoke(main, ["--database", f"sqlite:///{file}", "doctor", "--port", "1"])
        assert ended.exit_code == 1
        assert "STOPS  database" in ended.output
        subjects = ("book", "database", "backups", "disk", "port", "ear", "microphone", "voice")
        assert all(f" {subject}: " in ended.output for subject in subjects)
        assert ended.output.endswith("Something stops service; see above.\n")

    def test_every_finding_is_a_sentence_to_act_on(self, file: Path, tmp_path: Path) -> None:
        """Whatever is not well on this machine comes with what to do, ended by a stop or a command."""
        for check in checks(Patient(None, f"sqlite:///{file}", 8462, tmp_path)):
            found = check()
            assert found.told
            assert bool(found.todo) is (found.state is not State.WELL)
