"""How the room is taken out of a recording."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears import denoise
from assistant.ears.base import RATE, Sound
from assistant.ears.denoise import depth_db, heard_apart
from assistant.ears.levels import levelled
from demo_audio_scripts.speak import VOICES
from tests.spoken import Noise, said_by

QUIET_ROOM_DB = 40.0  # people close to a microphone have 50 to 70


@pytest.fixture(scope="module")
def speech() -> Sound:
    """A line as a synthetic voice says it, in no room at all."""
    voice = next((voice for voice in VOICES if voice.is_here), None)
    if voice is None:
        pytest.skip("no speech synthesiser is installed")
    return said_by(voice, "how much lime juice in a margarita")


@pytest.fixture(scope="module")
def hiss() -> Sound:
    """An extractor fan."""
    return Sound(np.random.default_rng(1).standard_normal(2 * RATE).astype(np.float32))


@pytest.mark.audio
@pytest.mark.skipif(denoise.RNNoise is None, reason="the denoiser has no wheel for this machine")
@pytest.mark.parametrize("snr_db", [15, 9, 6])
def test_speech_stands_further_above_the_room(speech: Sound, hiss: Sound, snr_db: float) -> None:
    """A fan that runs behind the speaker is turned down by more than half its loudness (10 dB)."""
    in_the_room = Noise(hiss, snr_db).over(speech, seed=1)
    assert depth_db(heard_apart(in_the_room)) > depth_db(in_the_room) + 10


@pytest.mark.audio
def test_a_voice_in_a_silent_room_is_left_as_it_is(speech: Sound) -> None:
    """Where there is no room to take out, nothing of the voice is taken with it."""
    assert depth_db(speech) > QUIET_ROOM_DB
    assert np.array_equal(heard_apart(speech).samples, levelled(speech).samples)


def test_without_the_denoiser_sound_is_heard_as_it_came(hiss: Sound, monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine that it is not made for hears all the same."""
    monkeypatch.setattr(denoise, "RNNoise", None)
    assert np.array_equal(heard_apart(hiss).samples, levelled(hiss).samples)


@pytest.mark.parametrize("length", [0, 1, 100, RATE // 10])
def test_a_sound_too_short_for_a_frame_breaks_nothing(length: int) -> None:
    """A button that was only touched."""
    assert len(heard_apart(Sound(np.ones(length, np.float32))).samples) <= max(length, RATE // 10)
