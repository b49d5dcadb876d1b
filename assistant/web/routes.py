"""The addresses: the page, the two questions, and a sign of life. Each unpacks, asks the dialogue, and packs."""

from __future__ import annotations

from typing import Protocol

from flask import Flask, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from assistant.ears.base import Sound
from assistant.ears.sound import open_sound, raw_sound
from assistant.messages import Heard, Reply
from assistant.tonight import Tonight
from assistant.web.body import MOST_BYTES, AskBody, HearQuery
from assistant.web.people import people
from assistant.web.received import body_bytes, json_body
from assistant.web.refusals import Refused
from assistant.wire import to_json

WAV = frozenset({"audio/wav", "audio/x-wav", "audio/wave", "audio/vnd.wave"})
RAW = frozenset({"application/octet-stream", "audio/l16", "audio/pcm"})


class Services(Protocol):
    """What the routes need; `assistant.services.Services` has it."""

    def ask(self, heard: Heard | str, conversation: str) -> Reply:
        """The reply to one utterance of a conversation."""

    def hear(self, sound: Sound) -> Heard:
        """What a sound says. Raises RecogniserFailed, or LookupError where there is no ear."""

    def tonight(self) -> Tonight:
        """The book as it stands now, and examples of what can be said."""


def add_routes(app: Flask, services: Services) -> None:
    """Gives the app its addresses, each answered by these services."""

    @app.get("/")
    def page() -> str:
        now = services.tonight()
        return render_template("page.html", house=now.book.house.name, people=people(now.examples))

    @app.get("/api/health")
    def health() -> ResponseReturnValue:
        return jsonify(ready=True, drinks=len(services.tonight().book.drinks))

    @app.post("/api/ask")
    def ask() -> ResponseReturnValue:
        body = json_body(AskBody)
        return _packed(services.ask(body.text, body.conversation))

    @app.post("/api/hear")
    def hear() -> ResponseReturnValue:
        query = HearQuery.model_validate(request.args.to_dict())
        heard = services.hear(_sound())
        return _packed(services.ask(heard, query.conversation))


def _packed(reply: Reply) -> ResponseReturnValue:
    return jsonify(to_json(reply))


def _sound() -> Sound:
    """The sound in the body: a WAV file, or 16-bit little-endian mono samples at 16 kHz."""
    if request.mimetype in WAV:
        return open_sound(body_bytes(MOST_BYTES))
    if request.mimetype in RAW:
        return raw_sound(body_bytes(MOST_BYTES))
    raise Refused(415)
