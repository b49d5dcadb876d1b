"""Changes take turns: one transaction at a time, and all that wait for the turn go into the next one together.

The disk takes longer to confirm a transaction than it takes to write one, and confirms thirty changes as fast as one.
SQLite, left to itself, would have those who wait look again in ever longer pauses.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection

T = TypeVar("T")
Transaction = Callable[[], AbstractContextManager[Connection]]  # confirmed at its end, taken back if it raises
TURN_S = 5.0  # to wait for the turn; no longer, since what holds the others up may last


@dataclass(frozen=True, eq=False)
class _Change(Generic[T]):
    """What is to be done, and what came of it."""

    work: Callable[[Connection], T]
    outcome: Future[T] = field(default_factory=Future)


class Turns:
    """Makes changes, each wholly or not at all. Safe to use from several threads."""

    def __init__(self, transaction: Transaction) -> None:
        self._transaction = transaction
        self._turn = threading.Lock()
        self._waiting: list[_Change[Any]] = []
        self._lock = threading.Lock()  # around what waits

    def make(self, work: Callable[[Connection], T]) -> T:
        """What `work` returns, once what it did is confirmed. Raises what it, or the transaction, raises.

        `work` may be called twice: where one of those that are made together is refused, all are taken back, and each
        is made by itself.
        """
        change = _Change(work)
        with self._lock:
            self._waiting.append(change)
        mine = self._turn.acquire(timeout=TURN_S)
        try:
            if changes := self._taken(change, with_all=mine):
                self._settle(changes)
        finally:
            if mine:
                self._turn.release()
        return change.outcome.result()

    def _taken(self, change: _Change[Any], with_all: bool) -> Sequence[_Change[Any]]:
        """What is to be made now: nothing where somebody else has taken this change along."""
        with self._lock:
            if change not in self._waiting:
                return ()
            taken = tuple(self._waiting) if with_all else (change,)
            self._waiting = [other for other in self._waiting if other not in taken]
        return taken

    def _settle(self, changes: Sequence[_Change[Any]]) -> None:
        """Make them in one transaction; where one of them cannot be written, each in one of its own."""
        one_is_refused = False
        try:
            with self._transaction() as connection:
                try:
                    results = [change.work(connection) for change in changes]
                except Exception:
                    one_is_refused = True
                    raise
        except BaseException as failed:
            for change in changes:
                if one_is_refused and len(changes) > 1:
                    self._settle((change,))
                else:
                    change.outcome.set_exception(failed)
        else:
            for change, result in zip(changes, results, strict=True):
                change.outcome.set_result(result)
