"""How a recording is brought to the recogniser's level."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.levels import DITHER, PEAK, as_pcm, levelled, surrounded


def tone(peak: float) -> Sound:
    """A second of a tone."""
    return Sound((peak * np.sin(np.arange(RATE) / 5)).astype(np.float32))


@pytest.mark.parametrize("peak", [0.001, 0.1, 1.0])
def test_however_loud_it_was_recorded_it_is_heard_as_loud(peak: float) -> None:
    """A whisper into a phone and a shout into a headset come out at one level."""
    assert np.abs(levelled(tone(peak)).samples).max() == pytest.approx(PEAK, abs=6 * DITHER)


def test_no_run_of_digital_silence_is_left() -> None:
    """Exact zeros spoil the recogniser's mean, so there are none."""
    assert np.count_nonzero(levelled(Sound(np.zeros(RATE, np.float32))).samples) > RATE * 0.999


def test_the_same_sound_is_levelled_the_same_way() -> None:
    """What was heard once is heard so again."""
    assert np.array_equal(levelled(tone(0.2)).samples, levelled(tone(0.2)).samples)


def test_a_recording_that_begins_in_mid_word_is_given_silence_around_it() -> None:
    """The sound stays as it was, between two stretches of what is nearly silence."""
    sound = tone(0.5)
    found = surrounded(sound, 0.25).samples
    assert len(found) == len(sound.samples) + RATE // 2
    assert np.array_equal(found[RATE // 4 : -RATE // 4], sound.samples)
    assert 0 < np.abs(np.concatenate([found[: RATE // 4], found[-RATE // 4 :]])).max() < 6 * DITHER


def test_an_empty_sound_stays_empty() -> None:
    """Nothing is made of nothing."""
    assert len(levelled(Sound(np.zeros(0, np.float32))).samples) == 0


def test_samples_beyond_full_scale_are_held_at_it() -> None:
    """A sample over the top does not turn into one at the bottom."""
    assert np.frombuffer(as_pcm(Sound(np.array([2, -2, 0.5], np.float32))), "<i2").tolist() == [32767, -32768, 16384]
