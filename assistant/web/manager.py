"""The manager's PIN at the page: typed there, kept by no page, and good on that device for half an hour.

What the device holds then is a random token in a cookie that no script can read. The first PIN may be set here too, but
only from this machine: else whoever is first on the network would be the manager.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import timedelta
from typing import Annotated, Protocol

from flask import Flask, Response, jsonify, request
from flask.typing import ResponseReturnValue
from pydantic import StringConstraints

from assistant.answers import pins
from assistant.errors import PinError, TriedTooOften
from assistant.manager import UNLOCKED_FOR, Manager
from assistant.pin_limits import FOR_GOOD
from assistant.rights import Rights
from assistant.web.body import Body
from assistant.web.received import json_body
from assistant.web.refusals import Refused

THIS_MACHINE = frozenset({"127.0.0.1", "::1"})
FORWARDED = ("Forwarded", "X-Forwarded-For")  # by another server in front of this one: then the address is that one's
LONGEST_TYPED = 40  # letters; what is no PIN is told so


class Services(Protocol):
    """What the PIN's routes need; `assistant.services.Services` has it."""

    @property
    def manager(self) -> Manager:
        """Who keeps the PIN."""

    def rights(self, is_manager: bool = False) -> Rights:
        """What one who comes through a door may do. Raises MemoryFailed."""


class PinBody(Body):
    """A PIN as it was typed."""

    pin: Annotated[str, StringConstraints(max_length=LONGEST_TYPED)]


def add_manager(app: Flask, services: Services, source: Callable[[], str], own_addresses: Collection[str] = ()) -> None:
    """Gives the app the PIN's addresses.

    `source`: whose wrong tries those of a request are counted with. `own_addresses`: of this machine, beside the
    loopback's.
    """
    manager = services.manager

    @app.get("/api/pin")
    def pin() -> ResponseReturnValue:
        has_pin = manager.has_pin()
        return _told("", manager, has_pin=has_pin, may_set=not has_pin and _from_here(own_addresses))

    @app.post("/api/pin/set")
    def set_pin() -> ResponseReturnValue:
        body = json_body(PinBody)
        if manager.has_pin() or not _from_here(own_addresses):
            raise Refused(403, pins.NOT_HERE)
        try:
            manager.set_pin(body.pin)
        except PinError as error:
            raise Refused(422, pins.refused(error)) from None
        return _told(pins.SET, manager)

    @app.post("/api/pin/unlock")
    def unlock() -> ResponseReturnValue:
        body = json_body(PinBody)
        try:
            token = manager.unlock(body.pin, source())
        except PinError as error:
            raise _refused(error) from None
        answer = _told(pins.unlocked(UNLOCKED_FOR), manager, left=UNLOCKED_FOR)
        age = int(UNLOCKED_FOR.total_seconds())
        answer.set_cookie(_cookie(), token, age, httponly=True, secure=request.is_secure, samesite="Strict")
        return answer

    @app.post("/api/pin/lock")
    def lock() -> ResponseReturnValue:
        return locked(_told(pins.LOCKED, manager, left=timedelta(0)), manager)


def is_manager(manager: Manager) -> bool:
    """Whether the request comes from a device that is unlocked."""
    return manager.is_unlocked(_token())


def locked(answer: Response, manager: Manager) -> Response:
    """The answer, with which its device is the manager's no more."""
    manager.lock(_token())
    answer.delete_cookie(_cookie(), httponly=True, secure=request.is_secure, samesite="Strict")
    return answer


def needing(services: Services) -> Callable[[str], None]:
    """What lets a request go on only if whoever sent it may do a thing (of `assistant.rights`), or raises Refused."""

    def need(subject: str) -> None:
        rights = services.rights(is_manager(services.manager))
        if not rights.may(subject):
            raise Refused(403, pins.needed(rights.has_pin).say)

    return need


def _told(sentence: str, manager: Manager, left: timedelta | None = None, **more: bool) -> Response:
    left = manager.left(_token()) if left is None else left
    return jsonify(say=sentence, unlocked_s=int(left.total_seconds()), **more)


def _refused(error: PinError) -> Refused:
    if not isinstance(error, TriedTooOften):
        return Refused(403, pins.refused(error))
    wait_s = 0.0 if error.until == FOR_GOOD else (error.until - error.now).total_seconds()
    return Refused(429, pins.refused(error), wait_s)


def _from_here(own_addresses: Collection[str]) -> bool:
    """Whether whoever asks sits at this machine."""
    if any(header in request.headers for header in FORWARDED):
        return False
    return request.remote_addr in THIS_MACHINE or request.remote_addr in own_addresses


def _token() -> str:
    return request.cookies.get(_cookie(), "")


def _cookie() -> str:
    """Over https with the prefix that has browsers keep it to this host; they refuse it over http."""
    return "__Host-manager" if request.is_secure else "manager"
