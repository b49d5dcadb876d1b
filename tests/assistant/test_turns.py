"""Changes that are asked for at the same time are made together, and none of them is lost or made twice."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from typing import cast

import pytest
from sqlalchemy import Connection

from assistant.errors import DiskFull, MemoryFailed, NameTaken
from assistant.turns import Turns

LONG_S = 60.0


class Paper:
    """Stands in for the database: what was written is there once the transaction has ended well."""

    def __init__(self) -> None:
        self.confirmed: list[list[str]] = []  # by transaction
        self.is_full = False

    @contextmanager
    def transaction(self) -> Iterator[Connection]:
        """Gives the page that is written on."""
        page: list[str] = []
        yield cast(Connection, page)
        if self.is_full:
            raise DiskFull("no room")
        self.confirmed.append(page)


def writes(line: str) -> Callable[[Connection], str]:
    """A change that writes a line and returns it."""

    def work(page: Connection) -> str:
        cast(list[str], page).append(line)
        return line

    return work


def is_refused(page: Connection) -> str:
    """A change that finds its name taken, after it has written something."""
    writes("half")(page)
    raise NameTaken("drink", "Gimlet")


@pytest.fixture
def paper() -> Paper:
    """Nothing written yet."""
    return Paper()


@contextmanager
def held_up(turns: Turns, works: list[Callable[[Connection], str]]) -> Iterator[list[Future[str]]]:
    """Changes that all wait for the turn of one that takes its time; it ends when they do."""
    begun, go_on = threading.Event(), threading.Event()

    def slow(page: Connection) -> str:
        begun.set()
        assert go_on.wait(LONG_S)
        return writes("first")(page)

    with ThreadPoolExecutor(len(works) + 1) as people:
        first = people.submit(turns.make, slow)
        assert begun.wait(LONG_S)
        others = [people.submit(turns.make, work) for work in works]
        while len(turns._waiting) < len(works):
            time.sleep(0.01)
        yield others
        go_on.set()
    assert first.exception() is not None or first.result() == "first"


def test_one_change_is_one_transaction(paper: Paper) -> None:
    """Where nobody waits, nothing is put off."""
    assert Turns(paper.transaction).make(writes("gin")) == "gin"
    assert paper.confirmed == [["gin"]]


def test_what_waits_is_made_together(paper: Paper) -> None:
    """Ten who wait for one are confirmed in one transaction, and each is told of its own change."""
    names = [f"bottle {number}" for number in range(10)]
    with held_up(Turns(paper.transaction), [writes(name) for name in names]) as others:
        assert paper.confirmed == []
    assert [other.result() for other in others] == names
    first, rest = paper.confirmed
    assert (first, sorted(rest)) == (["first"], names)


def test_one_that_is_refused_takes_no_other_along(paper: Paper) -> None:
    """What cannot be made is told to whoever asked for it, and of it nothing is left; the others are made, once."""
    with held_up(Turns(paper.transaction), [writes("mint"), is_refused, writes("gin")]) as (mint, refused, gin):
        pass
    assert (mint.result(), gin.result()) == ("mint", "gin")
    assert isinstance(refused.exception(), NameTaken)
    assert sorted(paper.confirmed) == [["first"], ["gin"], ["mint"]]


def test_what_is_not_confirmed_is_told_to_all_and_not_tried_again(paper: Paper) -> None:
    """A disk that is full at the end leaves nobody in the belief that theirs is kept, and nothing is written twice."""
    paper.is_full = True
    with held_up(Turns(paper.transaction), [writes("mint"), writes("gin")]) as others:
        pass
    assert [type(other.exception()) for other in others] == [DiskFull, DiskFull]
    assert paper.confirmed == []


def test_what_cannot_even_begin_is_told_to_all_at_once(paper: Paper) -> None:
    """Where the database is held by somebody else, those who waited together do not wait for it one by one."""
    begun = []

    @contextmanager
    def locked_from_the_second_on() -> Iterator[Connection]:
        begun.append(1)
        if len(begun) > 1:
            raise MemoryFailed("database is locked")
        with paper.transaction() as page:
            yield page

    with held_up(Turns(locked_from_the_second_on), [writes("mint"), writes("gin")]) as others:
        pass
    assert [type(other.exception()) for other in others] == [MemoryFailed, MemoryFailed]
    assert (paper.confirmed, len(begun)) == ([["first"]], 2)
