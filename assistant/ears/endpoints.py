"""Where speech begins and ends in a stream of sound, by the voice detector in PocketSphinx's wheel (WebRTC's)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import pocketsphinx as sphinx

from assistant.ears.base import RATE, Sound
from assistant.ears.levels import as_pcm
from assistant.ears.sound import LONGEST_S

FRAME_S = 0.03
WINDOW_S = 0.6  # how much is looked at to decide; so long a pause ends an utterance
SHARE = 0.8  # of the frames in it that must agree
STRICTNESS = 1  # 0 takes much for speech, 3 little


def utterances(pieces: Iterable[Sound], longest_s: float = LONGEST_S) -> Iterator[Sound]:
    """Each utterance in a stream, once the pause after it is heard; noise that never pauses is cut at `longest_s`."""
    detector = sphinx.Endpointer(WINDOW_S, SHARE, STRICTNESS, RATE, FRAME_S)
    spoken = bytearray()
    rest = b""
    for piece in pieces:
        rest += as_pcm(piece)
        while len(rest) > detector.frame_bytes:
            frame, rest = rest[: detector.frame_bytes], rest[detector.frame_bytes :]
            speech = detector.process(frame)
            spoken += speech or b""
            if spoken and (not detector.in_speech or len(spoken) > longest_s * RATE * 2):
                yield _sound(spoken)
                spoken.clear()
    spoken += (detector.end_stream(rest) if rest else None) or b""
    if spoken:
        yield _sound(spoken)


def _sound(pcm: bytes | bytearray) -> Sound:
    return Sound(np.frombuffer(bytes(pcm), "<i2").astype(np.float32) / np.float32(32768))
