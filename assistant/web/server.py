"""The server that carries the app: cheroot, because it is made for production, small, and speaks TLS itself.

Flask's own server is for development; waitress speaks no TLS, and phones in the bar need https for their microphone. So
one server does for both this machine and the bar's network.
"""

from __future__ import annotations

import logging
import socket
import ssl
import sys
from dataclasses import dataclass

from cheroot.server import HTTPConnection
from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server
from flask import Flask

from assistant.web.body import MOST_BYTES
from assistant.web.certificate import Certificate

log = logging.getLogger(__name__)

PORT = 8462  # unless another is given
THREADS = 24  # answers at a time; most of them wait for a recogniser, which runs in a process of its own
QUEUE = 64  # connections that wait to be taken up: every phone of a house, at the same moment
IDLE = 64  # connections kept open between questions, so that phones need not greet anew
MOST_HEADER_BYTES = 32_768
TLS_HANDSHAKE = 22  # the first byte of a connection over TLS (RFC 8446, 5.1)
NOT_TLS = (
    b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain\r\nConnection: close\r\n\r\n"
    b"Put https:// before the address.\n"
)


class CannotServe(Exception):  # noqa: N818  # says what happened, not that it is an error
    """The address is taken, or not one of this machine. The cause is kept."""

    def __init__(self, host: str, port: int) -> None:
        super().__init__(host, port)
        self.host, self.port = host, port


class Logged(Server):
    """A server whose troubles go to the log, not to the terminal."""

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        """Write one line, with the traceback of what is handled if asked to; that a caller hung up is no trouble."""
        if isinstance(sys.exception(), (ConnectionError, ssl.SSLEOFError)):
            level, traceback = logging.INFO, False
        log.log(level, msg, exc_info=traceback)


class LaterHandshake(BuiltinSSLAdapter):
    """TLS whose handshake is left to the thread that answers.

    cheroot shakes hands where it takes up connections, so that one device which connects and stays silent keeps all
    others waiting for ten seconds.
    """

    def wrap(self, sock: socket.socket) -> tuple[ssl.SSLSocket, dict[str, str]]:
        """The socket, not greeted yet, and what requests over it are told."""
        wrapped = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return wrapped, {"wsgi.url_scheme": "https", "HTTPS": "on"}


class Greeting(HTTPConnection):
    """A connection that shakes hands before its first request."""

    greeted = False

    def communicate(self) -> bool:
        """Answer a request. True if the connection should be kept open."""
        if not self.greeted:
            self.greeted = self._greet()
        return self.greeted and bool(super().communicate())  # type: ignore[no-untyped-call]

    def _greet(self) -> bool:
        try:
            first = socket.socket.recv(self.socket, 1, socket.MSG_PEEK)
            if first and first[0] != TLS_HANDSHAKE:
                socket.socket.send(self.socket, NOT_TLS)
                return False
            self.socket.do_handshake()
        except OSError as error:
            log.info("%s broke off its greeting: %s", self.remote_addr, error)
            return False
        return True


@dataclass(frozen=True)
class Running:
    """A server that is bound and ready to be run, and where it is reached."""

    server: Server
    address: str

    def run(self) -> None:
        """Answer until stopped; Ctrl-C stops it."""
        try:
            self.server.serve()
        except KeyboardInterrupt:
            log.info("Stopped from the keyboard.")
        finally:
            self.server.stop()

    def stop(self) -> None:
        """End `run`, from another thread."""
        self.server.stop()


def bind(app: Flask, host: str, port: int, certificate: Certificate | None = None) -> Running:
    """Take the address; port 0 takes any that is free. Raises CannotServe."""
    server = Logged((host, port), app, numthreads=THREADS, request_queue_size=QUEUE)
    server.max_request_header_size = MOST_HEADER_BYTES
    server.max_request_body_size = 2 * MOST_BYTES  # the app refuses earlier, with a sentence; this bounds a lone chunk
    server.software = "prep assistant"  # and no version
    server.keep_alive_conn_limit = IDLE
    if certificate is not None:
        server.ssl_adapter = LaterHandshake(str(certificate.chain), str(certificate.key))
        server.ConnectionClass = Greeting
        server.ssl_adapter.context.minimum_version = ssl.TLSVersion.TLSv1_2
    try:
        server.prepare()
    except OSError as error:
        raise CannotServe(host, port) from error
    scheme = "https" if certificate else "http"
    where = f"[{host}]" if ":" in host else host
    return Running(server, f"{scheme}://{where}:{server.bind_addr[1]}/")
