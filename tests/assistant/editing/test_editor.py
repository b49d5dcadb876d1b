"""The book is changed where it is asked to be, undone to the letter, and never written over an edit by hand."""

from __future__ import annotations

import os
import threading
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.editing.drafts import Draft
from assistant.editing.editor import Editor
from assistant.editing.folder import LOCK, BookFolder
from assistant.editing.history import FILE, History
from assistant.editing.rewriting import Value
from assistant.errors import EditRefused
from recipes.loader import load_book
from tests.recipes.written_book import FILES, write_book

NOON = datetime(2024, 5, 6, 12, tzinfo=UTC)
SOUR: dict[str, Value | None] = {
    "name": "Harbour Sour",
    "pours": ("2 oz vodka", "1 oz lime juice", "3/4 oz simple syrup"),
    "method": "shaken",
    "glass": "coupe",
    "ice": "none",
    "steps": ("Shake.", "Strain."),
    "price": Decimal("12.50"),
    "source": "memory",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small book on disk."""
    return write_book(tmp_path)


@pytest.fixture
def editor(folder: Path) -> Editor:
    """Its editor."""
    return Editor(BookFolder(folder), lambda: NOON)


def new(**fields: Value | None) -> Draft:
    """A new drink on the shelf of classics."""
    return Draft("drink", "classics.toml", SOUR | fields)


def change(editor: Editor, name: str, **fields: Value | None) -> Draft:
    """An entry opened now, with other values."""
    opened = editor.opened("drink", name)
    return Draft("drink", "", {**opened.fields, **fields}, name, opened.fingerprint)


def edit_by_hand(file: Path, old: str, new: str) -> None:
    """As an editor of texts does."""
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


class TestKeep:
    """What is kept is in the file, and the book is sound with it."""

    def test_a_new_drink_is_in_the_book(self, editor: Editor, folder: Path) -> None:
        """It stands at the end of its shelf, and all before it is as it was."""
        edit = editor.keep(new(), "Ada")
        assert (edit.who, edit.at, edit.name, edit.before) == ("Ada", NOON, "Harbour Sour", None)
        assert (folder / "classics.toml").read_text("utf-8").startswith(FILES["classics.toml"])
        assert load_book(folder).drinks["Harbour Sour"].price is not None

    def test_a_change_is_one_line(self, editor: Editor, folder: Path) -> None:
        """A new price changes the line of the price."""
        editor.keep(change(editor, "Gin Sour", price=Decimal("13.00")), "Ada")
        expected = FILES["classics.toml"].replace("price = 12.00", "price = 13.00", 1)
        assert (folder / "classics.toml").read_text("utf-8") == expected

    def test_an_ingredient_goes_into_its_file(self, editor: Editor, folder: Path) -> None:
        """With its pack between braces, and what is not known left out."""
        fields: dict[str, Value | None] = {
            "name": "rum",
            "role": "base",
            "pack": {"size": "700 ml", "price": Decimal("21.00"), "usable": None, "source": None},
        }
        editor.keep(Draft("ingredient", "ingredients/spirits.toml", fields), "Ada")
        text = (folder / "ingredients/spirits.toml").read_text("utf-8")
        assert text.endswith('name = "rum"\nrole = "base"\npack = { size = "700 ml", price = 21.00 }\n')
        assert load_book(folder).ingredients["rum"].allergens is None

    @pytest.mark.parametrize(
        ("fields", "told"),
        [
            ({"glass": "bucket"}, 'no glass is called "bucket"; '),
            ({"pours": ("2 oz gni",)}, 'no ingredient is called "gni"; write "gin"'),
            ({"price": "cheap"}, "'cheap' is not a number; write the menu price, as 13.00"),
            ({"name": "Gin Sour"}, '"Gin Sour" already names the drink "Gin Sour"'),
            ({"steps": None}, '"steps" is missing'),
        ],
    )
    def test_a_fault_is_refused_with_its_mend(
        self, editor: Editor, folder: Path, fields: dict[str, Value | None], told: str
    ) -> None:
        """The book's own checks decide, and no file is touched."""
        with pytest.raises(EditRefused) as refused:
            editor.keep(new(**fields), "Ada")
        assert refused.value.reason == "faults"
        assert told in refused.value.told[0]
        assert refused.value.told[0].startswith("classics.toml:")
        assert (folder / "classics.toml").read_text("utf-8") == FILES["classics.toml"]
        assert editor.history.edits() == ()

    def test_a_drink_is_renamed_in_its_place(self, editor: Editor, folder: Path) -> None:
        """Comments and all else stay; the undo gives the old name back, to the letter."""
        edit_by_hand(folder / "classics.toml", 'name = "Gin Sour"', '# Ask for it dry.\nname = "Gin Sour"')
        before = (folder / "classics.toml").read_text("utf-8")
        draft = change(editor, "Gin Sour")
        edit = editor.keep(replace(draft, fields={**draft.fields, "name": "Harbour Gin"}), "Ada")
        after = (folder / "classics.toml").read_text("utf-8")
        assert after == before.replace('name = "Gin Sour"', 'name = "Harbour Gin"')
        back = editor.undo(edit.token, "Ben")
        assert back.name == "Gin Sour"
        assert (folder / "classics.toml").read_text("utf-8") == before

    def test_a_name_that_others_need_cannot_go(self, editor: Editor) -> None:
        """Renaming an ingredient would leave the drinks that pour it without; their lines are told."""
        opened = editor.opened("ingredient", "gin")
        draft = Draft("ingredient", "", {**opened.fields, "name": "dry gin"}, "gin", opened.fingerprint)
        found = editor.candidate(Draft(draft.kind, "", {**draft.fields, "say": None}, draft.was, draft.seen))
        assert [fault.file for fault in found.elsewhere] == ["classics.toml"]
        assert found.own == ()

    def test_what_says_the_same_is_not_written(self, editor: Editor) -> None:
        """Nothing to change is no change, and leaves no line in the history."""
        with pytest.raises(EditRefused, match="same"):
            editor.keep(change(editor, "Gin Sour", price=Decimal("12")), "Ada")

    def test_a_list_that_stands_empty_stays_and_no_allergens_are_told_from_unknown(
        self, editor: Editor, folder: Path
    ) -> None:
        """No line goes that nobody changed; but a label that was not read makes the list go."""
        edit_by_hand(folder / "classics.toml", 'name = "Gin Sour"', 'name = "Gin Sour"\nsounds_like = []')
        editor.keep(change(editor, "Gin Sour", sounds_like=None, price=Decimal("13.00")), "Ada")
        assert "sounds_like = []" in (folder / "classics.toml").read_text("utf-8")
        opened = editor.opened("ingredient", "gin")
        assert opened.fields["allergens"] == ()
        fields = {**opened.fields, "allergens": None}
        editor.keep(Draft("ingredient", "", fields, "gin", opened.fingerprint), "Ada")
        assert load_book(folder).ingredients["gin"].allergens is None

    def test_windows_line_ends_stay(self, editor: Editor, folder: Path) -> None:
        """A file that was written on Windows is not turned over."""
        file = folder / "classics.toml"
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
        editor.keep(change(editor, "Gin Sour", price=Decimal("13.00")), "Ada")
        assert file.read_bytes() == FILES["classics.toml"].replace("12.00", "13.00", 1).replace("\n", "\r\n").encode()

    def test_a_file_outside_the_book_is_not_written(self, editor: Editor, tmp_path: Path) -> None:
        """The page names a file; only those that hold such entries are taken."""
        for page in ("../elsewhere.toml", "house.toml", "ingredients/spirits.toml", ""):
            with pytest.raises(EditRefused, match="no page"):
                editor.keep(Draft("drink", page, SOUR), "Ada")


class TestByHand:
    """People edit the files as well."""

    def test_an_edit_of_another_entry_stays(self, editor: Editor, folder: Path) -> None:
        """What was written by hand since the drink was opened is still there."""
        draft = change(editor, "Gin Sour", price=Decimal("13.00"))
        edit_by_hand(folder / "classics.toml", "price = 11.00", "price = 11.50  # by hand")
        editor.keep(draft, "Ada")
        text = (folder / "classics.toml").read_text("utf-8")
        assert "price = 13.00" in text
        assert "price = 11.50  # by hand" in text

    def test_an_edit_of_the_same_entry_is_never_written_over(self, editor: Editor, folder: Path) -> None:
        """Refused, and told; the file is as the hand left it."""
        draft = change(editor, "Gin Sour", price=Decimal("13.00"))
        edit_by_hand(folder / "classics.toml", "price = 12.00", "price = 12.75")
        by_hand = (folder / "classics.toml").read_text("utf-8")
        with pytest.raises(EditRefused, match="changed"):
            editor.keep(draft, "Ada")
        assert (folder / "classics.toml").read_text("utf-8") == by_hand

    def test_an_entry_that_went_away_is_told(self, editor: Editor, folder: Path) -> None:
        """It was renamed by hand while it was open here."""
        draft = change(editor, "Gin Sour", price=Decimal("13.00"))
        edit_by_hand(folder / "classics.toml", 'name = "Gin Sour"', 'name = "Dry Gin Sour"')
        with pytest.raises(EditRefused, match="gone"):
            editor.keep(draft, "Ada")

    def test_a_fault_by_hand_elsewhere_is_told_with_its_line(self, editor: Editor, folder: Path) -> None:
        """The draft is right, the file is not: whoever reads this knows where to look."""
        edit_by_hand(folder / "classics.toml", 'glass = "rocks glass"', 'glas = "rocks glass"')
        with pytest.raises(EditRefused) as refused:
            editor.keep(new(), "Ada")
        assert refused.value.told[0].startswith("classics.toml:")
        assert 'there is no key "glas"' in refused.value.told[0]

    def test_an_edit_at_the_last_moment_is_seen(self, folder: Path) -> None:
        """Between the check and the writing the file is looked at once more."""

        class Meddled(BookFolder):
            """A folder in which somebody saves a file while a draft is being checked."""

            looked = 0

            def texts(self) -> dict[str, str]:
                self.looked += 1
                if self.looked == 2:
                    edit_by_hand(self.path / "classics.toml", "price = 11.00", "price = 11.50")
                return super().texts()

        editor = Editor(Meddled(folder), lambda: NOON)
        with pytest.raises(EditRefused, match="changed"):
            editor.keep(new(), "Ada")
        assert "price = 11.50" in (folder / "classics.toml").read_text("utf-8")
        assert editor.history.edits() == ()


class TestUndo:
    """Each edit can be taken back, and that as well."""

    def test_a_new_drink_goes_again(self, editor: Editor, folder: Path) -> None:
        """The file is as it was, to the letter; undoing the undoing brings the drink back."""
        edit = editor.keep(new(), "Ada")
        back = editor.undo(edit.token, "Ben")
        assert (folder / "classics.toml").read_text("utf-8") == FILES["classics.toml"]
        assert (back.who, back.undoes, back.after) == ("Ben", edit.token, None)
        editor.undo(back.token, "Ada")
        assert "Harbour Sour" in load_book(folder).drinks

    def test_after_a_restart_too(self, editor: Editor, folder: Path) -> None:
        """The history is on the disk."""
        edit = editor.keep(change(editor, "Gin Sour", price=Decimal("13.00")), "Ada")
        Editor(BookFolder(folder)).undo(edit.token, "Ada")
        assert (folder / "classics.toml").read_text("utf-8") == FILES["classics.toml"]

    def test_twice_is_refused(self, editor: Editor) -> None:
        """What was undone is not undone again."""
        edit = editor.keep(new(), "Ada")
        editor.undo(edit.token, "Ada")
        with pytest.raises(EditRefused, match="undone already"):
            editor.undo(edit.token, "Ada")

    def test_the_later_change_first(self, editor: Editor) -> None:
        """An edit that another rests on is refused, until that one is undone."""
        first = editor.keep(change(editor, "Gin Sour", price=Decimal("13.00")), "Ada")
        second = editor.keep(change(editor, "Gin Sour", price=Decimal("14.00")), "Ada")
        assert editor.standing() == {second.token}
        with pytest.raises(EditRefused, match="changed since"):
            editor.undo(first.token, "Ada")
        back = editor.undo(second.token, "Ada")
        assert editor.standing() == {first.token, back.token}
        editor.undo(first.token, "Ada")
        assert editor.opened("drink", "Gin Sour").fields["price"] == 12

    def test_not_what_a_hand_changed_since(self, editor: Editor, folder: Path) -> None:
        """An edit by hand of the same entry is not lost by an undo."""
        edit = editor.keep(new(), "Ada")
        edit_by_hand(folder / "classics.toml", '"2 oz vodka",\n  "1 oz', '"1 1/2 oz vodka",\n  "1 oz')
        with pytest.raises(EditRefused, match="changed since"):
            editor.undo(edit.token, "Ada")

    def test_not_what_others_rest_on(self, editor: Editor) -> None:
        """An ingredient that a drink pours by now stays, and the drink is named."""
        fields: dict[str, Value | None] = {"name": "rum", "role": "base"}
        edit = editor.keep(Draft("ingredient", "ingredients/spirits.toml", fields), "Ada")
        editor.keep(new(pours=("2 oz rum", "1 oz lime juice")), "Ada")
        with pytest.raises(EditRefused) as refused:
            editor.undo(edit.token, "Ada")
        assert "Harbour Sour" in refused.value.told[0]

    def test_an_unknown_token_is_refused(self, editor: Editor) -> None:
        """Nothing is undone by guessing."""
        with pytest.raises(EditRefused, match="unknown edit"):
            editor.undo("nonsense", "Ada")


class TestSafety:
    """What happens when the disk, or another program, does not play along."""

    @pytest.mark.parametrize("file", ["classics", FILE])
    def test_a_failed_write_leaves_the_file_whole(
        self, editor: Editor, folder: Path, monkeypatch: pytest.MonkeyPatch, file: str
    ) -> None:
        """A disk that is full while either is written: the old text is there, nothing half, and no line of it."""
        draft, real = new(), os.fsync

        def full(descriptor: int) -> None:
            if file in os.readlink(f"/proc/self/fd/{descriptor}"):
                raise OSError(28, "No space left on device")
            real(descriptor)

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises(EditRefused, match="not written"):
            editor.keep(draft, "Ada")
        assert (folder / "classics.toml").read_text("utf-8") == FILES["classics.toml"]
        assert editor.history.edits() == ()
        assert [left.name for left in folder.iterdir() if left.name.startswith(".classics")] == []

    def test_a_history_line_that_was_cut_short_is_passed_over(self, editor: Editor, folder: Path) -> None:
        """After a power failure the rest is read, and the next line is whole."""
        first = editor.keep(new(), "Ada")
        with (folder / FILE).open("a", encoding="utf-8") as file:
            file.write('{"token": "half')
        second = editor.keep(new(name="Quay Sour"), "Ada")
        assert [edit.token for edit in History(folder).edits()] == [first.token, second.token]

    def test_two_at_once_are_both_kept(self, folder: Path) -> None:
        """Several people save at the same moment: each drink is in the file, and in the history."""
        names = [f"Sour {word}" for word in ("Alder", "Beech", "Cedar", "Damson", "Elder", "Fir")]
        threads = [
            threading.Thread(target=Editor(BookFolder(folder)).keep, args=(new(name=name), "Ada")) for name in names
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert set(names) <= set(load_book(folder).drinks)
        assert {edit.name for edit in History(folder).edits()} == set(names)

    def test_a_folder_that_cannot_be_written_is_told(self, editor: Editor, folder: Path) -> None:
        """As where the book lies on a disk that is mounted to be read."""
        (folder / LOCK).mkdir()
        with pytest.raises(EditRefused, match="not written"):
            editor.keep(new(), "Ada")

    def test_another_program_that_writes_is_waited_for_and_told(
        self, editor: Editor, folder: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Not for ever."""
        from filelock import FileLock

        monkeypatch.setattr("assistant.editing.folder.PATIENCE_S", 0.05)
        with FileLock(folder / LOCK, is_singleton=False), pytest.raises(EditRefused, match="busy"):
            editor.keep(new(), "Ada")


class TestRemove:
    """An entry is taken out, unless something names it."""

    def test_only_its_own_lines_go_and_come_back(self, editor: Editor, folder: Path) -> None:
        """With the comments in it; all that stands around it stays."""
        edit_by_hand(folder / "classics.toml", 'name = "Gin Sour"', '# Ask for it dry.\nname = "Gin Sour"')
        before = (folder / "classics.toml").read_text("utf-8")
        opened = editor.opened("drink", "Gin Sour")
        edit = editor.remove("drink", "Gin Sour", opened.fingerprint, "Ada")
        after = (folder / "classics.toml").read_text("utf-8")
        assert (edit.name, edit.before, edit.after, edit.who) == ("Gin Sour", opened.block, None, "Ada")
        assert sorted(after.split("\n") + opened.block.split("\n") + [""]) == sorted(before.split("\n"))
        assert "Gin Sour" not in load_book(folder).drinks
        assert edit.token in editor.standing()
        back = editor.undo(edit.token, "Ben")
        assert editor.opened("drink", "Gin Sour").block == opened.block
        assert (back.undoes, back.after) == (edit.token, opened.block)

    @pytest.mark.parametrize(("name", "users"), [("gin", ("Gin Sour",)), ("vodka", ("gin",))])
    def test_what_another_entry_names_stays(
        self, editor: Editor, folder: Path, name: str, users: tuple[str, ...]
    ) -> None:
        """A drink that pours it, an ingredient that it stands in for: each is told, and nothing is written."""
        opened = editor.opened("ingredient", name)
        before = {file: file.read_text("utf-8") for file in folder.rglob("*.toml")}
        with pytest.raises(EditRefused) as refused:
            editor.remove("ingredient", name, opened.fingerprint, "Ada")
        assert refused.value.reason == "in use"
        assert refused.value.told[0] == name
        assert set(users) <= set(refused.value.told[1:])
        assert {file: file.read_text("utf-8") for file in folder.rglob("*.toml")} == before
        assert editor.history.edits() == ()

    def test_what_changed_since_it_was_opened_stays(self, editor: Editor, folder: Path) -> None:
        """Somebody else's edit is never thrown away unseen."""
        seen = editor.opened("drink", "Gin Sour").fingerprint
        editor.keep(change(editor, "Gin Sour", price=Decimal("13.00")), "Ada")
        with pytest.raises(EditRefused, match="changed"):
            editor.remove("drink", "Gin Sour", seen, "Ben")
        with pytest.raises(EditRefused, match="gone"):
            editor.remove("drink", "Nobody", seen, "Ben")

    def test_out_of_a_book_with_faults_nothing_is_taken(self, editor: Editor, folder: Path) -> None:
        """Its faults are told, not taken for a use."""
        seen = editor.opened("drink", "Gin Sour").fingerprint
        edit_by_hand(folder / "house.toml", 'symbol = "$"', "")
        with pytest.raises(EditRefused, match="faults"):
            editor.remove("drink", "Gin Sour", seen, "Ada")
