"""The manager: whoever types the PIN is one, on that device, for half an hour or until they lock it again."""

from __future__ import annotations

import hashlib
import logging
import secrets
import threading
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from assistant.errors import MemoryFailed, NoPin, PinNotTaken, TriedTooOften, WrongPin
from assistant.memory import Clock, utc_now
from assistant.pin import SLOW, KeptPin, Work, hashed, is_easily_guessed, is_well_formed
from assistant.pin_limits import REMEMBERED

UNLOCKED_FOR = timedelta(minutes=30)  # house choice
MOST_UNLOCKED = 100  # devices; beyond this the one unlocked first is locked
TOKEN_BYTES = 32

log = logging.getLogger(__name__)


class Store(Protocol):
    """Where a PIN and its wrong tries are kept; `assistant.pin_store.PinStore` is the real one."""

    def kept(self) -> KeptPin | None:
        """The PIN as it is kept; None when none is set."""

    def keep(self, pin: KeptPin | None) -> None:
        """Put this PIN in place of the one before, or take that away; forget who tried, and who had it right."""

    def count(self, source: str, now: datetime) -> datetime | None:
        """Count a try as wrong before it is looked at; or count nothing, and say until when the source must wait."""

    def forgive(self, source: str, before: datetime) -> None:
        """Forget the tries of a source that has shown the right PIN, and those of its kind from before that time."""


@dataclass(frozen=True)
class _Unlocked:
    """A device that is a manager's for now: until when, and by which PIN."""

    since: datetime
    pin: KeptPin

    def lasts(self, now: datetime) -> bool:
        """Whether its time is not over; a clock that was set back ends it."""
        return self.since <= now < self.since + UNLOCKED_FOR


class Manager:
    """Sets the PIN, and knows which devices are unlocked. Safe to use from several threads.

    A device is known by a random token, of which only the digest is kept, in this process alone: a restart locks every
    device. The methods raise MemoryFailed when the database cannot be read or written.
    """

    def __init__(self, store: Store, clock: Clock = utc_now, work: Work = SLOW) -> None:
        self._store, self._clock, self._work = store, clock, work
        self._unlocked: dict[str, _Unlocked] = {}
        self._lock = threading.Lock()

    def has_pin(self) -> bool:
        """Whether a PIN is set; without one nothing is kept from anybody, but what the house hides."""
        return self._store.kept() is not None

    def set_pin(self, digits: str) -> None:
        """Put this PIN in place of the one before; every device is locked. Raises PinNotTaken."""
        if not is_well_formed(digits):
            raise PinNotTaken("form")
        if is_easily_guessed(digits):
            raise PinNotTaken("easy")
        self._store.keep(hashed(digits, self._work))
        log.info("the manager's PIN was set")

    def remove_pin(self) -> None:
        """Do without a PIN from now on."""
        self._store.keep(None)
        log.info("the manager's PIN was removed")

    def unlock(self, digits: str, source: str) -> str:
        """A token that makes its device the manager's; `source` is whose tries are counted together.

        Raises NoPin, WrongPin or TriedTooOften.
        """
        kept = self._store.kept()
        if kept is None:
            raise NoPin
        now = self._clock()
        wait = self._store.count(source, now)
        if wait is not None:
            log.warning("the manager's PIN was tried too often; %s must wait until %s", source, wait)
            raise TriedTooOften(wait, now)
        if not kept.is_for(digits):
            log.warning("a wrong PIN from %s", source)
            raise WrongPin
        self._store.forgive(source, before=now - REMEMBERED)
        return self._admit(_Unlocked(now, kept))

    def is_unlocked(self, token: str) -> bool:
        """Whether the device of this token is the manager's now; not while the database cannot tell."""
        try:
            return self.left(token) > timedelta(0)
        except MemoryFailed:
            return False

    def left(self, token: str) -> timedelta:
        """How long it stays so."""
        found, now = self._unlocked.get(_digest(token)) if token else None, self._clock()
        if found is None or not found.lasts(now) or self._store.kept() != found.pin:
            return timedelta(0)
        return found.since + UNLOCKED_FOR - now

    def lock(self, token: str) -> None:
        """The device of this token is the manager's no more."""
        with self._lock:
            self._unlocked.pop(_digest(token), None)

    def _admit(self, unlocked: _Unlocked) -> str:
        token = secrets.token_urlsafe(TOKEN_BYTES)
        with self._lock:
            lasting = [(key, one) for key, one in self._unlocked.items() if one.lasts(unlocked.since)]
            self._unlocked = {**dict(lasting[-(MOST_UNLOCKED - 1) :]), _digest(token): unlocked}
        return token


def _digest(token: str) -> str:
    """Tokens are random and long, so that a plain digest gives nothing away."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
