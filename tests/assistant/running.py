"""The server as people run it: a process of its own, asked over HTTP, and ended without warning."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PATIENCE_S = 60.0  # for one answer, on a busy machine
COMMAND = (sys.executable, "-c", "from assistant.cli import main; main()")


@dataclass(frozen=True)
class Server:
    """One that is running."""

    process: subprocess.Popen[str]
    address: str

    def ask(self, text: str, conversation: str = "page") -> dict[str, Any]:
        """The reply to a typed question. Raises OSError when the server is gone before it has answered."""
        return self.post("api/ask", {"text": text, "conversation": conversation})

    def post(self, path: str, body: Mapping[str, str]) -> dict[str, Any]:
        """The answer to a body in JSON; HTTPError, which is an OSError, for one that is a refusal."""
        head = {"Content-Type": "application/json"}
        request = urllib.request.Request(f"{self.address}{path}", json.dumps(body).encode(), head)
        with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
            reply: dict[str, Any] = json.load(answer)
        return reply

    def kill(self) -> None:
        """End it as a power cut does."""
        self.process.kill()
        self.process.wait()


@contextmanager
def running(
    folder: Path, before: Sequence[str] = (), env: Mapping[str, str] | None = None, log: Path | None = None
) -> Iterator[Server]:
    """`serve` on the database shift.db of a folder, killed at the end; `before` is what the command is run by."""
    database = f"sqlite:///{folder / 'shift.db'}"
    command = [*before, *COMMAND, "--database", database, "serve", "--port", "0", "--log", str(log or folder / "log")]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1", **(env or {})},
    )
    try:
        assert process.stdout is not None
        address = process.stdout.readline().split()[-1]
        yield Server(process, address)
    finally:
        process.kill()
        process.communicate()
