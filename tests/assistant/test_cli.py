"""The commands: what they print, how they end, and that no failure is a traceback."""

from __future__ import annotations

import json
import shutil
import signal
import urllib.request
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from assistant.cli import main
from assistant.services import Services
from assistant.web import create_app
from recipes.loader import load_book
from tests.assistant.served import served_alone

ROOT = Path(__file__).parents[2]
SCRIPT = (
    "spec for a gimlet",
    "make it three",
    "what does it cost",
    "lovely weather tonight",
    "spec for a daisy",
    "we're out of orgeat",
    "undo that",
)


@pytest.fixture
def database(tmp_path: Path) -> str:
    """A database of the test's own."""
    return f"sqlite:///{tmp_path / 'shift.db'}"


def run(database: str, *words: str, said: Sequence[str] = ()) -> Result:
    """Run a command as from a terminal, with lines typed into it."""
    return CliRunner().invoke(main, ["--database", database, *words], input="".join(f"{line}\n" for line in said))


def commands() -> list[str]:
    """Every command there is."""
    return sorted(main.list_commands(click.Context(main)))


@pytest.mark.parametrize("name", commands())
def test_every_command_explains_itself(name: str) -> None:
    """Each command and each of its options has help, in a sentence."""
    command = main.commands[name]
    assert (command.help or "").rstrip().endswith(".")
    options = [each for each in command.params if isinstance(each, click.Option)]
    assert [each.name for each in options if not (each.help or "").endswith(".")] == []


@pytest.mark.parametrize("name", commands())
def test_every_command_stands_in_the_readme(name: str) -> None:
    """Whoever reads the README learns of each command."""
    assert f"`{name}" in (ROOT / "README.md").read_text("utf-8").replace("prep-assistant ", "")


def test_a_question_is_answered(database: str) -> None:
    """One question, its answer, and exit code 0."""
    ended = run(database, "ask", "spec for a gimlet")
    assert ended.exit_code == 0
    assert "   2 oz  gin" in ended.output.split("\n")


def test_a_question_that_is_not_understood_ends_with_3(database: str) -> None:
    """A program that asks can tell an answer from none."""
    ended = run(database, "ask", "lovely weather tonight")
    assert ended.exit_code == 3
    assert ended.output.strip()


def test_json_is_one_object_with_the_fixed_keys(database: str) -> None:
    """For programs there is one JSON object on one line."""
    ended = run(database, "ask", "--json", "spec for a gimlet")
    reply = json.loads(ended.output)
    assert {"heard", "command", "say", "card", "cautions", "asks"} <= reply.keys()
    assert reply["command"]["intent"] == "spec"
    assert reply["command"]["slots"] == {"drink": "Gimlet"}
    assert ended.output.count("\n") == 1


def test_both_doors_say_the_same(tmp_path: Path) -> None:
    """The same talk, typed in the terminal and sent to the page's interface, gets the same sentences."""
    printed = run(f"sqlite:///{tmp_path / 'one.db'}", "chat", said=SCRIPT).output
    services = Services(None, f"sqlite:///{tmp_path / 'two.db'}")
    client = create_app(services).test_client()
    said = [client.post("/api/ask", json={"text": text, "conversation": "tab"}).get_json()["say"] for text in SCRIPT]
    services.close()
    rest = " ".join(printed.split())
    for sentence in said:
        before, found, rest = rest.partition(" ".join(sentence.split()))
        assert found, f"{sentence!r} not after {before!r}"


@pytest.mark.parametrize("last", ["", "goodbye", "Quit"])
def test_a_chat_ends_when_told_to(database: str, last: str) -> None:
    """An empty line or a goodbye ends the chat; what follows is not asked."""
    ended = run(database, "chat", said=["spec for a gimlet", last, "spec for a daiquiri"])
    assert ended.exit_code == 0
    assert "Gimlet" in ended.output
    assert "Daiquiri" not in ended.output


def test_the_book_that_ships_is_sound() -> None:
    """The check counts what the book holds and ends with 0."""
    ended = CliRunner().invoke(main, ["check"])
    assert ended.exit_code == 0
    assert "The book is sound" in ended.output


def test_a_fault_is_told_with_file_line_and_mend(tmp_path: Path) -> None:
    """A misspelt ingredient is found where it stands, with what to write, and the check ends with 1."""
    book = tmp_path / "book"
    shutil.copytree(str(files("recipes") / "book"), book)
    classics = book / "classics.toml"
    lines = classics.read_text("utf-8").split("\n")
    at = next(number for number, line in enumerate(lines) if "oz gin" in line)
    lines[at] = lines[at].replace("oz gin", "oz gni", 1)
    classics.write_text("\n".join(lines), "utf-8")
    ended = CliRunner().invoke(main, ["--book", str(book), "check"])
    assert ended.exit_code == 1
    fault = next(line for line in ended.output.split("\n") if "gni" in line)
    assert fault.startswith(f"classics.toml:{at + 1}: fault:")
    assert 'write "gin"' in fault


def test_a_name_that_cannot_be_heard_is_told(tmp_path: Path) -> None:
    """A name in letters that no English recogniser has is found, and names of one sound are; both are warnings."""
    book = tmp_path / "book"
    shutil.copytree(str(files("recipes") / "book"), book)
    classics = book / "classics.toml"
    text = classics.read_text("utf-8")
    text = text.replace('name = "Mary Pickford"', 'name = "\u30c0\u30a4\u30ad\u30ea"')
    classics.write_text(text.replace('name = "Bronx"', 'name = "Bees Nees"'), "utf-8")
    ended = CliRunner().invoke(main, ["--book", str(book), "check"])
    assert ended.exit_code == 0, ended.output
    line = text.split("\n").index('name = "\u30c0\u30a4\u30ad\u30ea"') + 1
    assert f"classics.toml:{line}: warning: \u30c0\u30a4\u30ad\u30ea, name: no recogniser can hear" in ended.output
    problem = (
        """said aloud, "Bees Nees" (B IY Z N IY Z) is taken for "Bee's Knees" (B IY Z N IY Z); write sounds_like"""
    )
    assert problem in ended.output


def test_each_name_is_told_in_phones() -> None:
    """With `--aloud`: a name in the dictionary, one in two wordings, and one that was said by its letters."""
    plain, aloud = (CliRunner().invoke(main, ["check", *more]).output.splitlines() for more in ([], ["--aloud"]))
    told = aloud[len(plain) - 1 : -1]
    assert told[0].startswith("Each name as it is listened for")
    at = told.index("Slack Water (drink)")
    assert [line.split() for line in told[at + 1 : at + 3]] == [
        ["slack", "water", "S", "L", "AE", "K", "W", "AO", "T", "ER"],
        ["the", "slack", "water", "DH", "AH", "S", "L", "AE", "K", "W", "AO", "T", "ER"],
    ]
    by_letters = "(by its letters: falernum, or F AA L EH R N UW M)"
    assert f"    falernum                  F AE L ER N AH M  {by_letters}" in told
    book = load_book()
    assert sum(not line.startswith(" ") for line in told[1:]) == len(book.drinks) + len(book.ingredients)


FAILURES = {
    "a folder that is no book": (["--book", "nowhere", "ask", "spec for a gimlet"], "no such folder"),
    "a database that cannot be": (["--database", "sqlite:////dev/null/shift.db", "ask", "help"], "database"),
    "no recording": (["hear", __file__], "no recording"),
    "no such model": (["models", "fetch", "gigantic"], "no such model"),
    "no grammar": (["transcribe", "--grammar", __file__, __file__], "test_cli.py:1:"),
    "an address of another machine": (["serve", "--lan", "--host", "198.51.100.7"], "Nothing can be served"),
    "an address that all reach": (["serve", "--host", "0.0.0.0"], "Add --lan"),
}


@pytest.mark.parametrize("case", FAILURES)
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")  # cheroot's half-made socket
def test_a_failure_is_a_sentence(case: str, monkeypatch: pytest.MonkeyPatch, database: str, tmp_path: Path) -> None:
    """Where a command cannot go on it says so on the error stream, and ends with 1."""
    words, part = FAILURES[case]
    monkeypatch.setattr("assistant.cli.data_folder", lambda: tmp_path)
    monkeypatch.setenv("PREP_ASSISTANT_DATABASE", database)
    ended = CliRunner().invoke(main, words)
    assert ended.exit_code == 1
    assert isinstance(ended.exception, SystemExit)
    assert part in ended.stderr
    assert "Traceback" not in ended.output


def test_a_served_page_answers_until_it_is_ended(database: str) -> None:
    """`serve` prints its address, answers there, and ends cleanly when the system asks it to."""
    with served_alone(database) as (process, address):
        with urllib.request.urlopen(f"{address}api/health", timeout=10) as answer:
            assert json.load(answer)["ready"] is True
        process.send_signal(signal.SIGTERM)
        assert process.wait(timeout=20) == 0
