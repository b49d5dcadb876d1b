"""The app on a real server, for as long as a test needs it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask

from assistant.services import Services as Bar
from assistant.web import create_app
from assistant.web.certificate import Certificate
from assistant.web.hands_free import Services
from assistant.web.pairing import Pairing
from assistant.web.server import Running, bind

HERE = "127.0.0.1"


@contextmanager
def serving(
    services: Services, port: int = 0, certificate: Certificate | None = None, pairing: Pairing | None = None
) -> Iterator[Running]:
    """The app on 127.0.0.1, answering in a thread of its own."""
    office = services if isinstance(services, Bar) else None
    with serving_app(create_app(services, pairing=pairing, office=office), port, certificate) as running:
        yield running


@contextmanager
def serving_app(app: Flask, port: int = 0, certificate: Certificate | None = None) -> Iterator[Running]:
    """An app of the test's own making, answering in the same way."""
    running = bind(app, HERE, port, certificate)
    thread = threading.Thread(target=running.run)
    thread.start()
    try:
        yield running
    finally:
        running.stop()
        thread.join()
