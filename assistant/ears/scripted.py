"""The stand-in for a recogniser: it hears what it was told it would. It ships, so that nobody need patch a real one."""

from __future__ import annotations

import os
import time
from collections.abc import Iterable
from enum import Enum

from assistant.ears.base import Sound
from assistant.ears.errors import RecogniserFailed
from assistant.messages import Heard


class Mishap(Enum):
    """The ways in which a real recogniser lets its caller down."""

    HANGS = "never comes back"
    DIES = "takes its process with it"
    FAILS = "raises an error"


Line = str | Heard | Mishap


class Scripted:
    """Hears the lines of a script, one an utterance, whatever is said; after the last, nothing."""

    name = "scripted"

    def __init__(self, script: Iterable[Line] = ()) -> None:
        self._script = iter(tuple(script))

    def hear(self, sound: Sound) -> Heard:
        """The next line of the script. Raises RecogniserFailed where the script says so."""
        match next(self._script, ""):
            case Heard() as heard:
                return heard
            case Mishap() as mishap:
                return _let_down(mishap)
            case text:
                return Heard(text, 1.0 if text else 0.0, recogniser=self.name, audio_s=sound.seconds)

    def close(self) -> None:
        """Nothing to let go of."""


def _let_down(mishap: Mishap) -> Heard:
    if mishap is Mishap.DIES:
        os._exit(1)
    while mishap is Mishap.HANGS:
        time.sleep(60)
    raise RecogniserFailed(Scripted.name, "the script says so")
