"""How often something may be done: a burst, then a pace, each one for themselves."""

from __future__ import annotations

import pytest

from assistant.web.limits import MOST_KEYS, Limit, Pace

PACE = Pace(burst=3, each_s=2)


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.at = 1000.0

    def __call__(self) -> float:
        """The time, in seconds."""
        return self.at


@pytest.fixture
def clock() -> Clock:
    """A clock."""
    return Clock()


@pytest.fixture
def limit(clock: Clock) -> Limit:
    """Three at once, then one in two seconds."""
    return Limit(PACE, clock)


def test_a_burst_is_let_through_and_the_next_told_how_long_to_wait(limit: Limit) -> None:
    """Three at once may go; the fourth waits two seconds."""
    assert [limit.wait_s("phone") for _ in range(4)] == [0, 0, 0, 2]


def test_who_waits_as_told_may_go_once(limit: Limit, clock: Clock) -> None:
    """Trying again too early costs nothing, and the time told is the time it takes."""
    for _ in range(5):
        limit.wait_s("phone")
    clock.at += 1.5
    assert limit.wait_s("phone") == 0.5
    clock.at += 0.5
    assert [limit.wait_s("phone") for _ in range(2)] == [0, 2]


def test_what_is_given_back_does_not_count(limit: Limit) -> None:
    """Right tries, each given back, never use up the burst."""
    for _ in range(10):
        assert limit.wait_s("phone") == 0
        limit.give_back("phone")
    assert [limit.wait_s("phone") for _ in range(4)] == [0, 0, 0, 2]
    limit.give_back("nobody")


def test_one_who_is_too_fast_keeps_nobody_else_waiting(limit: Limit) -> None:
    """Each device has a burst of its own."""
    for _ in range(9):
        limit.wait_s("phone")
    assert limit.wait_s("tablet") == 0


def test_after_a_pause_the_whole_burst_is_there_again_and_no_more(limit: Limit, clock: Clock) -> None:
    """A night's pause saves up no more than one burst."""
    limit.wait_s("phone")
    clock.at += 36_000
    assert [limit.wait_s("phone") for _ in range(4)] == [0, 0, 0, 2]


def test_a_million_strangers_cost_no_memory(limit: Limit) -> None:
    """However many names are tried, a bounded number is kept."""
    for number in range(3 * MOST_KEYS):
        limit.wait_s(f"stranger {number}")
    assert len(limit._free_at) == MOST_KEYS
