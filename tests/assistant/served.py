"""The app on a real server, for as long as a test needs it."""

from __future__ import annotations

import os
import subprocess
import sys
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


@contextmanager
def served_alone(database: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The command `serve` in a process of its own: that process, and the address that it prints."""
    command = [sys.executable, "-c", "from assistant.cli import main; main()", "--database", database]
    process = subprocess.Popen(
        [*command, "serve", "--port", "0"],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )
    try:
        assert process.stdout
        yield process, process.stdout.readline().split()[-1]
    finally:
        process.kill()
        process.communicate()
