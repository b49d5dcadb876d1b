"""The server that carries the app: cheroot, because it is made for production, small, and speaks TLS itself.

Flask's own server is for development; waitress speaks no TLS, and phones in the bar need https for their microphone. So
one server does for both this machine and the bar's network.
"""

from __future__ import annotations

import logging
import ssl
from dataclasses import dataclass

from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server
from flask import Flask

from assistant.web.certificate import Certificate

log = logging.getLogger(__name__)

THREADS = 8  # answers at a time; decoding runs in processes of its own


class CannotServe(Exception):  # noqa: N818  # says what happened, not that it is an error
    """The address is taken, or not one of this machine. The cause is kept."""

    def __init__(self, host: str, port: int) -> None:
        super().__init__(host, port)
        self.host, self.port = host, port


class Logged(Server):
    """A server whose troubles go to the log, not to the terminal."""

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        """Write one line, and the traceback of what is being handled if asked to."""
        log.log(level, msg, exc_info=traceback)


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
    server = Logged((host, port), app, numthreads=THREADS)
    if certificate is not None:
        server.ssl_adapter = BuiltinSSLAdapter(str(certificate.chain), str(certificate.key))
        server.ssl_adapter.context.minimum_version = ssl.TLSVersion.TLSv1_2
    try:
        server.prepare()
    except OSError as error:
        raise CannotServe(host, port) from error
    scheme = "https" if certificate else "http"
    where = f"[{host}]" if ":" in host else host
    return Running(server, f"{scheme}://{where}:{server.bind_addr[1]}/")
