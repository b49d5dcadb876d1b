"""Every refusal is JSON with one sentence for the person in front of the page: {"error": "..."}."""

from __future__ import annotations

import logging
import math

from flask import Flask, jsonify, request
from flask.typing import ResponseReturnValue
from pydantic import ValidationError
from werkzeug.exceptions import HTTPException, SecurityError

from assistant.answers.talk import not_read, not_remembered
from assistant.ears.errors import EarsError, NotSound, RecogniserBusy
from assistant.errors import MemoryFailed
from assistant.web.body import LONGEST_TEXT
from assistant.web.guard import READING

log = logging.getLogger(__name__)

SENTENCES = {
    400: "The server could not read that. Send JSON with the field text, or a WAV file.",
    401: "This device has not joined yet. Open the address that the server printed, and give the code from its screen.",
    403: "Only the assistant's own page may ask. Open it at the address that the server printed.",
    404: "There is no such page here. The assistant is at the address that the server printed.",
    405: "That address takes another kind of request.",
    413: "That is too long. Half a minute of speech is the most that is taken.",
    415: "The server takes JSON for text, and WAV or raw 16-bit sound for speech.",
    429: "That is faster than anyone can ask. Wait a moment, then ask again.",
    503: "The ear did not answer in time. Say it again, or type it.",
}
OTHERWISE = "Something went wrong in the server, and its log says what. Ask again, please."
BUSY = "The ears are all in use just now. Say it again in a second, or type it."
BUSY_S = 1.0  # when to try again
FIELDS = {
    "text": f"The field text must hold a question of at most {LONGEST_TEXT} letters.",
    "conversation": "The field conversation takes at most 64 letters, digits and hyphens.",
    "who": "The field who takes a name: one to three words, all of letters.",
    "pin": "The field pin takes the digits of a PIN as text.",
    "code": "The code is six letters and digits. It stands on the server's screen.",
}


class Refused(Exception):  # noqa: N818  # says what happened, not that it is an error
    """A request that cannot be answered: an HTTP status, the sentence to send with it, and when to try again."""

    def __init__(self, status: int, sentence: str = "", after_s: float = 0.0) -> None:
        super().__init__(status, sentence, after_s)
        self.status, self.sentence, self.after_s = status, sentence or SENTENCES[status], after_s


def refuse_in_json(app: Flask) -> None:
    """Has the app send every error as JSON."""
    app.register_error_handler(Refused, lambda error: _refusal(error.status, error.sentence, error.after_s))
    app.register_error_handler(ValidationError, lambda error: _refusal(422, _of_fields(error)))
    app.register_error_handler(NotSound, lambda error: _refusal(400, f"No sound can be heard in that: {error}."))
    app.register_error_handler(RecogniserBusy, lambda _: _refusal(429, BUSY, BUSY_S))
    app.register_error_handler(EarsError, _of_the_ear)
    app.register_error_handler(MemoryFailed, _of_the_memory)
    app.register_error_handler(HTTPException, _of_http)
    app.register_error_handler(Exception, _unforeseen)


def _refusal(status: int, sentence: str, after_s: float = 0.0) -> ResponseReturnValue:
    answer = jsonify(error=sentence)
    if after_s:
        answer.headers["Retry-After"] = str(math.ceil(after_s))
    return answer, status


def _of_fields(error: ValidationError) -> str:
    fields = {str(fault["loc"][0]) for fault in error.errors() if fault["loc"]}
    known = sorted(fields & FIELDS.keys())
    if known:
        return FIELDS[known[0]]
    extra = ", ".join(sorted(fields))
    return f"The server knows no field {extra}." if extra else SENTENCES[400]


def _of_the_ear(error: EarsError) -> ResponseReturnValue:
    log.warning("Not heard: %s", error)
    return _refusal(503, SENTENCES[503])


def _of_the_memory(error: MemoryFailed) -> ResponseReturnValue:
    log.error("Not remembered: %s: %s", type(error).__name__, error)
    return _refusal(503, (not_read() if request.method in READING else not_remembered(error)).say)


def _of_http(error: HTTPException) -> ResponseReturnValue:
    status = error.code or 500
    if error.response is not None:
        return error.response  # a redirect
    if isinstance(error, SecurityError):
        return _refusal(status, SENTENCES[403])  # another name than ours in the Host header
    return _refusal(status, SENTENCES.get(status, SENTENCES[400] if status < 500 else OTHERWISE))


def _unforeseen(error: Exception) -> ResponseReturnValue:
    log.exception("A request failed", exc_info=error)
    return _refusal(500, OTHERWISE)
