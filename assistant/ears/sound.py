"""Opens recordings: any file that libsndfile reads, or raw samples, as one mono `Sound` at the recognisers' rate."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import NotSound

LONGEST_S = 30.0  # of one utterance: nobody asks a question for longer
RATES = (4_000, 384_000)  # samples a second: below, speech is lost; above, no recorder goes
MOST_CHANNELS = 32
UNTOLD = (0, 0x7FFFFFFF, 0xFFFFFFFF)  # sizes that a program writes into a WAV header while it does not know better


def open_sound(source: Path | str | bytes) -> Sound:
    """One utterance from a file, or from the bytes of one: WAV of any width, FLAC, and what else libsndfile reads.

    Channels are mixed to one and the rate is changed to RATE. Raises NotSound, or OSError for the file itself.
    """
    data = source if isinstance(source, bytes) else Path(source).read_bytes()
    if not data:
        raise NotSound("the recording is empty", "record it again")
    _refuse_cut_off(data)
    try:
        with soundfile.SoundFile(io.BytesIO(data)) as file:
            _refuse_unheard_of(file.samplerate, file.channels, file.frames)
            samples = file.read(dtype="float32", always_2d=True)
            told, rate = file.frames, file.samplerate
    except soundfile.LibsndfileError as error:
        raise NotSound("this is no recording that can be read", "save it as WAV or FLAC") from error
    if len(samples) < told:
        raise _cut_off()
    return _sound(samples.mean(axis=1).astype(np.float32), rate)


def raw_sound(data: bytes, rate: int = RATE) -> Sound:
    """One utterance from raw mono samples, 16-bit little-endian. Raises NotSound."""
    if not data:
        raise NotSound("the recording is empty", "record it again")
    if len(data) % 2:
        raise NotSound("the samples end in half a sample", "send 16-bit samples, two bytes each")
    _refuse_unheard_of(rate, 1, len(data) // 2)
    return _sound(np.frombuffer(data, "<i2").astype(np.float32) / np.float32(32768), rate)


def _sound(samples: NDArray[np.float32], rate: int) -> Sound:
    if not np.isfinite(samples).all():
        raise NotSound("the recording holds samples that are no numbers", "record it again")
    at_rate = samples if rate == RATE else soxr.resample(samples, rate, RATE)
    return Sound(np.ascontiguousarray(np.clip(at_rate, -1, 1), dtype=np.float32))


def _refuse_unheard_of(rate: int, channels: int, frames: int) -> None:
    """Refuse by the header alone, before anything is read into memory."""
    if frames <= 0:
        raise NotSound("the recording is empty", "record it again")
    if not RATES[0] <= rate <= RATES[1]:
        raise NotSound(f"{rate} samples a second is no rate for speech", f"record at {RATE}")
    if channels > MOST_CHANNELS:
        raise NotSound(f"the recording has {channels} channels", "record one or two")
    if frames > LONGEST_S * rate:
        raise NotSound(f"the recording is {frames / rate:.0f} s long", f"keep an utterance under {LONGEST_S:.0f} s")


def _refuse_cut_off(data: bytes) -> None:
    """Refuse a WAV file whose samples end before its header says; libsndfile would take what is there."""
    if data[:4] != b"RIFF" or data[8:12] != b"WAVE":
        return
    at = 12
    while at + 8 <= len(data):
        name, size = struct.unpack_from("<4sI", data, at)
        if name == b"data":
            if size not in UNTOLD and at + 8 + size > len(data):
                raise _cut_off()
            return
        at += 8 + size + size % 2


def _cut_off() -> NotSound:
    return NotSound("the recording ends before it should", "copy it again, or record it again")
