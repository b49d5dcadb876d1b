"""The manager's PIN in the terminal."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import recipes
from assistant.answers.pins import NEEDED
from assistant.cli import main
from assistant.manager import Manager
from assistant.memory import utc_now
from assistant.pin import Work

PIN, WRONG = "482913", "482914"
PRICES = "Item,Size,Price\nGin,750 ml,31.00\n"


class Terminal:
    """A terminal with a database and a book of the test's own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.book = folder / "book"
        shutil.copytree(Path(recipes.__file__).parent / "book", self.book)

    def run(self, *words: str, typed: Sequence[str] = ()) -> Result:
        """Run a command, with lines typed into it."""
        before = ["--book", str(self.book), "--database", f"sqlite:///{self.folder / 'shift.db'}"]
        return CliRunner().invoke(main, [*before, *words], input="".join(f"{line}\n" for line in typed))

    def hide_costs(self) -> None:
        """As the bar may want it."""
        file = self.book / "house.toml"
        file.write_text(file.read_text("utf-8").replace("pin_also_for = []", 'pin_also_for = ["costs"]'), "utf-8")


@pytest.fixture
def terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """With nothing set yet; a PIN costs little to try here."""
    monkeypatch.setattr(Manager.__init__, "__defaults__", (utc_now, Work(2, 1, 1)))
    return Terminal(tmp_path)


@pytest.fixture
def locked(terminal: Terminal) -> Terminal:
    """With a PIN."""
    assert terminal.run("pin", "set", typed=(PIN, PIN)).exit_code == 0
    return terminal


class TestSetting:
    """pin set, pin remove."""

    def test_it_is_asked_for_twice_and_never_shown(self, terminal: Terminal) -> None:
        """Neither what is typed nor what comes back shows it."""
        result = terminal.run("pin", "set", typed=(PIN, PIN))
        assert result.exit_code == 0
        assert "The PIN is set." in result.output
        assert PIN not in result.output

    def test_two_that_differ_are_asked_for_again(self, terminal: Terminal) -> None:
        """A slip of the finger locks nobody out."""
        result = terminal.run("pin", "set", typed=(PIN, WRONG, PIN, PIN))
        assert result.exit_code == 0
        assert "do not match" in result.output

    def test_a_poor_one_is_refused(self, terminal: Terminal) -> None:
        """With the reason, and exit code 1."""
        result = terminal.run("pin", "set", typed=("123456", "123456"))
        assert result.exit_code == 1
        assert "guessed at once" in result.output

    def test_setting_it_anew_ends_a_lock_out(self, locked: Terminal) -> None:
        """Whoever has forgotten it, or was locked out by somebody's tries, comes here."""
        for _ in range(5):
            locked.run("ask", "--manager", "help", typed=(WRONG,))
        assert "Wait fifteen minutes" in locked.run("ask", "--manager", "help", typed=(PIN,)).output
        locked.run("pin", "set", typed=("739201", "739201"))
        assert locked.run("ask", "--manager", "help", typed=("739201",)).exit_code == 0

    def test_it_is_removed_after_a_question(self, locked: Terminal) -> None:
        """Then prices are everybody's again."""
        assert locked.run("pin", "remove", typed=("y",)).exit_code == 0
        assert locked.run("ask", "vodka is nineteen dollars now").exit_code == 0


class TestImports:
    """Lists that change something."""

    def test_taking_a_list_asks_for_it(self, locked: Terminal, tmp_path: Path) -> None:
        """A wrong one takes nothing; the right one takes it."""
        file = tmp_path / "list.csv"
        file.write_text(PRICES)
        refused = locked.run("import", "prices", str(file), "--apply", typed=(WRONG,))
        assert (refused.exit_code, "That is not the PIN." in refused.output) == (1, True)
        assert "gin,750 ml,31" not in locked.run("export", "prices", typed=(PIN,)).output
        assert locked.run("import", "prices", str(file), "--apply", typed=(PIN,)).exit_code == 0
        assert "gin,750 ml,31" in locked.run("export", "prices", typed=(PIN,)).output

    def test_undoing_it_asks_for_it(self, locked: Terminal, tmp_path: Path) -> None:
        """By its token, in another terminal."""
        file = tmp_path / "list.csv"
        file.write_text(PRICES)
        taken = locked.run("import", "prices", str(file), "--apply", typed=(PIN,))
        token = taken.output.split("undo ")[-1].strip()
        assert locked.run("undo", token, typed=(WRONG,)).exit_code == 1
        assert locked.run("undo", token, typed=(PIN,)).exit_code == 0

    def test_looking_at_a_list_does_not(self, locked: Terminal, tmp_path: Path) -> None:
        """Where costs are not hidden."""
        file = tmp_path / "list.csv"
        file.write_text(PRICES)
        assert locked.run("import", "prices", str(file)).exit_code == 0


class TestCosts:
    """What tells costs."""

    def test_the_prompt_is_not_in_what_is_written_out(self, locked: Terminal) -> None:
        """Standard output is the list and nothing else, so that it can go into a file."""
        assert locked.run("export", "prices", typed=(PIN,)).stdout.startswith("Ingredient,Pack,Price,Currency")

    @pytest.mark.parametrize("what", ["prices", "menu", "trail", "memory"])
    def test_writing_them_out_asks_for_it(self, locked: Terminal, what: str, tmp_path: Path) -> None:
        """And writes nothing for a wrong one."""
        file = tmp_path / "out"
        assert locked.run("export", what, str(file), typed=(WRONG,)).exit_code == 1
        assert not file.exists()
        assert locked.run("export", what, str(file), typed=(PIN,)).exit_code == 0
        assert file.stat().st_size > 0

    @pytest.mark.parametrize("words", [("report", "costs"), ("report", "prices"), ("history", "gin")])
    def test_reports_ask_for_it_where_costs_are_hidden(self, locked: Terminal, words: tuple[str, ...]) -> None:
        """And only there."""
        assert locked.run(*words).exit_code == 0
        locked.hide_costs()
        refused = locked.run(*words, typed=(WRONG,))
        assert (refused.exit_code, "$" in refused.output) == (1, False)
        assert locked.run(*words, typed=(PIN,)).exit_code == 0

    def test_recipes_are_no_secret(self, locked: Terminal) -> None:
        """They hold no cost."""
        locked.hide_costs()
        assert locked.run("export", "recipes").exit_code == 0

    def test_a_question_is_refused_with_exit_code_1(self, locked: Terminal) -> None:
        """For people and for programs."""
        locked.hide_costs()
        for words in (("ask", "what does a gimlet cost"), ("ask", "--json", "what does a gimlet cost")):
            result = locked.run(*words)
            assert (result.exit_code, NEEDED in result.output, "$" in result.output) == (1, True, False)
        result = locked.run("ask", "--manager", "what does a gimlet cost", typed=(PIN,))
        assert (result.exit_code, "$" in result.output) == (0, True)

    def test_hidden_with_no_pin_they_are_nobodys(self, terminal: Terminal) -> None:
        """And it says how to set one."""
        terminal.hide_costs()
        result = terminal.run("report", "costs")
        assert (result.exit_code, "prep-assistant pin set" in result.output) == (1, True)


class TestChat:
    """A talk by typing."""

    def test_unlock_and_lock(self, locked: Terminal) -> None:
        """A wrong PIN is told and the talk goes on; lock ends what unlock began."""
        lines = ["vodka is nineteen dollars now", "unlock", WRONG, "unlock", PIN]
        lines += ["vodka is nineteen dollars now", "lock", "vodka is twenty dollars now", "bye"]
        output = locked.run("chat", typed=lines).output
        told = [NEEDED, "Here: type unlock", "That is not the PIN.", "Unlocked on this device", "Vodka is now nineteen"]
        told += ["Locked.", NEEDED]
        places = [output.find(sentence) for sentence in told[:-1]] + [output.rfind(NEEDED)]
        assert places == sorted(places)
        assert -1 not in places
        assert PIN not in output

    def test_who_is_speaking(self, terminal: Terminal) -> None:
        """chat --who Sam: marks and changes are Sam's; 'I'm Ana' makes them Ana's."""
        terminal.run("chat", "--who", "Sam", typed=("quiz me on the gimlet", "skip", "stop", "we're out of mint"))
        terminal.run("chat", "--who", "Sam", typed=("I'm Ana", "yes", "we're out of gin"))
        trail = terminal.run("export", "trail").output
        assert ",Sam,out,mint," in trail
        assert ",Ana,out,gin," in trail
        assert "Sam still misses" in terminal.run("ask", "how is Sam doing").output

    def test_a_name_is_letters(self, terminal: Terminal) -> None:
        """Else it is wrong usage."""
        result = terminal.run("chat", "--who", "<b>")
        assert (result.exit_code, "all of letters" in result.output) == (2, True)
