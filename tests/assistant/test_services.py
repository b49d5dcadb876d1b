"""Book, memory, grammar and talk put together: what changes in one is seen in the next answer."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from assistant.answers.base import Marked, SetOut, Sold
from assistant.ears.base import Sound
from assistant.errors import MemoryFailed
from assistant.messages import Heard
from assistant.services import Services
from recipes.errors import BookError
from recipes.units import quantity


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the book that a test may edit."""
    return Path(shutil.copytree(str(files("recipes") / "book"), tmp_path / "book"))


@pytest.fixture
def url(tmp_path: Path) -> str:
    """A database of the test's own."""
    return f"sqlite:///{tmp_path / 'data' / 'shift.db'}"


@pytest.fixture
def services(folder: Path, url: str) -> Iterator[Services]:
    """The assistant on that book."""
    services = Services(folder, url)
    yield services
    services.close()


def edit(file: Path, old: str, new: str) -> None:
    """Change a file as an editor does, so that its time or size is another."""
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    os.utime(file, ns=(file.stat().st_atime_ns, file.stat().st_mtime_ns + 1_000_000))


class TestTonight:
    """The book as it stands tonight."""

    def test_a_new_price_is_in_the_next_cost(self, services: Services) -> None:
        """What was paid for gin is what the next costing counts with."""
        before = services.ask("what does a gimlet cost", "bar").say
        services.ask("gin is ninety dollars now", "bar")
        assert services.book.ingredients["gin"].pack is not None
        assert services.book.ingredients["gin"].pack.price == quantity(90, "money")
        assert services.ask("what does a gimlet cost", "bar").say != before

    def test_what_is_out_is_out_for_everyone(self, services: Services) -> None:
        """Said in one conversation, known in the other."""
        services.ask("we're out of orgeat", "bar")
        assert services.tonight().out == {"orgeat"}
        assert "already out" in services.ask("we're out of orgeat", "kitchen").say

    def test_what_is_counted_is_taken_off_the_prep_for_everyone(self, services: Services) -> None:
        """Said at the bar, read on the manager's sheet; undone at the bar, and the sheet is whole again."""
        whole = services.ask("prep for eighty covers", "office").card
        assert services.ask("we have two litres of lime juice", "bar").undo is not None
        assert "Of lime juice there is enough." in services.ask("prep for eighty covers", "office").say
        assert services.ask("undo that", "bar").say == "Undone. No count of lime juice stands any longer."
        assert services.ask("prep for eighty covers", "office").card == whole

    def test_prep_goes_by_what_was_sold(self, services: Services) -> None:
        """Where a till's list was taken, it is the mix, and that is said."""
        assert "drinks shared equally." in services.ask("prep for eighty covers", "office").say
        services.memory.apply(Sold("Manhattan", 40), "office")
        assert "drinks by last sales." in services.ask("prep for eighty covers", "office").say

    def test_a_kept_riff_can_be_asked_for_by_name(self, services: Services) -> None:
        """'Call it harbour storm' puts it in the book and into the grammar; undo takes it out of both."""
        services.ask("swap the gin for aged rum in the gimlet", "bar")
        kept = services.ask("call it harbour storm", "bar")
        assert kept.undo is not None
        assert services.ask("spec for harbour storm", "kitchen").say.startswith("Harbour Storm: two ounces aged rum")
        services.ask("undo", "bar")
        assert not services.ask("spec for harbour storm", "kitchen").understood
        assert "Harbour Storm" not in services.book.drinks

    def test_another_process_on_the_same_database_is_seen(self, services: Services, folder: Path, url: str) -> None:
        """What the office changes is known at the bar with the next question."""
        office = Services(folder, url)
        office.ask("we're out of orgeat", "office")
        office.close()
        assert services.tonight().out == {"orgeat"}

    def test_nothing_is_worked_out_twice(self, services: Services) -> None:
        """While nothing changes, the same book and grammar serve every question."""
        first = services.tonight()
        services.ask("spec for a gimlet", "bar")
        assert services.tonight() is first
        services.ask("we're out of orgeat", "bar")
        second = services.tonight()
        assert second is not first
        assert second.matcher is first.matcher, "no name has changed, so the grammar is the same"

    def test_a_mark_in_a_quiz_has_nothing_worked_out_anew(self, services: Services) -> None:
        """Thirty trainees who answer at once do not have the bar's night put together thirty times."""
        first, version = services.tonight(), services.memory.version()
        services.memory.apply(Marked("Ana", "Gimlet", "build", 5, 6), "Ana")
        assert services.memory.version() > version
        assert services.tonight() is first
        services.memory.apply(Sold("Gimlet", 41), "manager")
        assert services.tonight().sold == {"Gimlet": 41}


class _Door(AbstractContextManager[None]):
    """A lock that tells who has come to it."""

    def __init__(self) -> None:
        self._lock, self.came = threading.Lock(), threading.Semaphore(0)

    def __enter__(self) -> None:
        self.came.release()
        self._lock.acquire()

    def __exit__(self, *_: object) -> None:
        self._lock.release()


class TestManyAtOnce:
    """Many who ask in one instant."""

    def test_a_look_is_shared_by_those_who_asked_before_it(
        self, services: Services, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Ten who ask while another looks have one look between them, and it shows what had changed when they asked."""
        door, looked, go_on, looks = _Door(), threading.Event(), threading.Event(), []
        recall = services._recall

        def held_up() -> bool:
            looks.append(recall())
            looked.set()
            return looks[-1] and go_on.wait(60)

        monkeypatch.setattr(services, "_lock", door)
        monkeypatch.setattr(services, "_recall", held_up)
        with ThreadPoolExecutor(11) as people:
            first = people.submit(services.tonight)
            assert looked.wait(60)
            services.memory.apply(SetOut("orgeat", True), "bar")
            others = [people.submit(services.tonight) for _ in range(10)]
            assert all(door.came.acquire(timeout=60) for _ in range(11))
            go_on.set()
            assert [other.result().out for other in others] == [{"orgeat"}] * 10
        assert first.result().out == set()
        assert looks == [True, True]


class TestEditedFiles:
    """The book's files can be edited while the assistant runs."""

    def test_an_edit_is_in_the_next_answer(self, services: Services, folder: Path) -> None:
        """A drink renamed in the file is asked for by its new name."""
        assert not services.ask("spec for a quayside gimlet", "bar").understood
        edit(folder / "classics.toml", 'name = "Gimlet"', 'name = "Quayside Gimlet"')
        assert services.ask("spec for a quayside gimlet", "bar").say.startswith("Quayside Gimlet: two ounces gin")

    def test_a_broken_edit_keeps_the_last_good_book_and_says_so(self, services: Services, folder: Path) -> None:
        """The bar goes on with the book from before, and is told where the fault is; mended, all is well."""
        edit(folder / "classics.toml", 'name = "Gimlet"', 'name = "Gimlet"\nglas = "flute"')
        reply = services.ask("spec for a gimlet", "bar")
        assert reply.say.startswith("Gimlet: two ounces gin")
        told = [caution for caution in reply.cautions if "last edit of the book" in caution]
        assert len(told) == 1
        assert "classics.toml:" in told[0]
        edit(folder / "classics.toml", 'name = "Gimlet"\nglas = "flute"', 'name = "Quayside Gimlet"')
        reply = services.ask("spec for a quayside gimlet", "bar")
        assert reply.say.startswith("Quayside Gimlet: two ounces gin")
        assert not any("last edit" in caution for caution in reply.cautions)

    def test_a_file_that_is_not_toml_is_told_as_well(self, services: Services, folder: Path) -> None:
        """Half a file, as when it is being saved, does no harm."""
        (folder / "classics.toml").write_text("shelf = ", encoding="utf-8")
        reply = services.ask("spec for a gimlet", "bar")
        assert reply.say.startswith("Gimlet: two ounces gin")
        assert any("this is not TOML" in caution for caution in reply.cautions)

    def test_what_no_longer_fits_is_left_out_and_told(self, services: Services, folder: Path) -> None:
        """A kept riff on an ingredient that the book has lost is named, not guessed at."""
        services.ask("swap the gin for navy strength gin in the gimlet", "bar")
        services.ask("call it harbour storm", "bar")
        services.ask("navy strength gin is forty dollars now", "bar")
        edit(folder / "ingredients" / "spirits.toml", 'name = "navy strength gin"', 'name = "harbour strength gin"')
        reply = services.ask("spec for a daiquiri", "office")
        assert "Kept, but no longer fitting the book, so left out: Harbour Storm." in reply.cautions
        assert "Prices for what the book no longer buys, so left out: navy strength gin." in reply.cautions

    def test_a_book_that_was_never_good_does_not_start(self, folder: Path, url: str) -> None:
        """At the start a fault is an error with all the faults in it."""
        edit(folder / "classics.toml", 'name = "Gimlet"', 'name = "Gimlet"\nglas = "flute"')
        with pytest.raises(BookError) as error:
            Services(folder, url)
        assert error.value.faults[0].file == "classics.toml"


class TestMemoryTrouble:
    """A database that fails is said, and the specs go on."""

    def test_a_lost_memory_is_told_and_specs_go_on(self, services: Services, tmp_path: Path) -> None:
        """With the database unreadable, the drink is still read out, with a warning; nothing is claimed to be kept."""
        services.ask("we're out of orgeat", "bar")
        assert services.tonight().out == {"orgeat"}
        with services.memory._engine.begin() as connection:
            connection.exec_driver_sql("alter table venue rename to lost")
        reply = services.ask("spec for a gimlet", "bar")
        assert reply.say.startswith("Gimlet: two ounces gin")
        assert any(caution.startswith("The memory cannot be read") for caution in reply.cautions)
        assert services.tonight().out == {"orgeat"}, "what was last known stays"
        assert services.ask("we're out of gin", "bar").say.startswith("I could not write that down")
        with services.memory._engine.begin() as connection:
            connection.exec_driver_sql("alter table lost rename to venue")
        cautions = services.ask("spec for a gimlet", "kitchen").cautions
        assert not any(caution.startswith("The memory") for caution in cautions)

    def test_a_database_that_cannot_be_opened_does_not_start(self, folder: Path) -> None:
        """At the start it is an error that says so."""
        with pytest.raises(MemoryFailed):
            Services(folder, "sqlite:////proc/no/shift.db")


class Scripted:
    """A recogniser that hears what it is told."""

    name = "scripted"

    def __init__(self) -> None:
        self.closed = 0

    def hear(self, sound: Sound) -> Heard:
        """The script."""
        return Heard("spec for a gimlet", 0.9, recogniser=self.name, audio_s=sound.seconds)

    def close(self) -> None:
        """Count how often."""
        self.closed += 1


def test_sound_goes_to_the_recogniser_that_is_attached(services: Services) -> None:
    """With an ear, what is heard is answered as what is typed; closing closes it."""
    sound = Sound(np.zeros(16_000, dtype=np.float32))
    with pytest.raises(LookupError):
        services.hear(sound)
    services.recogniser = ear = Scripted()
    reply = services.ask(services.hear(sound), "bar")
    assert reply.say.startswith("Gimlet: two ounces gin")
    assert reply.heard == Heard("spec for a gimlet", 0.9, recogniser="scripted", audio_s=1.0)
    services.close()
    assert ear.closed == 1
