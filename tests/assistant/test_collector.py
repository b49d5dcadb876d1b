"""Python's collector of garbage rests while much is made, and is at work again after."""

from __future__ import annotations

import gc

import pytest

from assistant import collector


def test_the_collector_rests_within_and_works_after() -> None:
    """A server that runs for weeks must not stay without it."""
    with collector.at_rest():
        assert not gc.isenabled()
    assert gc.isenabled()


def test_it_works_again_when_the_making_fails() -> None:
    """A book with a fault does not leave it off."""
    with pytest.raises(ValueError, match="a fault"), collector.at_rest():
        raise ValueError("a fault")
    assert gc.isenabled()


def test_one_that_was_off_stays_off() -> None:
    """What is made within something larger does not switch it on too soon."""
    with collector.at_rest():
        with collector.at_rest():
            pass
        assert not gc.isenabled()
