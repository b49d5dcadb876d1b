"""The composition root: book, memory, grammar and talk put together; the doors get one of these and nothing else."""

from __future__ import annotations

import logging
import threading
from dataclasses import replace
from pathlib import Path

import click

from assistant.answers.edits import as_entry
from assistant.book_files import BookFiles
from assistant.care.automatic import back_up_before_upgrade, mend
from assistant.dialogue import Dialogue
from assistant.ears.base import Recogniser, Sound
from assistant.ears.choose import AUTO, VOSK, Plan
from assistant.ears.hearing import Hearing
from assistant.ears.pronunciation import usual_ways
from assistant.ears.spotting import Spotting
from assistant.editing.history import History
from assistant.editions import Editions
from assistant.errors import MemoryFailed
from assistant.manager import Manager
from assistant.memory import Clock, Entry, Memory, Remembered, utc_now
from assistant.messages import Heard, Reply
from assistant.names import names_of
from assistant.rights import Rights
from assistant.tonight import Tonight, Trouble
from grammar import phrasebook
from grammar.command import Intent
from grammar.matcher import Matcher
from grammar.names import Names
from grammar.phrasebook import Phrasebook
from grammar.respellings import Respellings
from recipes.model import Book

log = logging.getLogger(__name__)


def default_database() -> str:
    """The URL of the database in this person's own folder for programs' data."""
    return f"sqlite:///{Path(click.get_app_dir('prep-assistant')) / 'shift.db'}"


class Services:
    """All that a door needs: `ask` and, once a recogniser is attached, `hear`. Safe to use from several threads.

    The book in use is the book's files with the memory's prices and kept drinks over it; both are looked at before each
    answer, and what was worked out from them is kept until one of them changes.
    """

    def __init__(
        self,
        book_path: Path | None = None,
        database_url: str | None = None,
        clock: Clock = utc_now,
        venue: str = "house",
        own_book: Path | None = None,
    ) -> None:
        """Open the book and the memory. Raises BookError, MemoryFailed or NewerDatabase.

        `own_book` is where the bar's own copy of the book lies, or will, when it makes the one that ships its own.
        """
        self.files = BookFiles(book_path, own_book)
        url = database_url or default_database()
        self._mended = mend(url)
        back_up_before_upgrade(url, clock())
        self.memory = Memory(url, clock, venue)
        self._lock = threading.Lock()
        self._looks_begun = self._look_ended = 0  # the number of the last that began, and of the last that ended well
        self._remembered = self.memory.recall()
        self._editions = Editions()
        self._names: Names | None = None
        self._tonight = self._work_out(memory_lost=False)
        self.manager = Manager(self.memory.pins, clock)
        self.dialogue = Dialogue(self.tonight, self.memory, clock, edited=self._edited)
        self.recogniser: Recogniser | None = None
        self.spotter: Recogniser = Spotting(lambda: self.book.house.wake_phrase)

    def _edited(self) -> list[Entry]:
        """What was changed in the book's files, oldest first. Raises OSError."""
        return [as_entry(edit) for edit in History(self.files.folder).edits()]

    @property
    def book(self) -> Book:
        """The book as it stands tonight."""
        return self.tonight().book

    @property
    def phrasebook(self) -> Phrasebook:
        """All that can be said, with tonight's names in it."""
        self.tonight()
        return self._phrasebook

    def tonight(self) -> Tonight:
        """The book, the names and what is out, as the files and the memory have them now.

        Those who wait for another's look share the next one: it begins after they asked.
        """
        begun = self._looks_begun
        with self._lock:
            if self._look_ended <= begun:
                self._looks_begun += 1
                self._look()
                self._look_ended = self._looks_begun
            return self._tonight

    def _look(self) -> None:
        edited = self.files.refresh()
        before = self._remembered
        lost = not self._recall()
        was_lost = Trouble("memory") in self._tonight.troubles
        if edited or lost != was_lost or not _holds_the_same(self._remembered, before):
            self._tonight = self._work_out(lost)

    def ask(self, heard: Heard | str, conversation: str, who: str = "", is_manager: bool = False) -> Reply:
        """Answer one utterance of a conversation; `is_manager`: its device is unlocked."""
        return self.dialogue.ask(heard, conversation, who, is_manager)

    def rights(self, is_manager: bool = False) -> Rights:
        """What one who comes through a door may do. Raises MemoryFailed."""
        return Rights(is_manager, self.manager.has_pin(), self.book.house.pin_also_for)

    def ear_plan(self, recogniser: str = AUTO) -> Plan:
        """How to make a recogniser (one of `choose.CHOICES`) of all that can be said tonight."""
        phrases = self.phrasebook
        in_quiz = phrases.network(in_quiz=True)
        return Plan(phrases.network(), recogniser, lenient=True, in_quiz=in_quiz, names=self._names)

    def hear(self, sound: Sound, conversation: str = "") -> Heard:
        """What the attached recogniser makes of a sound that belongs to a conversation.

        Raises RecogniserFailed as the recogniser does, and LookupError when none is attached.
        """
        if self.recogniser is None:
            raise LookupError("no recogniser is attached")
        heard = self.recogniser.hear(replace(sound, in_quiz=self.dialogue.is_asking(conversation)))
        written = self._respellings.written
        return replace(heard, text=written(heard.text), alternatives=tuple(map(written, heard.alternatives)))

    @property
    def tells_partials(self) -> bool:
        """Whether the recogniser is quick enough to hear what was said so far, while it is said."""
        return self.recogniser is not None and self.recogniser.name == VOSK

    def book_edited(self) -> None:
        """Take the files as they are now, and have the ear learn new names; until it has, it hears the old ones."""
        self.tonight()
        if isinstance(self.recogniser, Hearing):
            self.recogniser.refresh()

    def close(self) -> None:
        """Let go of the recogniser and the database; safe to call twice."""
        if self.recogniser is not None:
            self.recogniser.close()
        self.spotter.close()
        self.memory.close()

    def _recall(self) -> bool:
        """Look at the memory, if it changed; False when it cannot be read, and what was known stays."""
        try:
            if self.memory.version() != self._remembered.version:
                self._remembered = self.memory.recall()
        except MemoryFailed as failed:
            log.error("the memory cannot be read: %s", failed)
            return False
        return True

    def _work_out(self, memory_lost: bool) -> Tonight:
        book, troubles = self._editions.of(self.files.book, self._remembered)
        if self.files.faults:
            troubles = (Trouble("files", faults=self.files.faults), *troubles)
        if self._mended is not None:
            troubles = (Trouble("mended", names=(self._mended.at, self._mended.aside.name)), *troubles)
        if memory_lost:
            troubles = (Trouble("memory"), *troubles)
        self._learn(names_of(book, self._remembered.people))
        examples = {intent: self._phrasebook.examples(intent) for intent in Intent}
        sold = {name: count for name, count in self._remembered.sold.items() if name in book.drinks}
        counted = {name: count for name, count in self._remembered.counted.items() if name in book.ingredients}
        now = Tonight(book, self._matcher, self._remembered.out, sold, examples, troubles, counted)
        now = replace(now, people=self._remembered.people, pars=frozenset(self._remembered.pars))
        return replace(now, has_pin=memory_lost or self._remembered.has_pin)

    def _learn(self, names: Names) -> None:
        """A matcher and a phrasebook for these names, made anew only when they are others."""
        if names != self._names:
            self._names = names
            self._phrasebook = phrasebook.load(names)
            self._respellings = Respellings(names)
            self._matcher = Matcher(names, usual_ways())


def _holds_the_same(now: Remembered, before: Remembered) -> bool:
    """Whether nothing that is looked at before each answer has changed; a mark in a quiz has not."""
    return now is before or replace(now, version=before.version) == before
