"""This machine's microphone, or a plain word that there is none."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import sounddevice

from assistant.ears import microphone
from assistant.ears.base import Sound
from assistant.ears.errors import NoMicrophone


class Plugged:
    """A sound card that hands over a few blocks and then falls silent."""

    def __init__(self, callback: Any, blocksize: int, **_: Any) -> None:
        self._callback, self._blocksize = callback, blocksize

    def __enter__(self) -> Plugged:
        for _ in range(20):
            self._callback(np.full(self._blocksize, 0.25, np.float32).tobytes(), self._blocksize, None, None)
        return self

    def __exit__(self, *_: object) -> None:
        pass


def test_no_microphone_is_told_with_a_mend(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the sound system says, and what to do."""

    def none(**_: str) -> None:
        raise sounddevice.PortAudioError("Error querying device -1")

    monkeypatch.setattr(sounddevice, "query_devices", none)
    with pytest.raises(NoMicrophone) as refused:
        next(microphone.pieces())
    assert "plug one in" in refused.value.mend


def test_what_it_hears_comes_at_the_recognisers_rate_until_it_is_pulled_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """48,000 samples a second become 16,000; a cable that comes loose is told."""
    monkeypatch.setattr(sounddevice, "query_devices", lambda **_: {"default_samplerate": 48_000.0})
    monkeypatch.setattr(sounddevice, "RawInputStream", Plugged)
    monkeypatch.setattr(microphone, "STALE_S", 0.05)
    heard: list[Sound] = []
    with pytest.raises(NoMicrophone, match="silent"):
        heard.extend(microphone.pieces())
    assert sum(piece.seconds for piece in heard) == pytest.approx(20 * microphone.PIECE_S, abs=0.05)
    assert heard[-1].samples[-1] == pytest.approx(0.25, abs=0.01)
