"""Where the manager's PIN is kept: each venue's own, and no two tries of one moment slip by together."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta

import pytest

from assistant.memory import Memory
from assistant.pin import KeptPin, Work
from tests.assistant.remembering import START

PIN = KeptPin(b"salt", b"digest", Work(2, 1, 1))


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory with no PIN, on SQLite and on PostgreSQL."""
    memory = Memory(url)
    yield memory
    memory.close()


def test_a_pin_is_kept_and_taken_away(memory: Memory) -> None:
    """What is kept comes back the same."""
    assert memory.pins.kept() is None
    memory.pins.keep(PIN)
    assert memory.pins.kept() == PIN
    memory.pins.keep(None)
    assert memory.pins.kept() is None


def test_each_venue_has_its_own(memory: Memory, url: str) -> None:
    """The quay's PIN opens nothing on the hill."""
    memory.pins.keep(PIN)
    with closing(Memory(url, venue="hill")) as hill:
        assert hill.pins.kept() is None


def test_wrong_tries_of_one_moment_are_all_counted(memory: Memory, url: str) -> None:
    """Two servers and eight hands at once: as many tries are let through as would be one after the other."""
    with closing(Memory(url)) as other:
        after_one_another = [memory.pins.count("tablet", START) is None for _ in range(8)]
        memory.pins.keep(PIN)  # forgets them
        at_once: list[bool] = []
        together = threading.Barrier(8)

        def attempt(memory: Memory) -> None:
            together.wait()
            at_once.append(memory.pins.count("tablet", START) is None)

        threads = [threading.Thread(target=attempt, args=(each,)) for each in (memory, other) * 4]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert sorted(at_once) == sorted(after_one_another)
    assert False in at_once, "tried too often"


def test_the_right_one_forgives(memory: Memory) -> None:
    """Whoever had it wrong and then right starts anew."""
    while memory.pins.count("tablet", START) is None:
        pass
    memory.pins.forgive("tablet", START - timedelta(days=1))
    assert memory.pins.count("tablet", START) is None


def test_who_had_it_right_is_known_after_a_restart(memory: Memory, url: str) -> None:
    """Strangers that were locked out before it keep nobody out who had it, now as then; it is noted once."""
    for _ in range(2):
        memory.pins.forgive("office", START)
    while any(memory.pins.count(f"phone {n}", START) is None for n in range(20)):
        pass
    with closing(Memory(url)) as again:
        assert again.pins.count("a new tablet", START) is not None
        assert again.pins.count("office", START) is None
