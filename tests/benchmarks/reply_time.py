"""How long a question of three seconds takes, from the end of its sound to the reply, at a server of its own.

Prints a table. Run: python -m tests.benchmarks.reply_time

A sound is sent whole, as the page sends it, and the reply is awaited: the way through HTTP is in the time. Each is the
first in a conversation of its own; those lines of the demo scripts are taken that last about three seconds.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

import numpy as np
import soundfile

from assistant.ears.base import RATE, Sound
from demo_audio_scripts.speak import FEW, VOICES
from tests.assistant.served import served_alone
from tests.scripts import scripts
from tests.spoken import said_by

SHORTEST_S, LONGEST_S = 2.5, 3.5
ALLOWED_S, READY_WITHIN_S = 0.4, 3.0
TRY_AGAIN = frozenset({429, 503})


def main() -> None:
    """Print the table."""
    sounds = [sound for sound in _sounds() if SHORTEST_S <= sound.seconds <= LONGEST_S]
    with tempfile.TemporaryDirectory() as folder, _served(Path(folder)) as (address, ready_s):
        started = time.perf_counter()
        while _asked(address, sounds[0], "first") is None:
            time.sleep(0.1)
        hears_s = ready_s + time.perf_counter() - started
        took = [_asked(address, sound, f"asker {number}") or float("inf") for number, sound in enumerate(sounds)]
    print(f"{'':<44}{'seconds':>9}{'aim':>6}")
    print(f"{'from start to the first answer that is typed':<44}{ready_s:>9.2f}{READY_WITHIN_S:>6}")
    print(f"{'from start to the first answer that is heard':<44}{hears_s:>9.2f}{'-':>6}")
    length = np.mean([sound.seconds for sound in sounds])
    print(f"{f'{len(took)} sounds of {length:.1f} s, median':<44}{np.median(took):>9.2f}{ALLOWED_S:>6}")
    print(f"{'95th of a hundred':<44}{np.percentile(took, 95):>9.2f}{ALLOWED_S:>6}")
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")


def _sounds() -> Iterator[Sound]:
    for voice in VOICES[:FEW]:
        for lines in scripts().values():
            yield from (said_by(voice, line.say) for line in lines)


@contextmanager
def _served(folder: Path) -> Iterator[tuple[str, float]]:
    """A server's address, and how long it took to answer what is typed."""
    started = time.perf_counter()
    with served_alone(f"sqlite:///{folder / 'shift.db'}") as (_, address):
        body = json.dumps({"text": "what's in a gimlet", "conversation": "typed"}).encode()
        _reply(f"{address}api/ask", body, "application/json")
        yield address, time.perf_counter() - started


def _asked(address: str, sound: Sound, conversation: str) -> float | None:
    """Seconds until the reply to a sound; None while the server asks to try again."""
    file = BytesIO()
    soundfile.write(file, sound.samples, RATE, format="WAV", subtype="PCM_16")
    started = time.perf_counter()
    try:
        _reply(f"{address}api/hear?conversation={conversation.replace(' ', '-')}", file.getvalue(), "audio/wav")
    except urllib.error.HTTPError as refused:
        if refused.code in TRY_AGAIN:
            return None
        raise
    return time.perf_counter() - started


def _reply(address: str, body: bytes, kind: str) -> bytes:
    request = urllib.request.Request(address, body, {"Content-Type": kind})
    with urllib.request.urlopen(request, timeout=60) as answer:
        found: bytes = answer.read()
    return found


if __name__ == "__main__":
    main()
