"""The ear of the server: a recogniser of everything that can be said tonight, made ready in the background.

A new drink in the book, or one out of it, changes what can be said: a new recogniser is then made beside the old one,
which goes on hearing until the new one can, and ends when it has heard out those who were speaking.
"""

from __future__ import annotations

import logging
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from assistant.ears.base import Sound
from assistant.ears.errors import EarsError, RecogniserBusy, RecogniserFailed
from assistant.ears.pool import LIMIT_S, START_S, Make, WorkerPool
from assistant.messages import Heard

log = logging.getLogger(__name__)

SPEAKERS = 3  # for each worker: one who is heard and two who wait; more are told at once to try again


class Hearing:
    """A recogniser that follows the book; safe to use from several threads."""

    def __init__(
        self,
        plan: Callable[[], Make],
        edition: Callable[[], object],
        name: str = "recogniser",
        size: int = 1,
        limit_s: float = LIMIT_S,
    ) -> None:
        """Begin to make the recogniser ready, and come back at once.

        Args:
            plan: how to make a recogniser of all that can be said now; called in the background.
            edition: cheap to call; another value than before means that what can be said has changed.
            name: what the recogniser is called until it is ready and tells its own.
            size: how many utterances can be heard at once.
            limit_s: the most that one utterance may take.
        """
        self._plan, self._edition, self._name = plan, edition, name
        self._size, self._limit_s = size, limit_s
        self._lock = threading.Lock()
        self._given_back = threading.Condition(self._lock)
        self._listening: Counter[WorkerPool] = Counter()  # utterances that each pool is hearing
        self._room = threading.BoundedSemaphore(size * SPEAKERS)
        self._pool: WorkerPool | None = None
        self._coming: WorkerPool | None = None  # being made ready
        self._trouble: EarsError | None = None
        self._first_tried = threading.Event()
        self._making: threading.Thread | None = None
        self._made_of: object = None
        self._closed = False
        self.refresh()

    @property
    def name(self) -> str:
        """The recogniser's name, once it is ready."""
        return self._pool.name if self._pool else self._name

    @property
    def is_ready(self) -> bool:
        """Whether an utterance would be heard at once."""
        return self._pool is not None

    def wait_ready(self, timeout_s: float = START_S) -> None:
        """Wait until it can hear. Raises what kept the recogniser from being made, or RecogniserBusy."""
        if not self._first_tried.wait(timeout_s):
            raise RecogniserBusy(self._name, timeout_s)
        if self._pool is None and self._trouble is not None:
            raise self._trouble

    def catch_up(self, timeout_s: float = START_S) -> None:
        """Wait until all that can be said now can be heard, or until it turns out that it cannot."""
        self.refresh()
        making = self._making
        if making is not None:
            making.join(timeout_s)

    def hear(self, sound: Sound) -> Heard:
        """What was said.

        Raises RecogniserBusy, soon, when too many speak at once; RecogniserFailed, or what kept the recogniser from
        being made.
        """
        self.refresh()
        if not self._room.acquire(blocking=False):
            raise RecogniserBusy(self.name, 0)
        try:
            self.wait_ready()
            with self._lent() as pool:
                return pool.hear(sound)
        finally:
            self._room.release()

    @contextmanager
    def _lent(self) -> Iterator[WorkerPool]:
        """The pool in place, which will not be ended before it is given back."""
        with self._lock:
            pool = self._pool
            if pool is None:
                raise RecogniserFailed(self._name, "it is closed")
            self._listening[pool] += 1
        try:
            yield pool
        finally:
            with self._given_back:
                self._listening -= Counter([pool])  # drops what comes to nothing
                self._given_back.notify_all()

    def refresh(self) -> None:
        """Begin to make a recogniser anew if what can be said has changed; does not wait for it."""
        edition = self._edition()
        with self._lock:
            if self._closed or self._making is not None or edition == self._made_of:
                return
            self._making = threading.Thread(target=self._make, args=(edition,), name="ear-maker", daemon=True)
            self._making.start()

    def close(self) -> None:
        """End the worker processes; safe to call twice."""
        with self._lock:
            self._closed = True
            leaving = [pool for pool in (self._pool, self._coming) if pool is not None]
            self._pool = None
            self._given_back.notify_all()
        for pool in leaving:
            pool.close()

    def _make(self, edition: object) -> None:
        new: WorkerPool | None = None
        trouble: EarsError | None = None
        try:
            new = self._coming = WorkerPool(self._plan(), self._size, self._limit_s)
            if self._closed:
                new.close()
            new.wait_ready()
        except EarsError as error:
            log.warning("no recogniser could be made: %s", error)
            trouble = error
        except Exception as error:  # no process to be had, say: speakers are told, and not left to wait
            log.exception("no recogniser could be made")
            trouble = RecogniserFailed(self._name, f"it cannot be made: {error}")
        leaving = self._put_in_place(new, trouble, edition)
        self._first_tried.set()
        if leaving is not None:
            self._end(leaving)
        with self._lock:
            self._making = self._coming = None

    def _put_in_place(self, new: WorkerPool | None, trouble: EarsError | None, edition: object) -> WorkerPool | None:
        """Swap the new recogniser for the old, unless it could not be made or all is closed; the one to be ended."""
        with self._lock:
            self._trouble = trouble
            self._made_of = None if isinstance(trouble, RecogniserFailed) else edition  # what broke down is tried anew
            useful = trouble is None and not self._closed
            leaving = self._pool if useful else new
            if useful:
                self._pool = new
        return leaving

    def _end(self, leaving: WorkerPool) -> None:
        """Close a pool once all that it is hearing is heard, or the time for that is over."""
        with self._given_back:
            self._given_back.wait_for(lambda: self._closed or not self._listening[leaving], self._limit_s)
        leaving.close()
