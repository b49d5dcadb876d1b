"""The phone reader's network in NumPy against the package that it comes from, whose own engine runs the same weights.

Source: hama 1.7 (Apache License 2.0), a general-purpose library: `hama.ASRModel` on the weights in its wheel.
"""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE
from assistant.ears.phone_network import PhoneNetwork
from demo_audio_scripts.speak import VOICES
from tests.benchmarks.teaching.package_file import shipped
from tests.spoken import said_by

hama = pytest.importorskip("hama", reason="the package has no library for Windows")
VOICE = VOICES[0]


def by_the_package(samples: np.ndarray) -> np.ndarray:
    """What its engine tells, as probabilities."""
    told, moments = hama.ASRModel().session.run(
        ["log_probs", "out_lengths"],
        {"waveform": samples[np.newaxis], "waveform_lengths": np.array([len(samples)], np.int64)},
    )
    return np.exp(told[0, : int(moments[0])])


@pytest.mark.parametrize("seconds", [0.05, 0.5, 1.003, 3.0])
def test_noise_is_read_alike(seconds: float) -> None:
    """Every probability of every symbol at every moment, to two in a thousand; sounds of any length."""
    noise = np.random.default_rng(4).standard_normal(round(seconds * RATE)).astype(np.float32) / 10
    assert np.abs(PhoneNetwork(shipped()).likely(noise) - by_the_package(noise)).max() < 2e-3


@pytest.mark.audio
def test_speech_is_read_alike() -> None:
    """The same of a sentence, and what is likeliest at each moment is the same symbol."""
    if not VOICE.is_here:
        pytest.skip(f"{VOICE.program} is not installed")
    speech = said_by(VOICE, "how much lime juice in a daiquiri").samples
    ours, theirs = PhoneNetwork(shipped()).likely(speech), by_the_package(speech)
    assert np.abs(ours - theirs).max() < 5e-3
    assert (ours.argmax(axis=1) == theirs.argmax(axis=1)).mean() > 0.99
