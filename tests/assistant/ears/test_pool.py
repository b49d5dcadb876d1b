"""A recogniser that hangs, dies or fails costs one utterance, and nothing else."""

from __future__ import annotations

import multiprocessing
import os
import pickle
import queue
import signal
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np
import pytest

from assistant.ears.base import RATE, Recogniser, Sound
from assistant.ears.errors import NoModel, RecogniserBusy, RecogniserDied, RecogniserFailed, RecogniserTooSlow
from assistant.ears.pool import BEHIND, PATIENCE_S, START_S, WorkerPool
from assistant.ears.scripted import Line, Mishap, Scripted

SOUND = Sound(np.zeros(RATE, np.float32))
Open = Callable[..., WorkerPool]


@pytest.fixture
def opened() -> Iterator[Open]:
    """Opens pools of scripted recognisers, and closes them after the test."""
    pools: list[WorkerPool] = []

    def open_pool(*script: Line, size: int = 1, limit_s: float = 20.0, patience_s: float = PATIENCE_S) -> WorkerPool:
        pools.append(WorkerPool(partial(Scripted, script), size, limit_s, patience_s=patience_s))
        return pools[-1]

    yield open_pool
    for pool in pools:
        pool.close()


def no_model() -> Recogniser:
    """A recogniser whose model is not there."""
    raise NoModel(Path("/models/none"), "there is no such folder", "fetch one")


def broken() -> Recogniser:
    """A recogniser that breaks as it is made, in a way that is not ours."""
    raise ZeroDivisionError("by nothing")


def slow() -> Recogniser:
    """A recogniser whose model takes a minute to load."""
    time.sleep(60)
    return Scripted(())


def workers() -> set[int]:
    """The ids of this process's workers."""
    return {child.pid for child in multiprocessing.active_children() if child.pid}


def test_it_hears_what_the_recogniser_hears(opened: Open) -> None:
    """Sound goes to the other process, and the text comes back with its time and its hearer."""
    pool = opened("spec for a gimlet", "make it two")
    assert [pool.hear(SOUND).text for _ in range(2)] == ["spec for a gimlet", "make it two"]
    assert pool.name == "scripted"


def test_a_recogniser_that_hangs_costs_one_utterance(opened: Open) -> None:
    """It is stopped at the limit; the next utterance is heard by its successor."""
    pool = opened(Mishap.HANGS, limit_s=0.5)
    pool.wait_ready()
    with pytest.raises(RecogniserTooSlow) as slow:
        pool.hear(SOUND)
    assert slow.value.limit_s == 0.5
    pool.wait_ready()
    assert len(workers()) == 1


def test_a_recogniser_that_dies_costs_nothing(opened: Open) -> None:
    """Its death is noticed at once, not at the limit, and its successor hears the same sound."""
    pool = opened("before", Mishap.DIES)
    assert pool.hear(SOUND).text == "before"
    assert pool.hear(SOUND).text == "before"


def test_a_sound_that_no_recogniser_survives_costs_one_utterance(opened: Open) -> None:
    """It is tried twice and no more, and its speaker is told."""
    pool = opened(Mishap.DIES)
    with pytest.raises(RecogniserDied):
        pool.hear(SOUND)
    pool.wait_ready()
    assert len(workers()) == 1


def test_a_worker_that_is_killed_while_idle_costs_nothing(opened: Open) -> None:
    """As when the system runs out of memory and picks it."""
    pool = opened("first")
    pool.wait_ready()
    (worker,) = workers()
    os.kill(worker, signal.SIGKILL)
    assert pool.hear(SOUND).text == "first"


def test_a_recogniser_that_raises_is_kept(opened: Open) -> None:
    """An error is the caller's to know, and no reason to load a model again."""
    pool = opened(Mishap.FAILS, "after")
    with pytest.raises(RecogniserFailed, match="the script says so"):
        pool.hear(SOUND)
    assert pool.hear(SOUND).text == "after"


@pytest.mark.parametrize(("make", "error"), [(no_model, NoModel), (broken, RecogniserFailed)])
def test_a_recogniser_that_cannot_be_made_says_why(make: Callable[[], Recogniser], error: type[Exception]) -> None:
    """Each utterance gets the reason, without a wait for the limit."""
    pool = WorkerPool(make)
    try:
        for _ in range(2):
            with pytest.raises(error):
                pool.hear(SOUND)
    finally:
        pool.close()


def test_who_finds_all_workers_busy_is_told_within_a_second(opened: Open) -> None:
    """With the only worker hanging, the next speakers are told to try again long before it is stopped."""
    pool = opened(Mishap.HANGS, limit_s=5.0)
    pool.wait_ready()
    with ThreadPoolExecutor(3) as speakers:
        said = [speakers.submit(pool.hear, SOUND) for _ in range(3)]
        told = [type(one.exception()) for one in as_completed(said)]
    assert told == [RecogniserBusy, RecogniserBusy, RecogniserTooSlow]
    assert PATIENCE_S < 1


def first_soon_others_late(mark: Path) -> Recogniser:
    """A recogniser that is made at once the first time, and takes a minute to make from then on."""
    try:
        mark.touch(exist_ok=False)
    except FileExistsError:
        time.sleep(60)
    return Scripted(("a", "b", "c"))


def test_nobody_waits_for_a_worker_that_still_loads_its_model(tmp_path: Path) -> None:
    """While the second of two is being made, all are heard by the first."""
    pool = WorkerPool(partial(first_soon_others_late, tmp_path / "made"), size=2)
    try:
        pool.wait_ready()
        with ThreadPoolExecutor(1) as speaker:
            heard = speaker.submit(lambda: [pool.hear(SOUND).text for _ in range(3)])
            assert heard.result(timeout=20) == ["a", "b", "c"]
    finally:
        pool.close()


def test_several_are_heard_at_once(opened: Open) -> None:
    """Four speakers, two workers, and nobody gets another's text twice."""
    pool = opened("a", "b", "c", "d", size=2, patience_s=20.0)
    with ThreadPoolExecutor(4) as speakers:
        heard = list(speakers.map(lambda _: pool.hear(SOUND).text, range(4)))
    assert len(heard) == 4
    assert set(heard) <= {"a", "b", "c", "d"}


def test_closing_ends_every_worker_and_may_be_done_twice(opened: Open) -> None:
    """No process is left, even one that hangs; what comes after is refused."""
    pool = opened(Mishap.HANGS, size=2)
    pool.wait_ready()
    pool.close()
    pool.close()
    assert workers() == set()
    with pytest.raises(RecogniserFailed, match="closed"):
        pool.hear(SOUND)


def test_a_pipe_is_closed_once_when_two_give_a_worker_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """One who closes the pool and one who waits for it; what is closed again may by then be another file."""

    def slowly(pipe: Connection) -> None:
        os.close(pipe.fileno())
        time.sleep(0.5)

    pool = WorkerPool(slow)
    with ThreadPoolExecutor() as executor:
        waiting = executor.submit(pool.wait_ready)
        time.sleep(0.5)
        monkeypatch.setattr(Connection, "_close", slowly)
        pool.close()
        with pytest.raises(RecogniserFailed):
            waiting.result()


def test_a_pipe_is_not_closed_under_whoever_reads_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worker's first word comes just as the pool is closed: it is read to its end, or found cut off."""
    read, was_closed, begun = Connection.recv, queue.SimpleQueue[bool](), threading.Event()

    def slowly(pipe: Connection) -> object:
        begun.set()
        time.sleep(0.5)
        was_closed.put(pipe.closed)
        return read(pipe)

    monkeypatch.setattr(Connection, "recv", slowly)
    pool = WorkerPool(partial(Scripted, ()))
    assert begun.wait(START_S)
    pool.close()
    assert was_closed.get(timeout=START_S) is False


def test_the_errors_travel_whole() -> None:
    """What is raised in a worker is the same error here, with its fields."""
    for error in (RecogniserTooSlow("vosk", 2.0), RecogniserBusy("vosk", 2.0), RecogniserFailed("vosk", "broke")):
        copy = pickle.loads(pickle.dumps(error))
        assert type(copy) is type(error)
        assert vars(copy) == vars(error)


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="no niceness on this system")
def test_what_is_heard_gives_way_to_what_is_typed(opened: Open) -> None:
    """A worker is nicer than the server: on a busy machine typed questions do not wait for it."""
    pool = opened("a")
    pool.wait_ready()
    (worker,) = pool._all
    nice = os.getpriority(os.PRIO_PROCESS, worker._process.pid or 0)
    assert nice == min(os.getpriority(os.PRIO_PROCESS, 0) + BEHIND, 19)
