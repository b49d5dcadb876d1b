"""The JSON interface: what it answers, what it refuses, and that a refusal is one sentence."""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
import soundfile
from flask.testing import FlaskClient

from assistant.ears.errors import RecogniserBusy, RecogniserFailed, RecogniserTooSlow
from assistant.web import create_app
from assistant.web.body import LONGEST_TEXT, MOST_BYTES
from assistant.wire import to_json
from tests.assistant import canned
from tests.assistant.fakes import FakeServices

SECOND = (np.sin(np.arange(16000) / 6) * 12000).astype("<i2")  # one second of a tone


def wav(samples: np.ndarray[Any, Any] = SECOND, rate: int = 16000) -> bytes:
    """A WAV file's bytes."""
    file = io.BytesIO()
    soundfile.write(file, samples, rate, format="WAV", subtype="PCM_16")
    return file.getvalue()


@pytest.fixture
def services() -> FakeServices:
    """Canned replies."""
    return FakeServices()


@pytest.fixture
def client(services: FakeServices) -> FlaskClient:
    """A client of the app."""
    return create_app(services).test_client()


def test_a_question_gets_the_reply_as_one_object(client: FlaskClient, services: FakeServices) -> None:
    """The reply is the object that the terminal prints too, and the conversation is the sender's."""
    answer = client.post("/api/ask", json={"text": " spec for a clover club ", "conversation": "tab-1"})
    assert (answer.status_code, services.asked) == (200, [("spec for a clover club", "tab-1")])
    body = answer.get_json()
    assert {**body, "heard": None} == {**to_json(canned.SPEC), "heard": None}
    assert list(body)[:3] == ["heard", "command", "say"]


@pytest.mark.parametrize("mimetype", ["audio/wav", "audio/x-wav", "audio/wave"])
def test_a_wav_file_is_heard(client: FlaskClient, services: FakeServices, mimetype: str) -> None:
    """A recording is heard, and what was heard is answered in the conversation it belongs to."""
    answer = client.post("/api/hear?conversation=tab-1", data=wav(), content_type=mimetype)
    assert answer.status_code == 200
    assert answer.get_json()["heard"]["text"] == "spec for a clover club"
    assert services.asked == [("spec for a clover club", "tab-1")]
    assert services.sounds[0].seconds == pytest.approx(1)


def test_raw_sound_is_heard(client: FlaskClient, services: FakeServices) -> None:
    """Bare 16-bit samples at 16 kHz do as well, with the same numbers."""
    client.post("/api/hear", data=SECOND.tobytes(), content_type="application/octet-stream")
    client.post("/api/hear", data=wav(), content_type="audio/wav")
    raw, file = services.sounds
    assert np.abs(raw.samples - file.samples).max() < 1e-4


JSON = "application/json"
REFUSED = {
    "not JSON": ("/api/ask", b"spec", JSON, 400, "could not read"),
    "half of JSON": ("/api/ask", b'{"text": "spec', JSON, 400, "could not read"),
    "a list": ("/api/ask", b'["spec"]', JSON, 422, "could not read"),
    "text as a form": ("/api/ask", b"text=spec", "application/x-www-form-urlencoded", 415, "takes JSON"),
    "no text": ("/api/ask", b"{}", JSON, 422, "field text"),
    "empty text": ("/api/ask", b'{"text": "  "}', JSON, 422, "field text"),
    "text that is a number": ("/api/ask", b'{"text": 3}', JSON, 422, "field text"),
    "endless text": ("/api/ask", json.dumps({"text": "a" * (LONGEST_TEXT + 1)}).encode(), JSON, 422, "field text"),
    "a field too many": ("/api/ask", b'{"text": "spec", "as": "me"}', JSON, 422, "no field as"),
    "a name that is none": ("/api/ask", b'{"text": "spec", "who": "<b>"}', JSON, 422, "takes a name"),
    "a strange conversation": ("/api/ask", b'{"text": "a", "conversation": "../x"}', JSON, 422, "field conversation"),
    "a body too big": ("/api/ask", b"a" * (MOST_BYTES + 1), JSON, 413, "too long"),
    "sound too long": ("/api/hear", b"a" * (MOST_BYTES + 1), "audio/wav", 413, "too long"),
    "not sound": ("/api/hear", b"RIFFnothing of the kind", "audio/wav", 400, "sound"),
    "no sound at all": ("/api/hear", b"", "audio/wav", 400, "sound"),
    "half a sample": ("/api/hear", b"abc", "application/octet-stream", 400, "sound"),
    "a picture": ("/api/hear", b"\x89PNG", "image/png", 415, "WAV"),
    "a query too many": ("/api/hear?as=me", b"", "audio/wav", 422, "no field as"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_answered_is_refused_in_a_sentence(client: FlaskClient, case: str) -> None:
    """Bad bodies get a 4xx and a sentence that says what is wanted; the talk never sees them."""
    path, data, content_type, status, words = REFUSED[case]
    answer = client.post(path, data=data, content_type=content_type)
    sentence = answer.get_json()["error"]
    assert (answer.status_code, words in sentence) == (status, True), sentence
    assert sentence.endswith(".")


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/api/nothing", 404), ("GET", "/menu", 404), ("GET", "/api/ask", 405), ("GET", "/static/../body.py", 404)],
)
def test_unknown_addresses_are_refused_in_a_sentence(client: FlaskClient, method: str, path: str, status: int) -> None:
    """An address that is not there says where the assistant is."""
    answer = client.open(path, method=method)
    assert (answer.status_code, answer.get_json()["error"][-1]) == (status, ".")


def test_a_failing_answer_is_a_sentence_and_a_line_in_the_log(
    client: FlaskClient, services: FakeServices, caplog: pytest.LogCaptureFixture
) -> None:
    """Whatever breaks inside, the page gets a sentence without a traceback, and the log gets the traceback."""
    services.fails = ZeroDivisionError("inside")
    with caplog.at_level(logging.ERROR):
        answer = client.post("/api/hear", data=wav(), content_type="audio/wav")
    assert answer.status_code == 500
    assert "inside" not in answer.get_data(as_text=True)
    assert "ZeroDivisionError: inside" in caplog.text


@pytest.mark.parametrize("failure", [RecogniserFailed("ear", "died"), RecogniserTooSlow("ear", 5)])
def test_an_ear_that_fails_asks_to_say_it_again(
    client: FlaskClient, services: FakeServices, failure: RecogniserFailed
) -> None:
    """A decoder that dies or hangs costs this utterance: the page is told to say it again, or to type."""
    services.fails = failure
    answer = client.post("/api/hear", data=wav(), content_type="audio/wav")
    assert (answer.status_code, "Say it again" in answer.get_json()["error"]) == (503, True)


def test_a_crowded_ear_asks_to_say_it_again_in_a_second(client: FlaskClient, services: FakeServices) -> None:
    """When all recognisers are busy that is no failure: the page is told when to try again."""
    services.fails = RecogniserBusy("ear", 0.5)
    answer = client.post("/api/hear", data=wav(), content_type="audio/wav")
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "1")
    assert "again in a second" in answer.get_json()["error"]


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"Origin": "http://localhost"}, 200),
        ({"Origin": "http://elsewhere.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Sec-Fetch-Site": "none"}, 200),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Host": "127.0.0.1:9999"}, 200),
        ({"Host": "elsewhere.example"}, 400),
    ],
    ids=lambda value: ", ".join(f"{name} {text}" for name, text in value.items()) if isinstance(value, dict) else "",
)
def test_only_its_own_page_may_ask(client: FlaskClient, headers: Mapping[str, str], status: int) -> None:
    """Another site open in the same browser can change nothing here, not even by pointing its name at this machine."""
    answer = client.post("/api/ask", json={"text": "undo"}, headers=headers)
    assert answer.status_code == status
    assert status == 200 or "address that the server printed" in answer.get_json()["error"]


def test_the_page_is_the_house_s_own(client: FlaskClient) -> None:
    """The page carries the bar's name, and examples for the three people."""
    page = client.get("/").get_data(as_text=True)
    for part in ("The Test Bar", "Behind the bar", "Learning the drinks", "Running the bar", "how much lemon"):
        assert part in page


def test_the_page_runs_nothing_but_its_own_files(client: FlaskClient) -> None:
    """The policy is strict, and the page keeps to it: no script, style or handler is written into it."""
    answer = client.get("/")
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'; script-src 'self';")
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    page = answer.get_data(as_text=True)
    assert "<script>" not in page
    assert "<style" not in page
    assert " style=" not in page
    assert " onclick=" not in page
    assert "//" not in page.replace("<!doctype html>", "")


@pytest.mark.parametrize("path", ["/", "/static/page.js", "/api/health", "/api/nothing"])
def test_every_answer_is_guarded(client: FlaskClient, path: str) -> None:
    """Also files and refusals carry the headers."""
    with client.get(path) as answer:
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]


def test_it_tells_that_it_is_ready(client: FlaskClient) -> None:
    """A sign of life, with what it has."""
    assert client.get("/api/health").get_json() == {"ready": True, "drinks": 7}
