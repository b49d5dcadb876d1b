"""The ear of the server follows the book, and is made ready while others already type."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.choose import POCKETSPHINX, VOSK
from assistant.ears.errors import NoModel, RecogniserFailed
from assistant.ears.hearing import Hearing
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

    def network(self) -> Network:
        """What can be said now."""
        self.read += 1
        return made(self.says)


@pytest.fixture
def book() -> Book:
    """A book with one drink."""
    return Book()


@pytest.fixture
def ear(book: Book, monkeypatch: pytest.MonkeyPatch) -> Iterator[Hearing]:
    """An ear that follows it."""
    monkeypatch.delenv("PREP_ASSISTANT_VOSK_MODEL", raising=False)
    opened = Hearing(book.network, lambda: book.says, POCKETSPHINX)
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
    ear = Hearing(book.network, lambda: book.says, VOSK)
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
