"""The memory: every change whole, traced, undone once, and still there after the power goes."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest
from pydantic import ValidationError

from assistant import kept, turns
from assistant.answers.base import Change, FloorTest, KeepDrink, Marked, SetOut, SetPrice, Sold
from assistant.errors import AlreadyUndone, ChangedSince, MemoryFailed, NameTaken, UnknownChange
from assistant.memory import Memory, Remembered
from recipes.model import Drink
from recipes.units import quantity
from tests.assistant.remembering import ONE_OF_EACH, RIFF, START, Clock, holdings


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory with nothing in it, on SQLite and on PostgreSQL."""
    memory = Memory(url, Clock())
    yield memory
    memory.close()


def test_a_new_memory_is_empty(memory: Memory) -> None:
    """On the first night nothing is out, nothing repriced, nothing kept."""
    assert memory.recall() == Remembered(0, frozenset(), {}, ())
    assert memory.marks("Ana") == ()


def test_what_is_out_is_out_until_it_is_back(memory: Memory) -> None:
    """'We are out of orgeat' holds until 'orgeat is back'."""
    memory.apply(SetOut("orgeat", True), "bar")
    memory.apply(SetOut("rye whiskey", True), "bar")
    memory.apply(SetOut("orgeat", False), "bar")
    assert memory.recall().out == {"rye whiskey"}


def test_the_last_price_counts_to_the_cent(memory: Memory) -> None:
    """A pack costs what was said last, as a decimal number."""
    memory.apply(SetPrice("lime juice", quantity("0.6", "money")), "bar")
    memory.apply(SetPrice("lime juice", quantity("0.55", "money")), "bar")
    assert memory.recall().prices == {"lime juice": quantity("0.55", "money")}


def test_a_kept_drink_comes_back_the_same(memory: Memory) -> None:
    """A riff that was kept is the same drink to the last note."""
    memory.apply(KeepDrink(RIFF), "bar")
    assert memory.recall().drinks == (RIFF,)


def test_marks_belong_to_their_trainee_in_order(memory: Memory) -> None:
    """Each trainee has marks of their own, oldest first."""
    marks = [Marked("Ana", "Gimlet", "build", points, 6) for points in (2, 6, 4)]
    for mark in (*marks[:2], Marked("Bo", "Gimlet", "glass", 1, 1), marks[2]):
        memory.apply(mark, mark.trainee)
    assert memory.marks("Ana") == tuple(marks)


def test_marks_and_tests_know_when_they_were_made(memory: Memory) -> None:
    """Each has the time of its change, also after it was undone and done again."""
    memory.apply(Marked("Ana", "Gimlet", "build", 1, 6), "Ana")
    token = memory.apply(Marked("Ana", "Gimlet", "glass", 1, 1), "Ana")
    memory.apply(FloorTest("Ana", "Classics", 33, 40, True), "Ana")
    before = [mark.at for mark in memory.marks("Ana")]
    assert START < before[0] < before[1] < memory.tests()[0].at
    memory.undo(memory.undo(token, "Ana").token, "Ana")
    assert [mark.at for mark in memory.marks("Ana")] == before


@pytest.mark.parametrize("change", ONE_OF_EACH, ids=lambda change: type(change).__name__)
class TestUndo:
    """Whatever was changed can be put back."""

    def test_undo_restores_what_was(self, memory: Memory, change: Change) -> None:
        """After an undo all is as before the change."""
        before = holdings(memory)
        token = memory.apply(change, "bar")
        assert holdings(memory) != before
        memory.undo(token, "bar")
        assert holdings(memory) == before

    def test_undoing_the_undo_brings_it_back(self, memory: Memory, change: Change) -> None:
        """The undo is a change of its own, and can be undone."""
        token = memory.apply(change, "bar")
        after = holdings(memory)
        memory.undo(memory.undo(token, "bar").token, "bar")
        assert holdings(memory) == after

    def test_undoing_twice_is_refused(self, memory: Memory, change: Change) -> None:
        """The same change is not undone twice, and the refusal changes nothing."""
        token = memory.apply(change, "bar")
        memory.undo(token, "bar")
        before = holdings(memory)
        with pytest.raises(AlreadyUndone) as refused:
            memory.undo(token, "bar")
        assert refused.value.token == token
        assert holdings(memory) == before


def test_undo_of_a_price_gives_the_price_before(memory: Memory) -> None:
    """Undo goes one step back, not to the book's price."""
    memory.apply(SetPrice("lime juice", quantity("0.60", "money")), "bar")
    memory.undo(memory.apply(SetPrice("lime juice", quantity("6.00", "money")), "bar"), "bar")
    assert memory.recall().prices == {"lime juice": quantity("0.60", "money")}


def test_an_undo_never_takes_a_later_change_with_it(memory: Memory) -> None:
    """A price that was changed again is not put back over the later one."""
    first = memory.apply(SetPrice("lime juice", quantity("0.60", "money")), "bar")
    memory.apply(SetPrice("lime juice", quantity("0.70", "money")), "office")
    with pytest.raises(ChangedSince):
        memory.undo(first, "bar")
    assert memory.recall().prices == {"lime juice": quantity("0.70", "money")}


def test_once_the_later_change_is_undone_the_earlier_can_be(memory: Memory) -> None:
    """Changes come off in any order that loses nothing: redone, the later one is in the way again."""
    first = memory.apply(SetPrice("lime juice", quantity("0.60", "money")), "bar")
    second = memory.apply(SetPrice("lime juice", quantity("0.70", "money")), "office")
    redo = memory.undo(memory.undo(second, "office").token, "office").token
    with pytest.raises(ChangedSince):
        memory.undo(first, "bar")
    memory.undo(redo, "office")
    memory.undo(first, "bar")
    assert memory.recall().prices == {}


class TestTogether:
    """Changes that are made together stand and fall together."""

    def test_one_token_takes_them_all_back(self, memory: Memory) -> None:
        """Everything is as before, and undoing the undo brings all of it back."""
        before = holdings(memory)
        token = memory.apply_together(ONE_OF_EACH, "office")
        after = holdings(memory)
        undone = memory.undo(token, "office")
        assert (undone.kind, undone.name, undone.undoes) == ("together", str(len(ONE_OF_EACH)), token)
        assert holdings(memory) == before
        memory.undo(undone.token, "office")
        assert holdings(memory) == after

    def test_undoing_them_twice_is_refused(self, memory: Memory) -> None:
        """As with a single change."""
        token = memory.apply_together(ONE_OF_EACH, "office")
        memory.undo(token, "office")
        with pytest.raises(AlreadyUndone):
            memory.undo(token, "office")

    def test_one_that_was_changed_since_keeps_all_of_them(self, memory: Memory) -> None:
        """An undo of many never takes a later change with it, and does nothing by halves."""
        token = memory.apply_together(ONE_OF_EACH, "office")
        memory.apply(SetPrice("lime juice", quantity("0.70", "money")), "bar")
        before = holdings(memory)
        with pytest.raises(ChangedSince):
            memory.undo(token, "office")
        assert holdings(memory) == before

    def test_a_change_that_cannot_be_written_leaves_none(self, memory: Memory) -> None:
        """The second of two has a name too strange for the database, so the first is not there either."""
        strange: Change = Sold(None, 3)  # type: ignore[arg-type]  # a row must have a name
        with pytest.raises(MemoryFailed):
            memory.apply_together((SetOut("orgeat", True), strange), "office")
        assert memory.recall().out == frozenset()
        assert memory.trail() == ()

    def test_nothing_made_together_is_nothing(self, memory: Memory) -> None:
        """A token of no changes undoes nothing."""
        with pytest.raises(UnknownChange):
            memory.undo(memory.apply_together((), "office"), "office")


def test_the_history_of_a_price_is_kept(memory: Memory) -> None:
    """Every price that was set, the last first, with who set it; other prices are not among them."""
    for price in ("0.60", "0.70"):
        memory.apply(SetPrice("lime juice", quantity(price, "money")), "Ana")
    memory.apply(SetPrice("gin", quantity("30", "money")), "Bo")
    told = [(entry.who, entry.after) for entry in memory.history("price", "lime juice")]
    assert told == [("Ana", {"name": "lime juice", "price": "0.70"}), ("Ana", {"name": "lime juice", "price": "0.60"})]


def test_an_unknown_token_is_refused(memory: Memory) -> None:
    """Nothing is undone for a token that no change has."""
    with pytest.raises(UnknownChange):
        memory.undo("no such change", "bar")


def test_the_trail_says_who_changed_what_and_when(memory: Memory) -> None:
    """Newest first, each line with who, when, what was and what became; the undo is in it."""
    token = memory.apply(SetOut("orgeat", True), "Ana")
    memory.undo(token, "Bo")
    undone, done = memory.trail()
    assert (done.who, done.at, done.kind, done.name) == ("Ana", START + timedelta(minutes=1), "out", "orgeat")
    assert (done.before, done.after, done.undoes) == (None, {"name": "orgeat"}, None)
    assert (undone.who, undone.before, undone.after, undone.undoes) == ("Bo", {"name": "orgeat"}, None, token)
    assert undone.at > done.at


def test_the_version_grows_with_every_change(memory: Memory) -> None:
    """What is worked out from the memory can be kept while the version stays the same."""
    versions = [memory.version()]
    for change in ONE_OF_EACH:
        memory.apply(change, "bar")
        versions.append(memory.version())
    assert versions == sorted(set(versions))
    assert memory.recall().version == memory.version()


def at_once(*works: Callable[[], None]) -> None:
    """Do these at the same time, each in a thread of its own."""
    together = threading.Barrier(len(works))

    def start(work: Callable[[], None]) -> None:
        together.wait()
        work()

    threads = [threading.Thread(target=start, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


class TestSeveralVenues:
    """Venues on one database: one book, and the rest each venue's own."""

    @pytest.fixture
    def venues(self, url: str) -> Iterator[tuple[Memory, Memory]]:
        """Two bars of one house, each with a connection of its own, as two servers have."""
        quay, hill = Memory(url, Clock(), venue="quay"), Memory(url, Clock(), venue="hill")
        yield quay, hill
        quay.close()
        hill.close()

    def test_each_has_its_own_shelf_prices_and_quiz(self, venues: tuple[Memory, Memory]) -> None:
        """What is out, paid or marked in one bar is so in that bar."""
        quay, hill = venues
        for change in ONE_OF_EACH:
            if not isinstance(change, KeepDrink):
                quay.apply(change, "Ana")
        assert hill.recall() == Remembered(0, frozenset(), {}, ())
        assert (hill.marks("Ana"), hill.tests(), hill.trail()) == ((), (), ())

    def test_a_kept_drink_is_in_the_book_of_all(self, venues: tuple[Memory, Memory]) -> None:
        """A riff kept at the quay is poured on the hill with the next question; either may take it back."""
        quay, hill = venues
        before = hill.version()
        token = quay.apply(KeepDrink(RIFF), "Ana")
        assert hill.version() > before
        assert hill.recall().drinks == (RIFF,)
        assert [entry.who for entry in hill.history("drink", RIFF.name)] == ["Ana"]
        hill.undo(token, "Bo")
        assert quay.recall().drinks == ()

    def test_a_change_of_one_is_no_news_to_the_other(self, venues: tuple[Memory, Memory]) -> None:
        """The hill works nothing out anew because the quay is out of orgeat."""
        quay, hill = venues
        quay.apply(SetOut("orgeat", True), "Ana")
        assert hill.version() == 0

    def test_one_name_for_two_drinks_at_once_loses_neither(self, venues: tuple[Memory, Memory]) -> None:
        """Both bars keep a drink of one name in the same moment: one is kept, the other told, and kept renamed."""
        told: list[tuple[Memory, Drink]] = []

        def keep(memory: Memory, drink: Drink) -> Callable[[], None]:
            def work() -> None:
                try:
                    memory.apply(KeepDrink(drink), "bar")
                except NameTaken:
                    told.append((memory, drink))

            return work

        at_once(*(keep(memory, replace(RIFF, note=note)) for memory, note in zip(venues, ("one", "two"), strict=True)))
        ((loser, drink),) = told
        loser.apply(KeepDrink(replace(drink, name="Hill Gimlet")), "bar")
        for memory in venues:
            there = memory.recall().drinks
            assert {each.name for each in there} == {RIFF.name, "Hill Gimlet"}
            assert {each.note for each in there} == {"one", "two"}

    def test_keeping_the_same_drink_twice_is_no_clash(self, venues: tuple[Memory, Memory]) -> None:
        """Two bars that import the same list do not stand in each other's way."""
        for memory in venues:
            memory.apply(KeepDrink(RIFF), "office")
        assert venues[0].recall().drinks == (RIFF,)

    def test_two_devices_that_change_one_price_lose_neither(self, url: str) -> None:
        """Each of forty changes stands on the one before: the trail is one chain, and its end is the price."""
        devices = [Memory(url, Clock(), venue="quay") for _ in range(2)]

        def reprice(memory: Memory, first: int) -> Callable[[], None]:
            def work() -> None:
                for price in range(first, first + 20):
                    memory.apply(SetPrice("gin", quantity(price, "money")), "bar")

            return work

        at_once(reprice(devices[0], 100), reprice(devices[1], 200))
        chain = devices[0].history("price", "gin")
        assert {int(entry.after["price"]) for entry in chain if entry.after} == {*range(100, 120), *range(200, 220)}
        assert [later.before for later in chain[:-1]] == [earlier.after for earlier in chain[1:]]
        assert chain[-1].before is None
        assert chain[0].after == {"name": "gin", "price": f"{devices[1].recall().prices['gin'].magnitude}"}
        for memory in devices:
            memory.close()

    def test_the_same_thing_out_on_two_devices_at_once(self, url: str) -> None:
        """Neither device is refused because the other was a moment quicker."""
        devices = [Memory(url, Clock(), venue="quay") for _ in range(4)]
        names = [f"bottle {number}" for number in range(10)]

        def run_out(memory: Memory) -> Callable[[], None]:
            def work() -> None:
                for name in names:
                    memory.apply(SetOut(name, True), "bar")

            return work

        at_once(*(run_out(memory) for memory in devices))
        assert devices[0].recall().out == frozenset(names)
        assert len(devices[0].trail()) == 40
        assert devices[0].version() == 40
        for memory in devices:
            memory.close()


def test_many_hands_at_once_lose_nothing(memory: Memory) -> None:
    """Changes from several threads are all kept, each with its line in the trail."""
    names = [[f"thing {hand}-{turn}" for turn in range(5)] for hand in range(4)]

    def work(mine: list[str]) -> None:
        for name in mine:
            memory.apply(SetOut(name, True), "bar")

    at_once(*(partial(work, mine) for mine in names))
    assert memory.recall().out == {name for mine in names for name in mine}
    assert len(memory.trail()) == 20


def test_a_change_that_is_held_up_does_not_hold_up_the_next_for_good(
    memory: Memory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Changes take turns; one that hangs keeps its turn no longer than the others wait for a busy database."""
    monkeypatch.setattr(turns, "TURN_S", 0.05)
    with memory._turns._turn:
        memory.apply(SetOut("orgeat", True), "bar")
        memory.apply(SetOut("mint", True), "bar")
    assert memory.recall().out == {"orgeat", "mint"}


def test_a_spoilt_drink_is_named_and_the_rest_kept(tmp_path: Path) -> None:
    """A kept drink that cannot be read is reported by name; nothing else is lost."""
    path = tmp_path / "shift.db"
    memory = Memory(f"sqlite:///{path}", Clock())
    memory.apply(KeepDrink(RIFF), "bar")
    memory.apply(SetOut("orgeat", True), "bar")
    with sqlite3.connect(path) as raw:
        raw.execute("update kept_drink set document = '{}'")
    raw.close()
    now = memory.recall()
    memory.close()
    assert now == Remembered(2, frozenset({"orgeat"}), {}, (), unreadable=("Harbour Gimlet",))


@pytest.mark.parametrize("url", ["sqlite:////dev/null/shift.db", "sqlite:////proc/shift.db"])
def test_a_database_that_cannot_be_opened_is_said_so(url: str) -> None:
    """A folder that cannot be written gives one clear error, its cause kept."""
    with pytest.raises(MemoryFailed) as failed:
        Memory(url)
    assert failed.value.__cause__ is not None


def test_a_broken_database_changes_nothing_and_says_so(tmp_path: Path) -> None:
    """A file that is no database is refused, not written over."""
    path = tmp_path / "shift.db"
    path.write_text("this is a shopping list, not a database " * 20)
    with pytest.raises(MemoryFailed):
        Memory(f"sqlite:///{path}")
    assert path.read_text().startswith("this is a shopping list")


def test_the_file_is_written_through_to_the_disk(tmp_path: Path) -> None:
    """Every connection writes ahead and syncs fully, so a confirmed change outlives a power cut."""
    memory = Memory(f"sqlite:///{tmp_path / 'shift.db'}", Clock())
    with memory._reading() as connection:
        settings = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("journal_mode", "synchronous")]
    memory.close()
    assert settings == ["wal", 2]


WORKER = """
import sys
from decimal import Decimal
from assistant.answers.base import SetOut
from assistant.memory import Memory

memory = Memory(sys.argv[1])
turn = 0
while True:
    print(memory.apply(SetOut(f"bottle {turn}", True), "bar"), flush=True)
    turn += 1
"""


def test_a_killed_process_loses_nothing_it_confirmed(tmp_path: Path) -> None:
    """Killed without warning in the middle of its work, three times over, every confirmed change is still there."""
    url = f"sqlite:///{tmp_path / 'shift.db'}"
    confirmed: list[str] = []
    for changes in (1, 7, 20):
        process = subprocess.Popen([sys.executable, "-c", WORKER, url], stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        confirmed += [process.stdout.readline().strip() for _ in range(changes)]
        process.send_signal(signal.SIGKILL)
        confirmed += process.stdout.read().split()
        process.stdout.close()
        process.wait()
    memory = Memory(url)
    trail, out = memory.trail(limit=10_000), memory.recall().out
    memory.close()
    assert {entry.token for entry in trail} >= set(confirmed)
    assert len(set(confirmed)) >= 28
    assert out == {entry.name for entry in trail}, "each line of the trail and its change are there together"


class TestKeptDocument:
    """The stored form of a drink lets nothing doubtful in."""

    def test_a_drink_and_its_document_are_the_same(self) -> None:
        """Written and read back, a drink is equal to itself."""
        assert kept.read(kept.written(RIFF)) == RIFF

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ('"glass":"coupe"', '"glass":7'),
            ('"method":"shaken"', '"method":"frobbed"'),
            ('"unit":"oz"', '"unit":"firkin"'),
            ('"taste":""', '"colour":"green"'),
            ('"name":"Harbour Gimlet",', ""),
        ],
    )
    def test_a_strange_document_is_refused(self, old: str, new: str) -> None:
        """A wrong type, an unknown word, a strange field or a missing one is not read as a drink."""
        document = kept.written(RIFF)
        assert old in document
        with pytest.raises(ValidationError):
            kept.read(document.replace(old, new, 1))
