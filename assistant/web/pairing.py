"""The code that lets a device in: shown on this machine's own screen, short, and good for ten minutes.

Any number of devices may join with one code while it is good, since a bar brings in all its phones before the doors
open. Six letters of an alphabet of 30 are 729 million codes; at thirty tries at once and one in two seconds after them,
all devices together can try 330 in ten minutes, a chance of one in two million to guess it.
"""

from __future__ import annotations

import hmac
import secrets
import threading
import time
from collections.abc import Callable

from assistant.web.devices import Devices
from assistant.web.limits import Limit, Pace

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # nothing that looks like another: no 0 O, no 1 I L, no U beside V
LETTERS = 6
LASTS_S = 600.0
TRIES = Pace(burst=5, each_s=12)  # from one address
ALL_TRIES = Pace(burst=30, each_s=2)  # from everywhere together


class TooManyTries(Exception):  # noqa: N818  # says what happened, not that it is an error
    """A code was tried too often: how long to wait, in seconds."""

    def __init__(self, wait_s: float) -> None:
        super().__init__(wait_s)
        self.wait_s = wait_s


class WrongCode(Exception):  # noqa: N818  # says what happened, not that it is an error
    """Not the code on the screen, or no longer."""


class Pairing:
    """Lets devices in by code, and knows those that are in. Safe to use from several threads."""

    def __init__(
        self, devices: Devices, joined: Callable[[str], object] = str, now: Callable[[], float] = time.monotonic
    ) -> None:
        """`joined` is called with the address of each device that joins, for the screen that shows the code."""
        self.devices, self._joined, self._now = devices, joined, now
        self._by_address, self._by_all = Limit(TRIES, now), Limit(ALL_TRIES, now)
        self._lock = threading.Lock()
        self._code, self._good_until = "", 0.0

    def new_code(self) -> str:
        """A code to show, in place of the one before."""
        code = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))
        with self._lock:
            self._code, self._good_until = code, self._now() + LASTS_S
        return code

    def join(self, code: str, address: str) -> str:
        """The token of a new device that gave the code. Raises WrongCode or TooManyTries."""
        wait_s = self._by_address.wait_s(address) or self._by_all.wait_s("all")
        if wait_s:
            raise TooManyTries(wait_s)
        with self._lock:
            right, good = self._code, self._now() < self._good_until
        if not (hmac.compare_digest(plain(code).encode(), right.encode()) and good):
            raise WrongCode
        self._by_address.give_back(address)
        self._by_all.give_back("all")
        token = self.devices.admit(address)
        self._joined(address)
        return token


def plain(code: str) -> str:
    """A code as it is compared: capitals, and without the spaces and hyphens that people put between."""
    return "".join(letter for letter in code.upper() if letter.isalnum())
