"""What is behind a speaker: a recording of a room, pink noise, or other people talking."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile
import soxr

from assistant.ears.base import RATE, Sound
from tests.benchmarks.bar_room import babble, voices

LENGTH_S = 60.0  # of a room that is made here
SENTENCES = 24  # of the talk
SEED = 3


def room(name: str) -> Sound:
    """'pink', 'babble' (eight synthetic voices at once, saying other things), or a recording of any length."""
    if name == "pink":
        return pink()
    if name == "babble":
        return babble(voices(SENTENCES, SEED), LENGTH_S)
    samples, rate = soundfile.read(Path(name), dtype="float32", always_2d=True)
    return Sound(soxr.resample(samples.mean(axis=1), rate, RATE))


def pink() -> Sound:
    """Noise whose power falls by 3 dB an octave: white noise, its spectrum divided by the root of the frequency."""
    count = int(LENGTH_S * RATE)
    spectrum = np.fft.rfft(np.random.default_rng(SEED).standard_normal(count))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    samples = np.fft.irfft(spectrum, count)
    return Sound((samples / np.abs(samples).max() / 2).astype(np.float32))
