"""The stream of a page, over HTTP."""

from __future__ import annotations

import numpy as np
import pytest
from flask.testing import FlaskClient

from assistant.ears.base import Sound
from assistant.ears.levels import as_pcm
from assistant.web import create_app, hands_free
from tests.assistant.ears.test_attention import HighTone, in_room, phrase, quiet, talk
from tests.assistant.fakes import FakeServices

RAW = "application/octet-stream"
PIECE = as_pcm(Sound(np.zeros(3_200, np.float32)))


@pytest.fixture
def services(monkeypatch: pytest.MonkeyPatch) -> FakeServices:
    """Canned replies, in a house that has a phrase."""
    monkeypatch.setattr(hands_free, "_phrase", lambda services: "Skerry Haven")
    return FakeServices(spotter=HighTone())


def client(services: FakeServices) -> FlaskClient:
    """A page of this machine."""
    return create_app(services).test_client()


def test_phrase_and_command_get_a_reply(services: FakeServices) -> None:
    """Piece by piece; the last one is answered with the reply that typing would have got."""
    page = client(services)
    heard = in_room([quiet(1.5), phrase(), quiet(0.2), talk(1), quiet(1.2)])
    pieces = [as_pcm(Sound(heard[at : at + 3_200])) for at in range(0, len(heard), 3_200)]
    told = [
        page.post("/api/stream?conversation=c&stream=1", data=piece, content_type=RAW).get_json() for piece in pieces
    ]
    assert {each["state"] for each in told} == {"asleep", "listening"}
    (reply,) = [each["reply"] for each in told if each["reply"]]
    assert reply["heard"]["text"] == services.hears
    assert services.asked == [(services.hears, "c")]


def test_a_house_without_a_phrase_says_so() -> None:
    """In a sentence that names the file."""
    answer = client(FakeServices()).post("/api/stream?conversation=c", data=PIECE, content_type=RAW)
    assert answer.status_code == 409
    assert "house.toml" in answer.get_json()["error"]


@pytest.mark.parametrize(
    ("query", "kind", "data", "status"),
    [
        ("?stream=a b", RAW, PIECE, 422),
        ("?loud=1", RAW, PIECE, 422),
        ("", "text/plain", PIECE, 415),
        ("", RAW, b"", 400),
        ("", RAW, b"odd", 400),
        ("", RAW, bytes(400_000), 413),
    ],
)
def test_what_is_no_piece_is_refused(services: FakeServices, query: str, kind: str, data: bytes, status: int) -> None:
    """With a sentence, whatever was sent."""
    answer = client(services).post(f"/api/stream{query}", data=data, content_type=kind)
    assert answer.status_code == status
    assert answer.get_json()["error"]


def test_too_many_pages_are_told(services: FakeServices) -> None:
    """The last one too many is, and those before it go on."""
    page = client(services)
    answers = [
        page.post(f"/api/stream?stream={number}", data=PIECE, content_type=RAW).status_code
        for number in (*range(hands_free.MOST_STREAMS + 1), 0)
    ]
    assert answers == [200] * hands_free.MOST_STREAMS + [503, 200]
