"""Where speech begins and ends in what a microphone hears."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound
from assistant.ears.endpoints import utterances
from demo_audio_scripts.speak import VOICES, Voice
from tests.spoken import said_by

pytestmark = pytest.mark.audio

VOICE = next(iter(voice for voice in VOICES if voice.is_here), None)


@pytest.fixture(scope="module")
def question() -> NDArray[np.float32]:
    """A question aloud."""
    if VOICE is None:
        pytest.skip("no speech synthesiser is installed")
    return _said(VOICE)


def _said(voice: Voice) -> NDArray[np.float32]:
    return said_by(voice, "how much lime juice goes in a gimlet").samples


def room(seconds: float, level: float = 1e-3) -> NDArray[np.float32]:
    """A quiet room."""
    noise = np.random.default_rng(3).standard_normal(int(seconds * RATE), dtype=np.float32)
    return noise * np.float32(level)


def in_room(*parts: float | NDArray[np.float32]) -> NDArray[np.float32]:
    """Questions, and pauses in seconds, in a quiet room."""
    silent = [np.zeros(int(part * RATE), np.float32) if isinstance(part, int | float) else part for part in parts]
    heard = np.concatenate(silent)
    return heard + room(len(heard) / RATE + 1)[: len(heard)]


def pieces(samples: NDArray[np.float32], size: int = 1_000) -> Iterator[Sound]:
    """As a microphone hands them over."""
    for at in range(0, len(samples), size):
        yield Sound(samples[at : at + size])


def test_two_questions_with_a_pause_are_two_utterances(question: NDArray[np.float32]) -> None:
    """Each comes out by itself, whole, without the silence around it."""
    found = list(utterances(pieces(in_room(1, question, 1.5, question, 1))))
    assert len(found) == 2
    assert all(each.seconds == pytest.approx(len(question) / RATE, abs=0.5) for each in found)


def test_an_utterance_comes_out_before_the_next_begins(question: NDArray[np.float32]) -> None:
    """Nobody waits for the next speaker to be answered."""
    left = pieces(in_room(1, question, 2))
    next(utterances(left))
    assert list(left)


def test_speech_that_is_cut_off_by_the_end_is_kept(question: NDArray[np.float32]) -> None:
    """A recording that ends in the midst of speech has all of it."""
    (found,) = utterances(pieces(in_room(0.5, question)))
    assert found.seconds > len(question) / RATE - 0.5


def test_a_quiet_room_says_nothing() -> None:
    """Silence is no utterance."""
    assert list(utterances(pieces(room(3)))) == []


def test_what_never_pauses_is_cut(question: NDArray[np.float32]) -> None:
    """A loud room cannot hold the ear open for ever."""
    found = list(utterances(pieces(np.tile(question, 6)), longest_s=3))
    assert len(found) > 2
    assert max(each.seconds for each in found) < 4
