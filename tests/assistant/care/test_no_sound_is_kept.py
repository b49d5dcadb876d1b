"""No sound is ever kept: whatever the server hears is gone when it has been answered."""

from __future__ import annotations

import io
import urllib.error
import urllib.request
import wave
from pathlib import Path

import numpy as np

from tests.assistant.running import PATIENCE_S, running

RATE = 16_000
SLICE = 64  # samples: so long a piece of noise is found by chance nowhere


def noise() -> np.ndarray[tuple[int], np.dtype[np.int16]]:
    """Two seconds of noise that is like no other."""
    return np.random.default_rng(20240301).integers(-9_000, 9_000, RATE * 2, dtype=np.int16)


def as_wav(samples: np.ndarray[tuple[int], np.dtype[np.int16]]) -> bytes:
    """A recording."""
    written = io.BytesIO()
    with wave.open(written, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    return written.getvalue()


def send(address: str, body: bytes, kind: str) -> int:
    """Have the server hear it; the status of its answer."""
    request = urllib.request.Request(f"{address}api/hear", body, {"Content-Type": kind})
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as error:
        return error.code


def test_nothing_that_was_heard_is_on_the_disk(tmp_path: Path) -> None:
    """After recordings and raw sound were heard, and the server ended, no file of its own has any piece of them."""
    samples = noise()
    own = {"HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path), "XDG_CACHE_HOME": str(tmp_path)}
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    with running(tmp_path, env={**own, "TMPDIR": str(scratch)}) as server:
        assert send(server.address, as_wav(samples), "audio/wav") in (200, 503)
        assert send(server.address, samples.tobytes(), "audio/l16") in (200, 503)
        assert server.ask("we're out of orgeat")["undo"], "it does write to this disk"
        files = [file for file in tmp_path.rglob("*") if file.is_file()]
        written = {file: file.read_bytes() for file in files}
    assert tmp_path / "shift.db" in written
    as_floats = (samples / np.float32(32_768)).astype(np.float32)
    pieces = [kind[at : at + SLICE].tobytes() for kind in (samples, as_floats) for at in range(0, RATE * 2, RATE // 4)]
    assert [file for file, data in written.items() if any(piece in data for piece in pieces)] == []
    assert [file for file in written if file.suffix in (".wav", ".raw", ".flac", ".ogg", ".webm")] == []
