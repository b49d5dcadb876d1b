"""Finds the house's wake phrase, in a worker process that is begun when somebody first goes hands-free."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from assistant.ears.base import Recogniser, Sound
from assistant.ears.pool import LIMIT_S, WorkerPool
from assistant.messages import Heard


@dataclass(frozen=True)
class Spotted(Heard):
    """The phrase, and where in the sound it stands; empty text when it is not there."""

    begins_s: float = 0.0
    ends_s: float = 0.0


def spotter(phrase: str) -> Recogniser:
    """What finds a phrase that English can say. Raises WordNotSayable."""
    from assistant.ears.wake import Spotter  # its model and all: only in the worker

    return Spotter(phrase)


class Spotting:
    """Finds the phrase that the house has now; safe to use from several threads."""

    name = "wake phrase"

    def __init__(
        self, phrase: Callable[[], str], make: Callable[[str], Recogniser] = spotter, limit_s: float = LIMIT_S
    ) -> None:
        """Do nothing yet.

        Args:
            phrase: the phrase as it stands; cheap to call.
            make: makes the recogniser of a phrase, inside the worker.
            limit_s: the most that one look for it may take.
        """
        self._phrase, self._make, self._limit_s = phrase, make, limit_s
        self._lock = threading.Lock()
        self._pool: WorkerPool | None = None
        self._made_of = ""

    def hear(self, sound: Sound) -> Heard:
        """What is found in a sound. Raises RecogniserFailed or WordNotSayable."""
        return self._ready().hear(sound)

    def close(self) -> None:
        """End the worker; safe to call twice."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.close()

    def _ready(self) -> WorkerPool:
        phrase = self._phrase()
        with self._lock:
            leaving = self._pool if phrase != self._made_of else None
            if self._pool is None or leaving is not None:
                self._pool, self._made_of = WorkerPool(partial(self._make, phrase), limit_s=self._limit_s), phrase
            pool = self._pool
        if leaving is not None:
            leaving.close()
        return pool
