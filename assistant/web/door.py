"""The door to the bar's network: only devices that joined come in, and none of them may crowd out the others.

On this machine alone there is no such door: whoever sits at it could stop the program anyway.
"""

from __future__ import annotations

import logging
from collections.abc import Callable

from flask import Flask, jsonify, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from assistant.web import devices
from assistant.web.body import JoinBody
from assistant.web.limits import Limit, Pace
from assistant.web.pairing import Pairing, TooManyTries, WrongCode
from assistant.web.received import json_body
from assistant.web.refusals import SENTENCES, Refused

COOKIE = "__Host-device"  # with this prefix browsers keep it to https and to this host
OPEN = frozenset({"static", "join", "join_page"})  # the program's own files hold no secret
ASKING = Pace(burst=60, each_s=0.1)  # of one device: nobody types that fast, but a script might
SOUNDS = Pace(burst=6, each_s=1.0)  # each keeps a recogniser busy
WRONG = "That is not the code on the server's screen, or it has run out. Press Enter there for a new one."
NOT_NOTED = "The server could not note this device: its disk is full or may only be read. Mend that, then join again."
TOO_MANY = "Too many codes were tried. Wait {seconds:.0f} seconds, then give the code again."

log = logging.getLogger(__name__)

HouseName = Callable[[], str]


def close_the_door(app: Flask, pairing: Pairing, house: HouseName) -> None:
    """Has the app answer joined devices only, and `/join` to whoever has not joined."""
    asking, sounds = Limit(ASKING), Limit(SOUNDS)

    @app.before_request
    def only_who_joined() -> ResponseReturnValue | None:
        if request.endpoint in OPEN:
            return None
        device = pairing.devices.known(request.cookies.get(COOKIE, ""))
        if device is None:
            if request.endpoint == "page":
                return redirect(url_for("join_page"))
            return _asked_to_join()
        wait_s = asking.wait_s(device) or (sounds.wait_s(device) if request.endpoint == "hear" else 0.0)
        if wait_s:
            raise Refused(429, after_s=wait_s)
        return None

    @app.get("/join")
    def join_page() -> str:
        return render_template("join.html", house=house())

    @app.post("/api/join")
    def join() -> ResponseReturnValue:
        token = _token(pairing, json_body(JoinBody).code)
        answer = jsonify(joined=True)
        answer.set_cookie(COOKIE, token, max_age=devices.LASTS, secure=True, httponly=True, samesite="Strict")
        return answer


def who_asks(pairing: Pairing | None) -> str:
    """What a request comes from, in a few letters: its device, or its address where devices do not join."""
    device = pairing and pairing.devices.known(request.cookies.get(COOKIE, ""))
    return f"device {devices.called(device)}" if device else request.remote_addr or ""


def _asked_to_join() -> ResponseReturnValue:
    return jsonify(error=SENTENCES[401]), 401, {"WWW-Authenticate": "JoiningCode"}


def _token(pairing: Pairing, code: str) -> str:
    try:
        return pairing.join(code, request.remote_addr or "")
    except WrongCode:
        raise Refused(403, WRONG) from None
    except TooManyTries as tried:
        raise Refused(429, TOO_MANY.format(seconds=tried.wait_s + 0.5), after_s=tried.wait_s) from None
    except OSError:
        log.exception("A device that gave the code could not be noted")
        raise Refused(503, NOT_NOTED) from None
