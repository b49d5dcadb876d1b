"""The server itself: real connections, with and without TLS."""

from __future__ import annotations

import gc
import http.client
import json
import logging
import socket
import ssl
import struct
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from assistant.web import create_app
from assistant.web.certificate import certificate_for
from assistant.web.server import CannotServe, Running, bind
from tests.assistant.fakes import FakeServices
from tests.assistant.served import HERE, serving

leaves_a_socket = pytest.mark.filterwarnings(  # cheroot leaves the socket that it could not bind to the collector
    "ignore::pytest.PytestUnraisableExceptionWarning"
)


@pytest.fixture(autouse=True)
def collected() -> Iterator[None]:
    """What a test leaves behind is collected within that test."""
    yield
    gc.collect()


def port_of(running: Running) -> int:
    """The port in its address."""
    return int(running.address.rstrip("/").rpartition(":")[2])


def test_sound_may_come_in_chunks() -> None:
    """A program that does not know yet how long the sound will be sends it in pieces."""
    services = FakeServices()
    with serving(services) as running:
        connection = http.client.HTTPConnection(HERE, port_of(running), timeout=5)
        pieces = (bytes(3200) for _ in range(10))
        headers = {"Content-Type": "application/octet-stream"}
        connection.request("POST", "/api/hear", body=pieces, headers=headers, encode_chunked=True)
        assert json.load(connection.getresponse())["say"]
        connection.close()
    assert services.sounds[0].seconds == 1


def test_the_network_is_served_over_tls(tmp_path: Path) -> None:
    """A client that trusts the certificate made on the spot is answered over TLS 1.2 or newer."""
    certificate = certificate_for(HERE, tmp_path)
    trusting = ssl.create_default_context(cafile=str(certificate.chain))
    with serving(FakeServices(), certificate=certificate) as running:
        assert running.address.startswith("https://")
        connection = http.client.HTTPSConnection(HERE, port_of(running), timeout=5, context=trusting)
        connection.request("GET", "/api/health")
        assert json.load(connection.getresponse())["ready"] is True
        assert connection.sock.version() in {"TLSv1.2", "TLSv1.3"}
        connection.close()


@contextmanager
def silent(address: tuple[str, int], count: int, first: bytes = b"") -> Iterator[None]:
    """Connections that say nothing, or begin and say no more."""
    with ExitStack() as opened:
        for _ in range(count):
            opened.enter_context(socket.create_connection(address)).sendall(first)
        yield


@pytest.mark.parametrize("first", [b"", b"\x16\x03\x01"], ids=["nothing", "half a greeting"])
def test_who_connects_and_stays_silent_keeps_nobody_waiting(tmp_path: Path, first: bytes) -> None:
    """A few phones with poor reception leave the others answered at once, over TLS too."""
    certificate = certificate_for(HERE, tmp_path)
    trusting = ssl.create_default_context(cafile=str(certificate.chain))
    with serving(FakeServices(), certificate=certificate) as running, silent((HERE, port_of(running)), 10, first):
        connection = http.client.HTTPSConnection(HERE, port_of(running), timeout=5, context=trusting)
        connection.request("GET", "/api/health")
        assert connection.getresponse().status == 200
        connection.close()


def test_who_hangs_up_is_no_trouble(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """A phone that is put away in the middle of an answer leaves no warning; the next one is answered."""
    certificate = certificate_for(HERE, tmp_path)
    trusting = ssl.create_default_context(cafile=str(certificate.chain))
    with serving(FakeServices(), certificate=certificate) as running, caplog.at_level(logging.WARNING):
        for _ in range(5):
            with trusting.wrap_socket(socket.create_connection((HERE, port_of(running))), server_hostname=HERE) as line:
                line.sendall(b"GET /static/page.css HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # gone without a word
        connection = http.client.HTTPSConnection(HERE, port_of(running), timeout=5, context=trusting)
        connection.request("GET", "/api/health")
        assert connection.getresponse().status == 200
        connection.close()
    assert caplog.records == []


def test_who_forgets_the_s_of_https_is_told(tmp_path: Path) -> None:
    """A plain connection to the secure port gets a sentence, and a greeting that is none is dropped."""
    with serving(FakeServices(), certificate=certificate_for(HERE, tmp_path)) as running:
        connection = http.client.HTTPConnection(HERE, port_of(running), timeout=5)
        connection.request("GET", "/")
        answer = connection.getresponse()
        assert (answer.status, answer.read()) == (400, b"Put https:// before the address.\n")
        connection.close()
        with socket.create_connection((HERE, port_of(running)), timeout=5) as garbled:
            garbled.sendall(b"\x16" + bytes(200))
            while garbled.recv(100):
                pass


@leaves_a_socket
def test_a_taken_port_is_said_so() -> None:
    """Two servers cannot share a port; the second learns which one is taken."""
    app = create_app(FakeServices())
    with serving(FakeServices()) as running, pytest.raises(CannotServe) as refused:
        bind(app, HERE, port_of(running))
    assert refused.value.port == port_of(running)


@leaves_a_socket
def test_an_address_of_another_machine_is_said_so() -> None:
    """An address that this machine does not have cannot be served."""
    with pytest.raises(CannotServe):
        bind(create_app(FakeServices()), "198.51.100.7", 0)
