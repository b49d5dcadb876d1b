"""The wheel carries everything: book, phrases, templates and static files."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from this checkout."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--quiet", "--wheel-dir", str(out), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True)
    return next(out.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel unpacked alone in an empty folder, away from the checkout."""
    folder = tmp_path_factory.mktemp("installed")
    zipfile.ZipFile(wheel).extractall(folder)
    return folder


def run(installed: Path, *words: str) -> str:
    """What the command prints, run from the installed files alone."""
    program = (
        "import assistant, sys; from assistant.cli import main; print(assistant.__file__, file=sys.stderr); main()"
    )
    environment = os.environ | {"PYTHONPATH": str(installed), "HOME": str(installed), "XDG_DATA_HOME": str(installed)}
    ran = subprocess.run(
        [sys.executable, "-P", "-c", program, *words],
        cwd=installed.parent,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr.startswith(str(installed)), "another copy answered"
    return ran.stdout


def test_an_installed_wheel_answers(installed: Path) -> None:
    """From the wheel alone, a question about a drink of the book is answered from the book."""
    reply = json.loads(run(installed, "ask", "what's in a gimlet", "--json"))
    assert (reply["command"]["intent"], reply["command"]["slots"]["drink"]) == ("spec", "Gimlet")
    assert "gin" in reply["say"]


def test_an_installed_wheel_proves_its_book(installed: Path) -> None:
    """`check` runs on the book inside the wheel."""
    assert run(installed, "check")


@pytest.mark.parametrize("ending", [".toml", ".jsgf", ".html", ".css", ".js"])
def test_the_wheel_holds_every_data_file_of_the_checkout(wheel: Path, ending: str) -> None:
    """No book page, phrase file, template or static file is left behind."""
    packed = set(zipfile.ZipFile(wheel).namelist())
    here = {
        str(path.relative_to(ROOT))
        for package in ("assistant", "grammar", "recipes")
        for path in (ROOT / package).rglob(f"*{ending}")
    }
    assert here
    assert here <= packed
