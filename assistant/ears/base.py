"""The contract of a recogniser: sound in, heard text out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.messages import Heard

RATE = 16_000  # samples per second of every Sound


@dataclass(frozen=True, eq=False)
class Sound:
    """One utterance: mono samples in -1..1 at RATE."""

    samples: NDArray[np.float32]
    in_quiz: bool = False  # said while a question of the quiz is open: then its answers are listened for
    is_unfinished: bool = False  # more is being said: what it may be so far is wanted soon, and nobody acts on it

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return len(self.samples) / RATE


class Recogniser(Protocol):
    """Turns sound into text; holds a grammar from when it is made until it is closed."""

    @property
    def name(self) -> str:
        """Which recogniser it is."""

    def hear(self, sound: Sound) -> Heard:
        """The best reading of one utterance; empty text when nothing in the grammar was heard.

        Raises RecogniserFailed when the decoder itself fails or takes too long.
        """

    def close(self) -> None:
        """Let go of models and processes; safe to call twice."""
