"""Requests that no browser sends, byte by byte over a real connection: refused, and the next one answered."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.web.server import MOST_HEADER_BYTES, Running
from tests.assistant.fakes import FakeServices
from tests.assistant.served import HERE, serving

HOST = b"Host: 127.0.0.1\r\n"
GET = b"GET / HTTP/1.1\r\n" + HOST
ASK = b"POST /api/ask HTTP/1.1\r\n" + HOST + b"Content-Type: application/json\r\n"
HEAR = b"POST /api/hear HTTP/1.1\r\n" + HOST + b"Content-Type: application/octet-stream\r\n"
CHUNKED = HEAR + b"Transfer-Encoding: chunked\r\n\r\n"
LONG = b"a" * (2 * MOST_HEADER_BYTES)

REQUESTS = {
    "no request at all": (b"\x00\xff\xfe hello\r\n\r\n", 400),
    "a greeting of TLS": (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(100) + b"\r\n\r\n", 400),
    "lines that end as in a text file": (b"GET / HTTP/1.1\nHost: 127.0.0.1\n\n", 400),
    "no host": (b"GET / HTTP/1.1\r\n\r\n", 400),
    "a host that is no text": (b"GET / HTTP/1.1\r\nHost: \xff\xfe\r\n\r\n", 400),
    "an address on another server": (b"GET http://elsewhere.example/ HTTP/1.1\r\n" + HOST + b"\r\n", 400),
    "a way through to another server": (b"CONNECT elsewhere.example:443 HTTP/1.1\r\n" + HOST + b"\r\n", 405),
    "a method that nobody knows": (b"BREW / HTTP/1.1\r\n" + HOST + b"\r\n", 405),
    "an endless address": (b"GET /" + LONG + b" HTTP/1.1\r\n" + HOST + b"\r\n", 414),
    "an endless header": (GET + b"X: " + LONG + b"\r\n\r\n", 413),
    "endless headers": (GET + b"".join(b"X%d: a\r\n" % number for number in range(9_000)) + b"\r\n", 413),
    "a negative length": (ASK + b"Content-Length: -5\r\n\r\n{}", 400),
    "a length in words": (ASK + b"Content-Length: two\r\n\r\n{}", 400),
    "no length": (ASK + b"\r\n", 400),
    "less than announced": (ASK + b'Content-Length: 50\r\n\r\n{"text": "undo"}', 400),
    "a gigabyte announced": (HEAR + b"Content-Length: 1000000000\r\n\r\n", 413),
    "more than a number can hold": (ASK + b"Content-Length: 99999999999999999999\r\n\r\n{}", 413),
    "a chunk that is no chunk": (CHUNKED + b"zz\r\nabc\r\n0\r\n\r\n", 400),
    "a chunk of negative length": (CHUNKED + b"-5\r\nabc\r\n0\r\n\r\n", 400),
    "a chunk of a terabyte": (CHUNKED + b"ffffffffff\r\nabc", 400),
    "a chunk cut short": (CHUNKED + b"5\r\nabc", 400),
    "a chunk with too much in it": (CHUNKED + b"2\r\nabcdef\r\n0\r\n\r\n", 400),
    "out of the folder": (b"GET /static/../../body.py HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "out of the folder, escaped": (b"GET /static/%2e%2e/%2e%2e/body.py HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "out of the folder, backwards": (b"GET /static/..%5c..%5cbody.py HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "out of the folder, to a file of the system": (b"GET /static/%2fetc%2fpasswd HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "a file with a nought in its name": (b"GET /static/page.js%00.png HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "escapes that are none": (b"GET /%zz%ff%80 HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "a header smuggled in": (b"GET /x%0d%0aSet-Cookie:x=1 HTTP/1.1\r\n" + HOST + b"\r\n", 404),
    "a query that is no text": (HEAR.replace(b"hear", b"hear?conversation=%ff") + b"Content-Length: 2\r\n\r\nab", 422),
    "a range that is none": (
        b"GET /static/page.js HTTP/1.1\r\n" + HOST + b"Range: bytes=5-2,99999999999999999999-\r\n\r\n",
        416,
    ),
}


@pytest.fixture(scope="module")
def services() -> FakeServices:
    """Canned replies."""
    return FakeServices()


@pytest.fixture(scope="module")
def server(services: FakeServices) -> Iterator[Running]:
    """A server of canned replies, the same for all."""
    with serving(services) as running:
        yield running


def sent(server: Running, data: bytes) -> tuple[int, bytes]:
    """The status and all of what comes back for these bytes; status 0 where the connection is just closed."""
    port = int(server.address.rstrip("/").rpartition(":")[2])
    with socket.create_connection((HERE, port), timeout=5) as connection:
        back = b""
        try:
            connection.sendall(data)
            connection.shutdown(socket.SHUT_WR)
            while part := connection.recv(65_536):
                back += part
        except TimeoutError:
            pytest.fail(f"no answer to {data[:100]!r}")
        except OSError:  # closed before all was sent, or with some of it unread
            pass
    return (int(back.split(b" ", 2)[1]) if back.startswith(b"HTTP/1.1 ") else 0), back


def is_alive(server: Running) -> bool:
    """Whether the next question is answered."""
    connection = http.client.HTTPConnection(server.address.removeprefix("http://").rstrip("/"), timeout=5)
    connection.request("POST", "/api/ask", json.dumps({"text": "next"}), {"Content-Type": "application/json"})
    status = connection.getresponse().status
    connection.close()
    return status == 200


@pytest.mark.parametrize("case", REQUESTS)
def test_it_is_refused_and_the_next_question_is_answered(server: Running, services: FakeServices, case: str) -> None:
    """Each is told what it is, none reaches the talk or reads a file, and none costs the server anything."""
    data, status = REQUESTS[case]
    services.asked.clear()
    got, back = sent(server, data)
    assert got == status or (got == 0 and len(data) > MOST_HEADER_BYTES), back[:200]
    assert b"root:" not in back
    assert b"Traceback" not in back
    assert services.asked == []
    assert is_alive(server)


TOKENS = st.sampled_from(
    (
        *(b"POST ", b"GET ", b"/api/ask", b"/api/hear", b" HTTP/1.1", b"\r\n", b"\r\n\r\n", b":", HOST, b"5\r\n"),
        *(b"Content-Length: ", b"Transfer-Encoding: chunked\r\n", b"Content-Type: application/json\r\n", b"Cookie: "),
        *(
            b"Expect: 100-continue\r\n",
            b"Connection: keep-alive\r\n",
            b'{"text": "next"}',
            b"0\r\n\r\n",
            b"\xff",
            b"\x00",
        ),
    )
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(TOKENS | st.binary(max_size=8), max_size=14).map(b"".join))
def test_any_bytes_at_all_leave_it_standing(server: Running, noise: bytes) -> None:
    """Pieces of requests in any order, with anything between them, end in an answer below 500 or in a closed line.

    501 and 505 are HTTP's own words for an encoding and a version that no server need speak.
    """
    status, back = sent(server, noise)
    assert status < 500 or status in (501, 505), back[:200]
    assert is_alive(server)
