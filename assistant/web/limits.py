"""How often something may be done: so many at once, and so many a second from then on."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

MOST_KEYS = 1_000  # beyond this the one longest quiet is forgotten; it then begins afresh


@dataclass(frozen=True)
class Pace:
    """What is allowed: `burst` at once, then `each_s` seconds for each one more."""

    burst: int
    each_s: float


class Limit:
    """Keeps everyone to one pace; who they are is the caller's word (a device, an address). Safe for threads."""

    def __init__(self, pace: Pace, now: Callable[[], float] = time.monotonic) -> None:
        self._pace, self._now = pace, now
        self._free_at: OrderedDict[str, float] = OrderedDict()  # when all of the burst is there again
        self._lock = threading.Lock()

    def wait_s(self, key: str) -> float:
        """Zero, and one more is counted; or the seconds until the next may be done, and nothing is counted.

        This is the generic cell rate algorithm (ITU-T I.371): one number for each key.
        """
        now, pace = self._now(), self._pace
        with self._lock:
            free_at = max(now, self._free_at.get(key, now))
            wait = free_at - now - (pace.burst - 1) * pace.each_s
            if wait > 0:
                return wait
            self._free_at[key] = free_at + pace.each_s
            self._free_at.move_to_end(key)
            while len(self._free_at) > MOST_KEYS:
                self._free_at.popitem(last=False)
        return 0.0

    def give_back(self, key: str) -> None:
        """Count one less: what was done was right, and only wrong tries are limited."""
        with self._lock:
            if key in self._free_at:
                self._free_at[key] -= self._pace.each_s
