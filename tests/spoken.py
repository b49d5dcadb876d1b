"""A shift spoken: each line of a script said by a voice, heard by the real recogniser, answered in its conversation."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from enum import Enum
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.cli import Setup
from assistant.ears.base import Sound
from assistant.ears.choose import POCKETSPHINX
from assistant.ears.errors import RecogniserFailed
from assistant.ears.hearing import Hearing
from assistant.ears.sound import open_sound
from assistant.ears.spotting import Spotting
from assistant.messages import Heard, Reply
from assistant.services import Services
from demo_audio_scripts.speak import Voice, speak
from tests.expected import is_sure
from tests.scripts import Line
from tests.talk import Talk

FRAME = 2_048  # samples; loudness is that of the loudest frame, as people hear a level
SEED = 7
HEARD_S = 60.0  # for an utterance, on a machine that is busy with other tests


class Outcome(Enum):
    """What became of a line."""

    RIGHT = "right"
    WRONG = "wrong"
    ASKED = "asked again"
    LOST = "not understood"


@dataclass(frozen=True)
class Said:
    """A line that was spoken, what was heard, and what came back."""

    line: Line
    heard: Heard
    reply: Reply
    outcome: Outcome


def loudness(samples: NDArray[np.float32]) -> float:
    """The mean power of the loudest frame."""
    frames = [samples[at : at + FRAME] for at in range(0, len(samples), FRAME)]
    return max(float(np.mean(np.square(frame))) for frame in frames)


def mean_power(samples: NDArray[np.float32]) -> float:
    """That of all of it, pauses too."""
    return float(np.mean(np.square(samples)))


@dataclass(frozen=True)
class Noise:
    """A recording of a room, and how far above it people speak."""

    sound: Sound
    snr_db: float
    level: Callable[[NDArray[np.float32]], float] = loudness  # of speech and of the room

    def over(self, speech: Sound, seed: int) -> Sound:
        """The speech with a stretch of the room behind it, scaled so that nothing is cut off."""
        room = np.resize(self.sound.samples, max(len(self.sound.samples), len(speech.samples) + 1))
        start = np.random.default_rng(seed).integers(len(room) - len(speech.samples))
        stretch = room[start : start + len(speech.samples)]
        level = np.sqrt(self.level(speech.samples) / self.level(stretch) / 10 ** (self.snr_db / 10))
        mixed = speech.samples + stretch * np.float32(level)
        return Sound((mixed / (2 * np.abs(mixed).max())).astype(np.float32))


def said_by(voice: Voice, text: str) -> Sound:
    """A text as a voice says it."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        speak(text, voice, file)
        return open_sound(file)


@contextmanager
def given_time() -> Iterator[None]:
    """What hears is given HEARD_S for an utterance: claims made within are not about how fast it is."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("assistant.cli.Hearing", partial(Hearing, limit_s=HEARD_S))
        patch.setattr("assistant.services.Spotting", partial(Spotting, limit_s=HEARD_S))
        yield


@contextmanager
def hearing_services(folder: Path) -> Iterator[Services]:
    """The assistant with the recogniser that a fresh install has, and a database in that folder."""
    setup = Setup(None, f"sqlite:///{folder / 'shift.db'}")
    with closing(setup.services_that_hear(POCKETSPHINX)) as services:
        yield services


def shift(services: Services, lines: Sequence[Line], voice: Voice, noise: Noise | None = None) -> Iterator[Said]:
    """Lines spoken and answered, each in the conversation as it would be had all before it come out right.

    A line that was not understood is typed after it was judged; after a wrong answer the whole talk is typed anew. What
    the shift changed is undone at its end.
    """
    talk, before = Talk(services), None
    for number, line in enumerate(lines):
        said = _said(talk, line, voice, noise, before, SEED + number)
        yield said
        if said.outcome in (Outcome.ASKED, Outcome.LOST):
            before = talk.ask(line.say)
        elif said.outcome is Outcome.RIGHT:
            before = said.reply
        else:
            talk.take_back()
            talk = Talk(services)
            before = [talk.ask(each.say) for each in lines[: number + 1]][-1]
    talk.take_back()


def _said(talk: Talk, line: Line, voice: Voice, noise: Noise | None, before: Reply | None, seed: int) -> Said:
    """One line spoken, heard, answered and judged; whoever speaks leaves it the moment to learn a new name."""
    talk.catch_up()
    sound = said_by(voice, line.say)
    heard = _heard(talk, noise.over(sound, seed) if noise else sound)
    reply = talk.ask(heard)
    return Said(line, heard, reply, _outcome(line, reply, before))


def _heard(talk: Talk, sound: Sound) -> Heard:
    """What was heard; nothing, where the recogniser broke down: that counts as not understood."""
    try:
        return talk.hear(sound)
    except RecogniserFailed as failed:
        return Heard("", 0.0, recogniser=failed.recogniser, audio_s=sound.seconds)


def _outcome(line: Line, reply: Reply, before: Reply | None) -> Outcome:
    if line.is_answered(reply, before):
        return Outcome.RIGHT
    if is_sure(reply):
        return Outcome.WRONG
    return Outcome.ASKED if reply.asks else Outcome.LOST
