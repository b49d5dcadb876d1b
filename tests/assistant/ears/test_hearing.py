"""The ear of the server follows the book, and is made ready while others already type."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from functools import partial

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.choose import POCKETSPHINX, VOSK, Plan
from assistant.ears.errors import NoModel, RecogniserBusy, RecogniserFailed
from assistant.ears.hearing import Hearing
from assistant.ears.pool import Make
from assistant.ears.scripted import Scripted
from assistant.messages import Heard
from grammar import jsgf, network
from grammar.network import Network

SOUND = Sound(np.zeros(RATE, np.float32))


def made(body: str) -> Network:
    """The network of one rule."""
    return network.build(jsgf.parse(f"#JSGF V1.0;\ngrammar g;\npublic <s> = {body};"))


class Book:
    """What can be said, which changes."""

    def __init__(self) -> None:
        self.says = "gimlet"
        self.read = 0

    def plan(self, recogniser: str = POCKETSPHINX) -> Plan:
        """How to make a recogniser of what can be said now."""
        self.read += 1
        return Plan(made(self.says), recogniser, lenient=True)


@pytest.fixture
def book() -> Book:
    """A book with one drink."""
    return Book()


@pytest.fixture
def ear(book: Book, monkeypatch: pytest.MonkeyPatch) -> Iterator[Hearing]:
    """An ear that follows it."""
    monkeypatch.delenv("PREP_ASSISTANT_VOSK_MODEL", raising=False)
    opened = Hearing(book.plan, lambda: book.says)
    yield opened
    opened.close()


def test_it_hears_once_it_is_ready(ear: Hearing) -> None:
    """Silence is heard as nothing, by the recogniser asked for."""
    ear.wait_ready()
    assert ear.is_ready
    assert ear.hear(SOUND).text == ""
    assert ear.name == "pocketsphinx"


def test_the_first_speaker_waits_for_it(ear: Hearing) -> None:
    """A question asked while models load is answered when they are loaded."""
    assert ear.hear(SOUND).recogniser == "pocketsphinx"


def test_it_is_made_anew_when_the_book_changes_and_only_then(ear: Hearing, book: Book) -> None:
    """While the new one loads, the old one goes on hearing."""
    ear.wait_ready()
    ear.hear(SOUND)
    assert book.read == 1
    book.says = "gimlet | daiquiri"
    for _ in range(2):
        assert ear.hear(SOUND).recogniser == "pocketsphinx"
    ear.close()
    assert book.read == 2


class Ponderous:
    """Takes a second and a half over each sound, and hears in it the first word it could have been."""

    name = "ponderous"

    def __init__(self, word: str) -> None:
        self.word = word

    def hear(self, sound: Sound) -> Heard:
        """The word, in the end."""
        time.sleep(1.5)
        return Heard(self.word)

    def close(self) -> None:
        """Nothing to let go of."""


@pytest.fixture
def slow_ear(book: Book) -> Iterator[Hearing]:
    """An ear with one slow worker."""
    opened = Hearing(lambda: partial(Ponderous, book.says), lambda: book.says)
    opened.wait_ready()
    yield opened
    opened.close()


def test_who_is_speaking_when_the_book_changes_is_heard_out(slow_ear: Hearing, book: Book) -> None:
    """The old recogniser ends its utterance before it ends, while the new one already hears the next."""
    with ThreadPoolExecutor(1) as speaker:
        said = speaker.submit(slow_ear.hear, SOUND)
        time.sleep(0.1)
        book.says = "daiquiri"
        slow_ear.refresh()
        assert said.result().text == "gimlet"
    for _ in range(20):
        if slow_ear.hear(SOUND).text == "daiquiri":
            return
    pytest.fail("the new recogniser never came")


def test_closing_waits_for_nobody(slow_ear: Hearing, book: Book) -> None:
    """A server that ends while someone speaks ends at once, and leaves no process."""
    with ThreadPoolExecutor(1) as speaker:
        said = speaker.submit(slow_ear.hear, SOUND)
        time.sleep(0.1)
        slow_ear.close()
        with pytest.raises(RecogniserFailed):
            said.result()
    assert multiprocessing.active_children() == []


def test_a_crowd_that_speaks_at_once_is_told_so_within_a_second(slow_ear: Hearing) -> None:
    """With one slow worker one of twelve is heard; each of the others is told to try again, long before that."""
    with ThreadPoolExecutor(12) as speakers:
        said = [speakers.submit(slow_ear.hear, SOUND) for _ in range(12)]
        told = [one.exception() for one in as_completed(said)]
    assert [type(each) for each in told] == [RecogniserBusy] * 11 + [type(None)]


def test_what_nobody_foresaw_is_told_too(book: Book) -> None:
    """When not even a process can be made, speakers are told so, and not left to wait."""

    def no_processes() -> Make:
        raise OSError(11, "Resource temporarily unavailable")

    ear = Hearing(no_processes, lambda: book.says)
    with pytest.raises(RecogniserFailed, match="cannot be made"):
        ear.hear(SOUND)
    ear.close()


def test_an_ear_that_could_not_be_made_is_made_when_it_can_be(book: Book) -> None:
    """A machine that was too busy as the server started is not deaf for the night: who speaks later is heard."""
    tries: list[str] = []

    def busy_at_first() -> Make:
        tries.append(book.says)
        if len(tries) == 1:
            raise OSError(11, "Resource temporarily unavailable")
        return partial(Scripted, ["gimlet"] * 3)

    ear = Hearing(busy_at_first, lambda: book.says)
    try:
        with pytest.raises(RecogniserFailed):
            ear.wait_ready()
        for _ in range(200):
            ear.refresh()
            if ear.is_ready:
                break
            time.sleep(0.1)
        assert ear.hear(SOUND).text == "gimlet"
        assert len(tries) == 2
    finally:
        ear.close()


def test_a_word_without_a_sound_does_not_make_it_deaf(ear: Hearing, book: Book) -> None:
    """One unsayable name in the book costs that name."""
    ear.wait_ready()
    book.says = "gimlet | водка"
    ear.refresh()
    assert ear.hear(SOUND).recogniser == "pocketsphinx"


def test_what_keeps_it_from_hearing_is_told_each_time(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without its model it is deaf, and says why instead of hanging."""
    monkeypatch.setattr("assistant.ears.choose.model_folders", tuple)
    monkeypatch.setenv("PREP_ASSISTANT_VOSK_MODEL", "/models/none")
    ear = Hearing(partial(book.plan, VOSK), lambda: book.says)
    try:
        for _ in range(2):
            with pytest.raises(NoModel, match="no such folder"):
                ear.hear(SOUND)
        assert not ear.is_ready
    finally:
        ear.close()


def test_a_closed_ear_hears_nothing(ear: Hearing) -> None:
    """It may be closed twice, and at any time."""
    ear.close()
    ear.close()
    with pytest.raises(RecogniserFailed):
        ear.hear(SOUND)
