"""This machine's microphone, as a stream of sound."""

from __future__ import annotations

import queue
from collections.abc import Generator, Iterator
from typing import Any

import numpy as np
import soxr

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import NoMicrophone

PIECE_S = 0.06  # of each piece
STALE_S = 3.0  # without a sample: it was pulled out
NO_LIBRARY, INSTALL_IT = "the sound library PortAudio is not here", "install it (libportaudio2)"
PLUG_ONE_IN = "plug one in, or let this program use it, and try again"


def default_microphone() -> str:
    """The name of the microphone that is listened to. Raises NoMicrophone."""
    try:
        import sounddevice

        return str(sounddevice.query_devices(kind="input")["name"])
    except OSError as error:  # PortAudio itself is missing
        raise NoMicrophone(NO_LIBRARY, INSTALL_IT) from error
    except (sounddevice.PortAudioError, ValueError) as error:
        raise NoMicrophone("no microphone can be used", PLUG_ONE_IN) from error


def pieces() -> Generator[Sound, None, None]:
    """What the microphone hears, in pieces of PIECE_S, until nobody asks for more. Raises NoMicrophone."""
    try:
        import sounddevice
    except OSError as error:  # PortAudio itself is missing
        raise NoMicrophone(NO_LIBRARY, INSTALL_IT) from error
    waiting: queue.SimpleQueue[bytes] = queue.SimpleQueue()

    def keep(data: Any, frames: int, time: Any, status: Any) -> None:
        waiting.put(bytes(data))

    try:
        rate = int(sounddevice.query_devices(kind="input")["default_samplerate"])
        block = int(rate * PIECE_S)
        with sounddevice.RawInputStream(samplerate=rate, blocksize=block, channels=1, dtype="float32", callback=keep):
            yield from _at_our_rate(waiting, rate)
    except (sounddevice.PortAudioError, ValueError) as error:
        raise NoMicrophone(f"no microphone can be used: {error}", PLUG_ONE_IN) from error


def _at_our_rate(waiting: queue.SimpleQueue[bytes], rate: int) -> Iterator[Sound]:
    change = soxr.ResampleStream(rate, RATE, 1, dtype="float32")
    while True:
        try:
            data = waiting.get(timeout=STALE_S)
        except queue.Empty:
            raise NoMicrophone("the microphone has gone silent", PLUG_ONE_IN) from None
        samples = change.resample_chunk(np.frombuffer(data, np.float32))
        if len(samples):
            yield Sound(samples)
