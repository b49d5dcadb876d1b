"""Recognisers in processes of their own, so that one which hangs or dies costs an utterance and nothing more.

Each worker makes its recogniser, says that it is ready, and hears one utterance at a time. One that overruns the limit
is killed; one that has died is noticed at once; either is replaced before its caller is told. A worker that died may
have been killed for its memory, so the utterance is tried once more; one that hung is not, since its speaker has waited
enough. Processes are spawned, not forked: a fork would copy locks that threads of the server hold.
"""

from __future__ import annotations

import contextlib
import logging
import multiprocessing
import os
import queue
import signal
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from assistant.ears.base import Recogniser, Sound
from assistant.ears.errors import EarsError, RecogniserBusy, RecogniserDied, RecogniserFailed, RecogniserTooSlow
from assistant.messages import Heard

log = logging.getLogger(__name__)

LIMIT_S = 5.0  # for one utterance, from its end to its text
PATIENCE_S = 0.5  # to wait for a free worker; a speaker is better off saying it again than standing there
START_S = 60.0  # to load models; the slowest, on a small machine, take a few seconds
BEHIND = 10  # niceness: what is typed, and being told to try again, do not wait for what is being heard
CLOSE_S = 1.0  # to end in good order

Make = Callable[[], Recogniser]  # pickled to the worker: a class, a partial, a frozen value that can be called
_SPAWN = multiprocessing.get_context("spawn")


@dataclass(frozen=True)
class _Ready:
    """A worker's first word: it can hear now."""

    name: str


class WorkerPool:
    """A recogniser that hears in worker processes; safe to use from several threads."""

    def __init__(
        self,
        make: Make,
        size: int = 1,
        limit_s: float = LIMIT_S,
        start_s: float = START_S,
        patience_s: float = PATIENCE_S,
    ) -> None:
        """Start the workers, without waiting for them.

        Args:
            make: makes the recogniser inside each worker.
            size: workers, and so the most utterances heard at once.
            limit_s: the most that one utterance may take.
            start_s: the most that a worker may take to be ready.
            patience_s: the most that an utterance waits for a free worker.
        """
        self._make, self._limit_s, self._start_s, self._patience_s = make, limit_s, start_s, patience_s
        self._free: queue.SimpleQueue[_Worker] = queue.SimpleQueue()
        self._all: set[_Worker] = set()
        self._lock = threading.Lock()
        self._began = threading.Event()  # a worker could hear, once
        self._closed = False
        self.name = "recogniser"
        for _ in range(size):
            self._hire()

    def wait_ready(self, timeout_s: float = START_S) -> None:
        """Wait until a worker can hear. Raises what its recogniser raised when it was made, or RecogniserBusy."""
        with self._worker(timeout_s):
            pass

    def hear(self, sound: Sound) -> Heard:
        """What one worker makes of the sound.

        Raises RecogniserFailed when two workers die of it, one takes too long, or none is free; and what the recogniser
        raised when it was made, if it could not be made.
        """
        patience_s = self._patience_s if self._began.is_set() else self._start_s
        try:
            return self._heard(sound, patience_s)
        except RecogniserDied:
            return self._heard(sound, max(patience_s, self._limit_s))  # its successor is being made

    def _heard(self, sound: Sound, patience_s: float) -> Heard:
        with self._worker(patience_s) as worker:
            return worker.hear(sound, self._limit_s)

    def close(self) -> None:
        """End the workers; safe to call twice. What is being heard ends in RecogniserFailed."""
        with self._lock:
            self._closed = True
            leaving, self._all = self._all, set()
        for worker in leaving:
            worker.dismiss()

    @contextlib.contextmanager
    def _worker(self, timeout_s: float) -> Iterator[_Worker]:
        """A worker that nobody else has; it goes back among the free, or another in its place."""
        if self._closed:
            raise RecogniserFailed(self.name, "it is closed")
        try:
            worker = self._free.get(timeout=timeout_s)
        except queue.Empty:
            raise RecogniserBusy(self.name, timeout_s) from None
        try:
            worker.raise_trouble()
            yield worker
        finally:
            self.name = worker.name
            if worker.is_fit:
                self._free.put(worker)
            else:
                self._replace(worker)

    def _replace(self, worker: _Worker) -> None:
        with self._lock:
            self._all.discard(worker)
        worker.kill()
        if not self._closed:
            log.warning("a worker of %s is replaced", worker.name)
            self._hire()

    def _hire(self) -> None:
        worker = _Worker(self._make)
        with self._lock:
            self._all.add(worker)
            closed = self._closed
        if closed:
            worker.dismiss()
        else:
            threading.Thread(target=self._welcome, args=(worker,), name="ear-welcome", daemon=True).start()

    def _welcome(self, worker: _Worker) -> None:
        """Put it among the free once it can hear: nobody waits for one that loads its model while another is free.

        One that could not be made goes there too, and whoever takes it is told why.
        """
        if worker.is_ready_within(self._start_s):
            self._began.set()
        self._free.put(worker)


class _Worker:
    """One process and the pipe to it; used by one thread at a time."""

    def __init__(self, make: Make) -> None:
        self.name = "recogniser"
        self.is_fit = True  # to be asked again
        self._ready = False
        self._trouble: EarsError | None = None  # what kept it from being made
        self._talking = threading.Lock()  # whoever sends, waits for an answer or closes the pipe
        self._pipe, theirs = _SPAWN.Pipe()
        self._process: BaseProcess = _SPAWN.Process(target=_work, args=(theirs, make), name="ear", daemon=True)
        self._process.start()
        theirs.close()

    def is_ready_within(self, timeout_s: float) -> bool:
        """Wait for its first word: whether it can hear. Its trouble is raised to whoever takes it."""
        try:
            with self._talking:
                said = self._answer(timeout_s)
        except EarsError as error:
            self._trouble = error
            return False
        if isinstance(said, _Ready):
            self.name, self._ready = said.name, True
            return True
        self.is_fit = False
        self._trouble = said if isinstance(said, EarsError) else RecogniserFailed(self.name, str(said))
        return False

    def raise_trouble(self) -> None:
        """Raises what kept it from being made, if anything did."""
        if self._trouble is not None:
            raise self._trouble

    def hear(self, sound: Sound, limit_s: float) -> Heard:
        """Its answer. Raises RecogniserFailed; an error of the recogniser's own leaves it fit for the next sound."""
        with self._talking:
            try:
                self._pipe.send(sound)
            except OSError as error:
                raise self._lost() from error
            said = self._answer(limit_s)
        if isinstance(said, Heard):
            return said
        raise said if isinstance(said, EarsError) else RecogniserFailed(self.name, str(said))

    def _answer(self, timeout_s: float) -> object:
        try:
            if not self._pipe.poll(timeout_s):
                self.is_fit = False
                raise RecogniserTooSlow(self.name, timeout_s)
            return self._pipe.recv()
        except (EOFError, OSError) as error:
            raise self._lost() from error

    def _lost(self) -> RecogniserFailed:
        self.is_fit = False
        return RecogniserDied(self.name)

    def dismiss(self) -> None:
        """End it in good order, or else by force: one that is still being made, or that hears somebody."""
        if self._ready and self._talking.acquire(blocking=False):
            try:
                self._pipe.close()
            finally:
                self._talking.release()
            self._process.join(CLOSE_S)
        self.kill()

    def kill(self) -> None:
        """End it by force; safe to call twice."""
        self.is_fit = False
        self._process.kill()
        self._process.join()
        with self._talking:  # whoever waits for an answer is told at once that there will be none
            self._pipe.close()


def _work(pipe: Connection, make: Make) -> None:
    """The life of a worker: make the recogniser, then hear until the pipe is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's to act on; it closes the pipe
    if hasattr(os, "nice"):
        os.nice(BEHIND)
    with contextlib.suppress(EOFError, OSError), contextlib.closing(pipe):
        try:
            recogniser = make()
        except Exception as error:
            pipe.send(_sendable(error))
            return
        pipe.send(_Ready(recogniser.name))
        with contextlib.closing(recogniser):
            while True:
                pipe.send(_heard(recogniser, pipe.recv()))


def _heard(recogniser: Recogniser, sound: Sound) -> Heard | EarsError:
    started = time.perf_counter()
    try:
        return recogniser.hear(sound)
    except Exception as error:
        log.exception("hearing failed after %.2f s", time.perf_counter() - started)
        return _sendable(error, recogniser.name)


def _sendable(error: Exception, name: str = "recogniser") -> EarsError:
    """Our own errors travel as they are; others may not survive the pipe, so they go as what they said."""
    return error if isinstance(error, EarsError) else RecogniserFailed(name, f"{type(error).__name__}: {error}")
