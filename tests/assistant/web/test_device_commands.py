"""Which devices have joined, and one of them turned out, from the terminal of the bar's own machine."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from assistant.cli import main
from assistant.web.device_commands import devices_file
from assistant.web.devices import Devices


@pytest.fixture(autouse=True)
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """This person's own folder, for this test alone."""
    monkeypatch.setattr(click, "get_app_dir", lambda name: str(tmp_path / name))


def run(*words: str) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["devices", *words])


def test_they_are_listed_and_one_is_turned_out() -> None:
    """By the name that stands beside its address; the other stays."""
    server = Devices(devices_file())
    assert run().output == "No device has joined.\n"
    lost, other = server.admit("192.0.2.7"), server.admit("192.0.2.8")
    line = next(line for line in run().output.splitlines() if line.endswith("from 192.0.2.7"))
    done = run("--forget", line.split()[0])
    assert (done.exit_code, "is turned out" in done.output) == (0, True)
    assert (server.known(lost), bool(server.known(other))) == (None, True)
    assert "192.0.2.7" not in run().output


def test_a_name_that_nothing_has_is_told() -> None:
    """And nobody is turned out."""
    Devices(devices_file()).admit("192.0.2.8")
    done = run("--forget", "tablet")
    assert (done.exit_code, "No device is called tablet" in done.output) == (1, True)
    assert "192.0.2.8" in run().output
