"""How loud a stream is, frame by frame, and what in it is the speaker and what is the room."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound

FRAME = RATE // 50  # samples
FRAME_S = FRAME / RATE
EMPHASIS = 0.95  # each sample less so much of the last: the hum of a room counts little, a voice's consonants more
FAINTEST_DB = -75.0  # of full scale
MOST_BELOW_DB = 20.0  # in a quiet room, what lies so far below the speaker is a pause
LEAST_BELOW_DB = 6.0  # in a loud one, this little does

Levels = NDArray[np.float32]


def levels(sound: Sound) -> Levels:
    """The level of each whole frame, in dB of full scale."""
    whole = sound.samples[: len(sound.samples) // FRAME * FRAME]
    if not len(whole):
        return np.zeros(0, np.float32)
    sharp = np.diff(whole, prepend=whole[:1]) + (1 - EMPHASIS) * whole
    power = np.square(sharp).reshape(-1, FRAME).mean(axis=1)
    found: Levels = np.maximum(10 * np.log10(power + 1e-12), FAINTEST_DB).astype(np.float32)
    return found


def room_level(heard: Levels) -> float:
    """How loud it is where nobody speaks: what a fifth of the frames do not pass."""
    return float(np.percentile(heard, 20)) if len(heard) else FAINTEST_DB


def speaker_level(heard: Levels) -> float:
    """How loud somebody speaks: what a tenth of the frames pass."""
    return float(np.percentile(heard, 90)) if len(heard) else FAINTEST_DB


def beginning(room: Levels, speaker_db: float) -> float:
    """The level that shows that the speaker has begun: above nearly all that the room does by itself, if they are."""
    clatter = float(np.percentile(room, 95)) if len(room) else FAINTEST_DB
    return max(min(clatter + 3, speaker_db - 6), line_between(room_level(room), speaker_db))


def line_between(room_db: float, speaker_db: float) -> float:
    """The level above which the speaker speaks: halfway up from the room, but near neither."""
    return min(max((room_db + speaker_db) / 2, speaker_db - MOST_BELOW_DB), speaker_db - LEAST_BELOW_DB)
