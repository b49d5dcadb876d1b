"""Whatever is put into a question or a sound: an answer or a refusal in one sentence, never a failure."""

from __future__ import annotations

import io
import json
import os
import struct
import subprocess
import sys
import tracemalloc
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from assistant.services import Services
from assistant.web import create_app
from assistant.web.body import LONGEST_TEXT, MOST_BYTES, MOST_JSON_BYTES
from tests.assistant.fakes import FakeServices

CONTENT = "application/json"
BOUNDED = 40_000_000  # bytes that one request may take: six megabytes of 8-bit samples as 32-bit ones, and some room


@dataclass(frozen=True)
class Door:
    """The app on the real book, and what is behind it."""

    services: Services
    client: FlaskClient

    def ask(self, text: str, conversation: str = "page") -> TestResponse:
        """The answer to a typed question."""
        body = json.dumps({"text": text, "conversation": conversation})
        return self.client.post("/api/ask", data=body, content_type=CONTENT)


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Door]:
    """The whole assistant, with a database of its own."""
    database = f"sqlite:///{tmp_path_factory.mktemp('bad') / 'shift.db'}"
    with closing(Services(None, database)) as services:
        yield Door(services, create_app(services).test_client())


@pytest.fixture(scope="module")
def ear() -> FlaskClient:
    """A door whose ear takes any sound for the same sentence."""
    return create_app(FakeServices()).test_client()


def is_well(answer: TestResponse) -> bool:
    """Answered, or refused with a sentence; and nothing broke inside on the way."""
    body = answer.get_json()
    if answer.status_code == 200:
        return bool(body["say"]) and "went wrong" not in body["say"]
    return 400 <= answer.status_code < 500 and body["error"].endswith(".")


# Text


KNOWN = (
    *(
        "make it three",
        "scale",
        "batch forty",
        "what does",
        "cost",
        "the price of",
        "is now",
        "we're out of",
        "back in",
    ),
    *("orgeat", "gimlet", "daiquiri", "lime juice", "quiz me on the sours", "undo", "yes", "no", "next step", "repeat"),
    *("compare", "with", "and", "without", "over", "under", "percent", "ounces", "for", "dollars", "swap", "skip it"),
)
ODD = ("0", "-1", "1e308", "1/0", "½", "٣", "nan", "99999999999999999999999", "$", "%", "\u202e")
OF_THE_BAR = st.lists(st.sampled_from(KNOWN + ODD) | st.text(max_size=4), max_size=12).map(" ".join)


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=LONGEST_TEXT) | OF_THE_BAR, conversation=st.sampled_from(("a", "b")))
def test_any_text_is_answered_or_refused(door: Door, text: str, conversation: str) -> None:
    """Any Unicode, in a talk that goes on: a reply in words, and a memory that can be read."""
    answer = door.ask(text, conversation)
    assert is_well(answer), ascii(text)
    assert door.services.memory.recall().version >= 0


@pytest.mark.parametrize(
    "control", [*map(chr, range(32)), "\x7f", "\x85", "\u2028", "\ufeff", "\ufffe", "\u202e"], ids=ascii
)
def test_a_control_character_is_no_more_than_a_space(door: Door, control: str) -> None:
    """Among the words of a question it is passed over, or the question is not understood."""
    answer = door.ask(f"spec for{control}a gimlet")
    assert is_well(answer)
    assert answer.get_json()["card"] is None or "imlet" in answer.get_json()["card"]["title"]


@pytest.mark.parametrize("half", ["\ud83c", "\udf78\ud83c"], ids=ascii)
def test_half_a_character_is_refused(door: Door, half: str) -> None:
    """JSON can write half of a character; no text can hold it."""
    assert door.ask(f"spec for a gimlet {half}").status_code == 422


@pytest.mark.parametrize("letters", [LONGEST_TEXT + 1, 10_000, 1_000_000])
def test_endless_text_is_refused_unread(door: Door, letters: int) -> None:
    """A megabyte of letters costs neither time nor memory: its announced length is enough."""
    body = json.dumps({"text": "a" * letters}).encode()
    tracemalloc.start()
    answer = door.client.post("/api/ask", data=body, content_type=CONTENT)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert answer.status_code == (413 if len(body) > MOST_JSON_BYTES else 422)
    assert is_well(answer)
    assert peak < 2 * len(body) + 200_000  # the test's own copy, in the client


# JSON

ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)
DEEP = [b"[" * 3000, b'{"text":' * 900, b'{"text":' + b"[" * 3000 + b"]" * 3000 + b"}", b"[" * 3000 + b"]" * 3000]


@settings(max_examples=150, deadline=None)
@given(body=ANY_JSON | st.fixed_dictionaries({"text": ANY_JSON}, optional={"conversation": ANY_JSON}))
def test_json_of_any_shape_is_refused_or_answered(ear: FlaskClient, body: object) -> None:
    """Numbers, lists and objects where a text should be get a sentence."""
    assert is_well(ear.post("/api/ask", data=json.dumps(body), content_type=CONTENT))


@settings(max_examples=150, deadline=None)
@given(body=st.binary(max_size=200))
@pytest.mark.parametrize("path", ["/api/ask", "/api/hear"])
def test_any_bytes_are_refused_as_json(ear: FlaskClient, path: str, body: bytes) -> None:
    """What only says that it is JSON gets a 4xx."""
    answer = ear.post(path, data=body, content_type=CONTENT)
    assert is_well(answer)


@pytest.mark.parametrize("body", DEEP, ids=lambda body: f"{body[:9]!r} and on, {len(body)} bytes")
def test_brackets_without_end_are_refused(ear: FlaskClient, body: bytes) -> None:
    """Nesting deeper than any reader goes is bad JSON and no failure."""
    assert ear.post("/api/ask", data=body, content_type=CONTENT).status_code in (400, 422)


@pytest.mark.parametrize("charset", ["utf-16", "latin-1", "none-such", "\xff"])
def test_json_is_read_as_utf_8_whatever_it_says(ear: FlaskClient, charset: str) -> None:
    """RFC 8259 knows no other, so a charset changes nothing."""
    answer = ear.post("/api/ask", data=b'{"text": "next"}', content_type=f"{CONTENT}; charset={charset}")
    assert answer.status_code == 200


def test_every_post_there_is_takes_any_json(door: Door) -> None:
    """Also addresses that are made later: empty, wrong and strange bodies get a 4xx, or an answer."""
    app: Flask = door.client.application
    urls = app.url_map.bind("localhost")
    posts = [
        urls.build(rule.endpoint, dict.fromkeys(rule.arguments, "x"), method="POST")
        for rule in app.url_map.iter_rules()
        if "POST" in (rule.methods or ())
    ]
    assert {"/api/ask", "/api/hear"} <= set(posts)
    for path in posts:
        for body in (b"", b"{}", b"[]", b"null", b"1e999", b'{"text": null}', b"\xff\xfe", *DEEP):
            for content_type in (CONTENT, "text/plain", "audio/wav", "multipart/form-data; boundary=x", ""):
                answer = door.client.post(path, data=body, content_type=content_type)
                assert answer.status_code < 500, (path, body[:20], content_type)


# Sound


def wav(samples: np.ndarray[Any, Any], rate: int = 16_000, width: str = "PCM_16", kind: str = "WAV") -> bytes:
    """A file of these samples."""
    file = io.BytesIO()
    soundfile.write(file, samples, rate, format=kind, subtype=width)
    return file.getvalue()


def more_than_counted(bytes_of_sound: int) -> bytes:
    """Compressed sound whose header tells of more samples than 32 bits can count (CVE-2026-37555 of libsndfile)."""
    kind = struct.pack("<HHIIHHHH", 0x11, 1, 16_000, 16_000, 36, 4, 2, 65_535)
    form = struct.pack("<4s4sI", b"WAVE", b"fmt ", len(kind)) + kind
    form += struct.pack("<4sI", b"data", bytes_of_sound) + bytes(bytes_of_sound)
    return struct.pack("<4sI", b"RIFF", len(form)) + form


TONE = 0.3 * np.sin(np.arange(8_000) / 6)
HEARD = {
    "8-bit": wav(TONE, width="PCM_U8"),
    "24-bit": wav(TONE, width="PCM_24"),
    "32-bit": wav(TONE, width="PCM_32"),
    "float": wav(TONE, width="FLOAT"),
    "double": wav(TONE, width="DOUBLE"),
    "mu-law": wav(TONE, width="ULAW"),
    "a header of the longer kind": wav(TONE, kind="WAVEX"),
    "stereo": wav(np.stack([TONE, -TONE / 2], axis=1)),
    "eight channels": wav(np.stack([TONE] * 8, axis=1)),
    "at 8 kHz": wav(TONE, 8_000),
    "at 48 kHz": wav(TONE, 48_000),
    "at 192 kHz": wav(TONE, 192_000),
    "of a length not told": wav(TONE).replace(struct.pack("<4sI", b"data", 16_000), b"data\xff\xff\xff\xff"),
    "silence": wav(np.zeros(8_000)),
    "full scale": wav(np.sign(TONE)),
}
NOT_HEARD = {
    "empty": (b"", 400),
    "a header alone": (wav(TONE)[:44], 400),
    "no samples": (wav(np.zeros(0)), 400),
    "half a header": (wav(TONE)[:20], 400),
    "cut in the middle": (wav(TONE)[:5_000], 400),
    "at 100 Hz": (wav(TONE, 100), 400),
    "a rate of nought": (wav(TONE).replace(struct.pack("<I", 16_000), bytes(4), 1), 400),
    "a hundred channels": (wav(np.zeros((100, 100))), 400),
    "not numbers": (wav(np.full(1_000, np.nan), width="FLOAT"), 400),
    "beyond numbers": (wav(np.full(1_000, 1e300), width="DOUBLE"), 400),
    "compressed": (wav(TONE, width="IMA_ADPCM"), 400),
    "compressed as phones once did": (wav(TONE, width="GSM610"), 400),
    "compressed, and more than can be counted": (more_than_counted(36 * 40_000), 400),
    "another kind of file": (wav(TONE, kind="FLAC"), 400),
    "a kind that no recorder makes": (wav(TONE, kind="MAT4"), 400),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(500), 400),
    "words": (b"two ounces of gin\n" * 50, 400),
    "a minute": (wav(np.zeros(60 * 16_000)), 400),
    "an hour": (wav(np.zeros(60 * 60 * 8_000), 8_000, "PCM_U8"), 413),
}


@pytest.mark.parametrize("case", HEARD)
def test_sound_of_any_make_is_heard(ear: FlaskClient, case: str) -> None:
    """Whatever a recorder makes of a half a second, it is heard."""
    assert ear.post("/api/hear", data=HEARD[case], content_type="audio/wav").status_code == 200


@pytest.mark.parametrize("case", NOT_HEARD)
def test_what_is_no_sound_is_refused_in_a_sentence(ear: FlaskClient, case: str) -> None:
    """Each fault has its 4xx, and a sentence that says what to do."""
    data, status = NOT_HEARD[case]
    answer = ear.post("/api/hear", data=data, content_type="audio/wav")
    assert (answer.status_code, is_well(answer)) == (status, True), answer.get_json()


@settings(max_examples=200, deadline=None)
@given(
    name=st.sampled_from(sorted(HEARD)),
    hits=st.lists(st.tuples(st.integers(0, 119), st.binary(min_size=1, max_size=4)), max_size=6),
    keep=st.none() | st.integers(0, 200),
)
def test_a_damaged_recording_is_heard_or_refused(
    ear: FlaskClient, name: str, hits: list[tuple[int, bytes]], keep: int | None
) -> None:
    """Anything at all may stand in a header, and the end may be missing."""
    data = bytearray(HEARD[name])
    for at, junk in hits:
        data[at : at + len(junk)] = junk
    answer = ear.post("/api/hear", data=bytes(data[:keep]), content_type="audio/wav")
    assert is_well(answer)


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=500), kind=st.sampled_from(("audio/wav", "audio/l16", "application/octet-stream")))
def test_any_bytes_are_heard_or_refused(ear: FlaskClient, data: bytes, kind: str) -> None:
    """Also bytes that were never sound."""
    assert is_well(ear.post("/api/hear", data=data, content_type=kind))


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(wav(np.zeros(29 * 16_000)), id="the longest that is taken"),
        pytest.param(wav(np.zeros(5_900_000), 384_000, "PCM_U8"), id="the most samples that fit"),
        pytest.param(wav(np.zeros((180_000, 32)), 16_000, "PCM_U8"), id="the most channels"),
        pytest.param(wav(TONE)[:40] + struct.pack("<I", 0x7FFFFFFF) + bytes(900), id="two gigabytes announced"),
        pytest.param(b"RIFF\xff\xff\xff\xffWAVE" + b"junk\0\0\0\0" * 500_000, id="half a million parts"),
        pytest.param(bytes(MOST_BYTES), id="six megabytes of noughts"),
        pytest.param(bytes(2 * MOST_BYTES), id="twelve megabytes of noughts"),
    ],
)
def test_no_sound_takes_more_than_its_share_of_memory(ear: FlaskClient, data: bytes) -> None:
    """What a header promises costs nothing, and what a body holds costs a bounded multiple."""
    tracemalloc.start()
    answer = ear.post("/api/hear", data=data, content_type="audio/wav")
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert is_well(answer)
    assert peak < BOUNDED + 2 * len(data)  # the test client holds the body too


@pytest.mark.audio
def test_the_real_ear_takes_them_all_and_keeps_none(tmp_path: Path) -> None:
    """A server with its real recogniser hears or refuses each sound above, and leaves no file of what was said."""
    with a_served_process(tmp_path) as address:
        post(address, HEARD["silence"])
        before = sorted(tmp_path.rglob("*"))
        assert {case: post(address, data) for case, data in HEARD.items()} == dict.fromkeys(HEARD, 200)
        refused = {case: status for case, (_, status) in NOT_HEARD.items()}
        assert {case: post(address, data) for case, (data, _) in NOT_HEARD.items()} == refused
        assert sorted(tmp_path.rglob("*")) == before
    said = HEARD["32-bit"][1_000:1_200]
    assert [file for file in tmp_path.rglob("*") if file.is_file() and said in file.read_bytes()] == []


@contextmanager
def a_served_process(home: Path) -> Iterator[str]:
    """`serve` as a process whose home, working and temporary folders are one folder; its address."""
    command = [sys.executable, "-c", "from assistant.cli import main; main()", "serve", "--port", "0"]
    folders = dict.fromkeys(("HOME", "TMPDIR", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"), str(home))
    environment = (
        os.environ | folders | {"PYTHONUNBUFFERED": "1", "PREP_ASSISTANT_DATABASE": f"sqlite:///{home / 'db'}"}
    )
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment, cwd=home) as process:
        try:
            assert process.stdout
            yield process.stdout.readline().split()[-1]
        finally:
            process.terminate()


def post(address: str, data: bytes) -> int:
    """The status for a sound; a body that is refused unread may end the connection, which counts as 413."""
    try:
        request = urllib.request.Request(f"{address}api/hear", data, {"Content-Type": "audio/wav"})
        with urllib.request.urlopen(request, timeout=60) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refused:
        refused.close()
        return refused.code
    except urllib.error.URLError as cut_off:
        if not isinstance(cut_off.reason, ConnectionError):
            raise
        return 413
