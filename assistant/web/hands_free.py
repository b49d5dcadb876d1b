"""The stream of a page that goes hands-free: short pieces of sound, one request each, answered with how it stands.

A request is sent when the one before it is answered, so pieces stay in order and a busy server is sent longer ones.
"""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field
from functools import partial
from typing import Protocol

from flask import Flask, jsonify, request
from flask.typing import ResponseReturnValue

from assistant.ears.base import Recogniser, Sound
from assistant.ears.sound import raw_sound
from assistant.hands_free import Ask, HandsFree, Moment
from assistant.web.body import StreamQuery
from assistant.web.manager import is_manager, locked
from assistant.web.received import body_bytes
from assistant.web.refusals import Refused
from assistant.web.routes import Services as Answering
from assistant.wire import Json, to_json

RAW = "application/octet-stream"  # 16-bit little-endian mono samples at 16 kHz
MOST_BYTES = 320_000  # of a piece: ten seconds
MOST_STREAMS = 16
IDLE_S = 30.0  # a page that sent nothing for so long has gone
NO_PHRASE = "This house has no wake phrase. Write one in house.toml, as wake_phrase, or hold the button to talk."
CROWDED = "Too many pages are hands-free. Switch one of them off, or hold the button to talk."


class Services(Answering, Protocol):
    """What hands-free talk needs; `assistant.services.Services` has it."""

    @property
    def spotter(self) -> Recogniser:
        """Finds the wake phrase."""

    @property
    def tells_partials(self) -> bool:
        """Whether what was said so far can be heard while it is said."""


def add_hands_free(app: Flask, services: Services) -> None:
    """Gives the app the address that pieces are sent to."""
    streams = Streams(services)

    @app.post("/api/stream")
    def stream() -> ResponseReturnValue:
        query = StreamQuery.model_validate(request.args.to_dict())
        if request.mimetype != RAW:
            raise Refused(415)
        piece = raw_sound(body_bytes(MOST_BYTES))
        ask = partial(
            services.ask, conversation=query.conversation, who=query.who, is_manager=is_manager(services.manager)
        )
        moment = streams.take(query.conversation, query.stream, piece, ask, query.aloud)
        packed = jsonify(_packed(moment))
        return locked(packed, services.manager) if moment.reply and moment.reply.pin == "lock" else packed


@dataclass
class _Stream:
    """One page's stream."""

    hands_free: HandsFree
    used_at: float
    lock: threading.Lock = field(default_factory=threading.Lock)


class Streams:
    """The streams of all pages; safe to use from several threads."""

    def __init__(self, services: Services) -> None:
        self._services = services
        self._lock = threading.Lock()
        self._streams: dict[str, _Stream] = {}

    def take(self, conversation: str, name: str, piece: Sound, ask: Ask, is_aloud: bool) -> Moment:
        """Take in a piece of one stream of a conversation. Raises Refused, and what recognisers raise."""
        stream = self._stream(conversation, name)
        with stream.lock:
            return stream.hands_free.take(piece, ask, is_aloud)

    def _stream(self, conversation: str, name: str) -> _Stream:
        now, own = time.monotonic(), f"{conversation}/{name}"
        with self._lock:
            self._streams = {key: each for key, each in self._streams.items() if now - each.used_at < IDLE_S}
            if own not in self._streams:
                self._streams[own] = _Stream(self._begun(conversation), now)
            self._streams[own].used_at = now
            return self._streams[own]

    def _begun(self, conversation: str) -> HandsFree:
        phrase = _phrase(self._services)
        if not phrase:
            raise Refused(409, NO_PHRASE)
        if len(self._streams) >= MOST_STREAMS:
            raise Refused(503, CROWDED)
        hear = partial(self._services.hear, conversation=conversation)
        return HandsFree(hear, self._services.spotter, phrase, self._services.tells_partials)


def _phrase(services: Services) -> str:
    """What wakes this house's ear."""
    return services.tonight().book.house.wake_phrase


def _packed(moment: Moment) -> dict[str, Json]:
    return {
        "state": moment.state.value,
        "spoken_to": moment.is_spoken_to,
        "partial": moment.partial,
        "reply": to_json(moment.reply) if moment.reply else None,
    }
