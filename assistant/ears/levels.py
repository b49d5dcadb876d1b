"""How a recording is brought to the level that a recogniser was trained for.

PocketSphinx takes each frame's energy as it comes: a quiet recording, or a run of digital silence, spoils the mean that
is taken off its features. Measured on 318 recordings of more than 50 people (commands right, clean): as they are 93.7%;
scaled alone 90.3%; scaled, with dither of 30 steps 96.5%. Dither of 15 to 60 steps does the same.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound

PEAK = 0.5  # the largest sample, of 1
DITHER = 30 / 32768  # standard deviation of the noise added, of 1: 30 steps of 16 bits
FAINTEST = 0.001  # a peak, of 1: 60 dB below full scale, less than a converter's own noise
WINDOW = RATE * 30 // 1000  # samples by which loudness is taken
SEED = 5  # the same sound is heard the same way each time


def is_silent(sound: Sound) -> bool:
    """Whether nothing in it is loud enough to be speech, a stuck converter's one level included."""
    return len(sound.samples) == 0 or float(np.ptp(sound.samples)) < 2 * FAINTEST


def window_powers(sound: Sound) -> NDArray[np.float64]:
    """The mean power of each whole WINDOW."""
    windows = sound.samples[: len(sound.samples) // WINDOW * WINDOW].reshape(-1, WINDOW)
    found: NDArray[np.float64] = np.square(windows, dtype=np.float64).mean(axis=1)
    return found


def levelled(sound: Sound) -> Sound:
    """The sound scaled to PEAK, with a little white noise; silence stays as quiet as the noise."""
    samples = sound.samples - sound.samples.mean() if len(sound.samples) else sound.samples
    peak = float(np.abs(samples).max(initial=0))
    scaled = samples * np.float32(PEAK / peak) if peak else samples
    noise = np.random.default_rng(SEED).standard_normal(len(samples), dtype=np.float32)
    return Sound(scaled + noise * np.float32(DITHER))


def surrounded(sound: Sound, seconds: float) -> Sound:
    """The sound with so much near-silence before and after: recognisers warm up, and begin and end on silence."""
    quiet = np.random.default_rng(SEED).standard_normal(2 * round(seconds * RATE), dtype=np.float32)
    before, after = np.split(quiet * np.float32(DITHER), 2)
    return Sound(np.concatenate([before, sound.samples, after]))


def as_pcm(sound: Sound) -> bytes:
    """The samples as 16-bit little-endian integers, as decoders take them."""
    steps: NDArray[np.int16] = np.clip(np.rint(sound.samples * 32767), -32768, 32767).astype("<i2")
    return steps.tobytes()
