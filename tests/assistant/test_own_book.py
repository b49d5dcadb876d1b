"""The book that ships is copied once to be a bar's own; from then on that copy is used, edited and undone."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from assistant.book_files import BookFiles, copy_book
from assistant.cli import main
from assistant.editing.desk import Desk
from assistant.editing.drafts import Draft
from assistant.services import Services
from recipes.loader import find_faults, load_book


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A person's own folder for programs' data, with nothing in it."""
    monkeypatch.setattr("assistant.book_files.click.get_app_dir", lambda _: str(tmp_path / "home"))
    return tmp_path / "home"


def run(tmp_path: Path, *words: str) -> Result:
    """Run a command as from a terminal."""
    return CliRunner().invoke(main, ["--database", f"sqlite:///{tmp_path / 'shift.db'}", *words])


def edit_by_hand(file: Path, old: str, new: str) -> None:
    """As an editor of texts does."""
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def test_a_copy_has_every_file_and_no_fault(tmp_path: Path) -> None:
    """It says what the book that ships says."""
    copy_book(tmp_path / "a" / "book")
    assert load_book(tmp_path / "a" / "book").drinks == load_book().drinks
    assert [fault for fault in find_faults(tmp_path / "a" / "book") if fault.severity == "fault"] == []
    assert [left.name for left in (tmp_path / "a").iterdir()] == ["book"]


def test_a_copy_never_goes_over_what_is_there(tmp_path: Path) -> None:
    """A book that is somebody's own already is not lost."""
    (tmp_path / "book").mkdir()
    with pytest.raises(FileExistsError):
        copy_book(tmp_path / "book")
    assert list((tmp_path / "book").iterdir()) == []


def test_the_one_that_ships_is_used_until_there_is_one_s_own(tmp_path: Path) -> None:
    """A folder that is named comes before both."""
    own = tmp_path / "own"
    assert BookFiles(None, own).is_shipped
    copy_book(own)
    assert BookFiles(None, own).folder == own
    copy_book(tmp_path / "third")
    assert BookFiles(tmp_path / "third", own).folder == tmp_path / "third"


def test_the_command_copies_it_and_the_others_use_the_copy(tmp_path: Path, home: Path) -> None:
    """No option is needed from then on: it is asked, and proved."""
    copied = run(tmp_path, "copy-book")
    assert copied.exit_code == 0, copied.output
    assert str(home / "book") in copied.output
    edit_by_hand(home / "book" / "classics.toml", 'name = "Gimlet"', 'name = "Quayside Gimlet"')
    assert "Quayside Gimlet" in run(tmp_path, "ask", "spec", "for", "a", "quayside", "gimlet").output
    edit_by_hand(home / "book" / "classics.toml", 'name = "Quayside Gimlet"', 'name = "Quayside Gimlet"\nglas = "x"')
    checked = run(tmp_path, "check")
    assert checked.exit_code == 1
    assert 'there is no key "glas"' in checked.output


def test_copied_twice_is_refused_in_a_sentence(tmp_path: Path, home: Path) -> None:
    """And another folder may be named."""
    run(tmp_path, "copy-book")
    again = run(tmp_path, "copy-book")
    assert again.exit_code == 2
    assert "There is something at" in again.output
    assert (home / "book").is_dir()
    other = run(tmp_path, "copy-book", str(tmp_path / "other"))
    assert f"--book {tmp_path / 'other'} serve" in other.output


def test_an_edit_is_in_the_trail_and_undone_from_the_terminal(tmp_path: Path, home: Path) -> None:
    """By the token that it came with, whoever made it on the page."""
    run(tmp_path, "copy-book")
    services = Services(None, f"sqlite:///{tmp_path / 'shift.db'}", own_book=home / "book")
    desk = Desk(services)
    opened = desk.opened("drink", "Tidewrack")
    fields = {**opened.fields, "price": Decimal("15.00")}
    kept = desk.keep(Draft("drink", "", fields, "Tidewrack", opened.fingerprint), "Ada")
    services.ask("gin is thirty dollars now", "bar")
    services.close()
    trail = list(csv.DictReader(io.StringIO(run(tmp_path, "export", "trail").output)))
    assert [(line["What"], line["Name"]) for line in trail] == [("price", "gin"), ("book", "Tidewrack")]
    assert (trail[1]["Who"], trail[1]["After"]) == ("Ada", "file fogbell.toml, changed price: 14.00 is now 15.00")
    assert kept.undo is not None
    undone = run(tmp_path, "undo", kept.undo)
    assert undone.exit_code == 0, undone.output
    assert "Undone. The Tidewrack is as it was before." in undone.output
    assert load_book(home / "book").drinks["Tidewrack"] == load_book().drinks["Tidewrack"]
    assert run(tmp_path, "undo", kept.undo).exit_code == 1
