"""The devices that have joined: known by a secret of their own, kept over a restart, turned out after thirty days."""

from __future__ import annotations

import json
import stat
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from assistant.web.devices import LASTS, MOST, Devices

NOW = datetime(2026, 3, 1, 18, 0, tzinfo=UTC)


class Clock:
    """A clock that is set by hand."""

    at = NOW

    def __call__(self) -> datetime:
        """The time."""
        return self.at


@pytest.fixture
def clock() -> Clock:
    """A clock."""
    return Clock()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Where devices are kept; the folder is not there yet."""
    return tmp_path / "lan" / "devices.json"


def test_a_device_is_known_by_its_token_alone(file: Path) -> None:
    """What was admitted is known; what was not, and what is near it, is not."""
    devices = Devices(file)
    token = devices.admit()
    assert devices.known(token)
    assert [devices.known(other) for other in ("", token[:-1], token.lower(), "\ud800", "x" * 10_000)] == [None] * 5


def test_a_restart_turns_nobody_out(file: Path) -> None:
    """Another run of the program knows them still."""
    token = Devices(file).admit()
    assert Devices(file).known(token)


def test_the_file_gives_no_token_away(file: Path) -> None:
    """Only the owner reads the file, and who reads it all the same cannot come in with what it holds."""
    token = Devices(file).admit()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert token not in file.read_text()


def test_after_thirty_days_a_device_joins_anew(file: Path, clock: Clock) -> None:
    """A phone that left with its owner does not stay for ever."""
    devices = Devices(file, clock)
    token = devices.admit()
    clock.at = NOW + LASTS - timedelta(seconds=1)
    assert devices.known(token)
    clock.at = NOW + LASTS
    assert (devices.known(token), len(devices)) == (None, 0)


@pytest.mark.parametrize("jump", [timedelta(hours=-3), timedelta(hours=3)], ids=["back", "forward"])
def test_a_clock_that_jumps_a_little_turns_nobody_out(file: Path, clock: Clock, jump: timedelta) -> None:
    """Summer time, or a clock put right in the middle of a night."""
    devices = Devices(file, clock)
    token = devices.admit()
    clock.at = NOW + jump
    assert devices.known(token)


def test_one_alone_can_be_turned_out_while_the_server_runs(file: Path) -> None:
    """By another program: the server knows it no more, and all others still."""
    server = Devices(file)
    lost, other = server.admit("192.0.2.7"), server.admit("192.0.2.8")
    (name,) = [device.name for device in Devices(file).all() if device.address == "192.0.2.7"]
    assert Devices(file).forget(name)
    assert (server.known(lost), bool(server.known(other)), len(server)) == (None, True, 1)
    later = server.admit()
    assert [bool(Devices(file).known(token)) for token in (lost, other, later)] == [False, True, True]
    assert not Devices(file).forget(name), "there is none of that name any more"


def test_two_programs_lose_neither_change(file: Path) -> None:
    """One lets devices in while another turns some out."""
    server, command = Devices(file), Devices(file)
    tokens = [server.admit(f"192.0.2.{number}") for number in range(20)]
    leaving = [device.name for device in command.all() if device.address.endswith(("1", "3"))]
    with ThreadPoolExecutor(2) as both:
        coming = both.submit(lambda: [server.admit() for _ in range(20)])
        going = both.submit(lambda: [command.forget(name) for name in leaving])
        assert all(going.result())
    assert len(Devices(file)) == len(tokens) - len(leaving) + 20
    assert all(server.known(token) for token in coming.result())


def test_a_file_of_an_earlier_version_is_read(file: Path) -> None:
    """It does not tell from where they joined."""
    token = Devices(file).admit("192.0.2.7")
    kept = json.loads(file.read_text())
    file.write_text(json.dumps({"joined": kept["joined"]}))
    devices = Devices(file)
    assert devices.known(token)
    assert [device.address for device in devices.all()] == [""]


def test_all_can_be_turned_out(file: Path) -> None:
    """After that nobody is known, now and after a restart."""
    devices = Devices(file)
    token = devices.admit()
    devices.forget_all()
    devices.forget_all()
    assert (devices.known(token), Devices(file).known(token)) == (None, None)


@pytest.mark.parametrize(
    "damage", [b"", b"{", b"[]", b'{"joined": {"a": "soon"}}', b"\xff\xfe", b'{"joined": {"a": "2026-03-01T18:00"}}']
)
def test_a_damaged_file_lets_nobody_in_and_stops_nothing(file: Path, damage: bytes) -> None:
    """Everyone joins again, and the file is good again."""
    token = Devices(file).admit()
    file.write_bytes(damage)
    devices = Devices(file)
    assert devices.known(token) is None
    joined_anew = devices.admit()
    assert Devices(file).known(joined_anew)


def test_the_oldest_makes_room(file: Path, clock: Clock) -> None:
    """Two hundred are kept; the next one turns out the one that joined first."""
    devices = Devices(file, clock)
    tokens = []
    for _ in range(MOST + 1):
        clock.at += timedelta(seconds=1)
        tokens.append(devices.admit())
    assert len(devices) == MOST
    assert devices.known(tokens[0]) is None
    assert all(devices.known(token) for token in tokens[1:])


def test_a_device_that_cannot_be_kept_is_not_admitted(tmp_path: Path) -> None:
    """Where nothing can be written, nobody comes in who would be a stranger after the next restart."""
    (tmp_path / "lan").write_text("in the way")
    devices = Devices(tmp_path / "lan" / "devices.json")
    with pytest.raises(OSError, match="lan"):
        devices.admit()
    assert len(devices) == 0
