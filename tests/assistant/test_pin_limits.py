"""How fast a PIN may be tried."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.pin_limits import FOR_GOOD, WrongTry, wait_until

NOON = datetime(2024, 3, 4, 12, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def tries(count: int, source: str = "phone", every: timedelta = timedelta(seconds=1)) -> list[WrongTry]:
    """So many wrong ones, the last of them at noon."""
    return [WrongTry(source, NOON - every * back) for back in reversed(range(count))]


def test_four_wrong_ones_are_a_slip_of_the_finger() -> None:
    """Whoever mistypes may go on."""
    assert wait_until(tries(4), "phone", NOON) is None


def test_after_five_a_device_waits_a_quarter_of_an_hour() -> None:
    """From the first of the five; another device need not."""
    wrong = tries(5, every=MINUTE)
    assert wait_until(wrong, "phone", NOON) == wrong[0].at + 15 * MINUTE
    assert wait_until(wrong, "tablet", NOON) is None
    assert wait_until(wrong, "phone", wrong[0].at + 15 * MINUTE) is None


def test_after_ten_from_anywhere_every_stranger_waits() -> None:
    """One who has many devices, or many addresses, gets no more tries for them."""
    wrong = sorted((one for n in range(5) for one in tries(2, f"phone {n}")), key=lambda one: one.at)
    until = wait_until(wrong, "a sixth", NOON)
    assert until == wrong[0].at + timedelta(hours=1)


def test_after_fifty_it_is_closed_to_strangers_for_good() -> None:
    """However slowly they were tried."""
    assert wait_until(tries(50, every=timedelta(days=1)), "tablet", NOON) == FOR_GOOD


def test_a_device_that_had_the_pin_before_does_not_wait_for_strangers() -> None:
    """Whoever tries on a phone of their own does not keep the manager out."""
    assert wait_until(tries(50), "office", NOON, known={"office"}) is None


@pytest.mark.parametrize(("wrong", "waits"), [(4, None), (5, timedelta(minutes=15)), (10, timedelta(hours=1))])
def test_nor_is_it_a_way_round_the_limits(wrong: int, waits: timedelta | None) -> None:
    """Whoever takes the manager's tablet has the tries of a stranger there, and none of a stranger's besides."""
    tried = tries(wrong, "office")
    until = None if waits is None else max(tried[-5].at + timedelta(minutes=15), tried[0].at + waits)
    assert wait_until(tried, "office", NOON, known={"office"}) == until
    assert wait_until(tries(50, "office"), "office", NOON, known={"office"}) == FOR_GOOD
    assert wait_until(tries(50, "office"), "tablet", NOON, known={"office", "tablet"}) == FOR_GOOD


def test_a_clock_that_is_set_back_opens_nothing() -> None:
    """What was tried in the future counts as tried now."""
    wrong = tries(5)
    assert wait_until(wrong, "phone", NOON - timedelta(days=3)) == NOON - timedelta(days=3) + 15 * MINUTE


@given(st.lists(st.integers(1, 3600), min_size=200, max_size=200), st.integers(1, 40), st.sets(st.integers(0, 40)))
def test_nobody_tries_faster_than_that(pauses: list[int], devices: int, known: set[int]) -> None:
    """However the tries are spread over time and devices, and whichever of those had the PIN before.

    Five from a device in fifteen minutes, twenty in an hour, a hundred in all.
    """
    now, wrong, had_it = NOON, list[WrongTry](), {str(device) for device in known}
    for turn, pause in enumerate(pauses):
        now += timedelta(seconds=pause)
        if wait_until(wrong, str(turn % devices), now, had_it) is None:
            wrong.append(WrongTry(str(turn % devices), now))
    assert len(wrong) <= 100
    for end in wrong:
        hour = [one for one in wrong if end.at - 60 * MINUTE < one.at <= end.at]
        own = [one for one in hour if one.source == end.source and one.at > end.at - 15 * MINUTE]
        assert len(hour) <= 20
        assert len(own) <= 5
