"""The addresses: the page, the two questions, and a sign of life. Each unpacks, asks the dialogue, and packs."""

from __future__ import annotations

from typing import Protocol

from flask import Flask, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from assistant.ears.base import Sound
from assistant.ears.sound import raw_sound, wav_sound
from assistant.messages import Heard, Reply
from assistant.tonight import Tonight
from assistant.web.body import MOST_BYTES, AskBody, HearQuery
from assistant.web.manager import Services as WithManager
from assistant.web.manager import is_manager, locked
from assistant.web.people import people
from assistant.web.received import body_bytes, json_body
from assistant.web.refusals import Refused
from assistant.wire import to_json

WAV = frozenset({"audio/wav", "audio/x-wav", "audio/wave", "audio/vnd.wave"})
RAW = frozenset({"application/octet-stream", "audio/l16", "audio/pcm"})


class Services(WithManager, Protocol):
    """What the routes need; `assistant.services.Services` has it."""

    def ask(self, heard: Heard | str, conversation: str, who: str = "", is_manager: bool = False) -> Reply:
        """The reply to one utterance of a conversation, by whoever says so."""

    def hear(self, sound: Sound, conversation: str) -> Heard:
        """What a sound says. Raises RecogniserFailed, or LookupError where there is no ear."""

    def tonight(self) -> Tonight:
        """The book as it stands now, and examples of what can be said."""


def add_routes(app: Flask, services: Services) -> None:
    """Gives the app its addresses, each answered by these services."""

    @app.get("/")
    def page() -> str:
        now = services.tonight()
        return render_template("page.html", house=now.book.house, people=people(now.examples), known=now.people)

    @app.get("/api/health")
    def health() -> ResponseReturnValue:
        return jsonify(ready=True, drinks=len(services.tonight().book.drinks))

    @app.post("/api/ask")
    def ask() -> ResponseReturnValue:
        body = json_body(AskBody)
        return answered(body.text, body)

    @app.post("/api/hear")
    def hear() -> ResponseReturnValue:
        query = HearQuery.model_validate(request.args.to_dict())
        return answered(services.hear(_sound(), query.conversation), query)

    def answered(heard: Heard | str, sent: AskBody | HearQuery) -> ResponseReturnValue:
        reply = services.ask(heard, sent.conversation, sent.who, is_manager(services.manager))
        packed = jsonify(to_json(reply))
        if reply.pin == "lock":
            return locked(packed, services.manager)
        return (jsonify(error=reply.say, **to_json(reply)), 403) if reply.pin == "needed" else packed


def _sound() -> Sound:
    """The sound in the body: a WAV file, or 16-bit little-endian mono samples at 16 kHz."""
    if request.mimetype in WAV:
        return wav_sound(body_bytes(MOST_BYTES))
    if request.mimetype in RAW:
        return raw_sound(body_bytes(MOST_BYTES))
    raise Refused(415)
