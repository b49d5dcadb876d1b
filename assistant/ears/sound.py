"""Opens recordings: any file that libsndfile reads, or raw samples, as one mono `Sound` at the recognisers' rate."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
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
MOST_FILE_BYTES = 100_000_000  # half a minute in stereo at the highest rate, in 32 bits
BLOCK = 65_536  # frames read at a time
RIFF = frozenset({"WAV", "WAVEX"})
PLAIN = frozenset({"PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE", "ULAW", "ALAW"})  # kinds of WAV
PLAIN_TAGS = frozenset({1, 3, 6, 7})  # the same, as a WAV header tells them (RFC 2361): PCM, floats, A-law and mu-law
EXTENSIBLE, ITS_TAG_AT = 0xFFFE, 24  # a header that tells its kind further on
UNTOLD = (0, 0x7FFFFFFF, 0xFFFFFFFF)  # sizes that a program writes into a WAV header while it does not know better


def open_sound(source: Path | str | bytes) -> Sound:
    """One utterance from a file, or from the bytes of one: WAV of any width, FLAC, and what else libsndfile reads.

    Channels are mixed to one and the rate is changed to RATE. Raises NotSound, or OSError for the file itself.
    """
    data = source if isinstance(source, bytes) else _file_bytes(Path(source))
    if not data:
        raise NotSound("the recording is empty", "record it again")
    _refuse_cut_off(data)
    try:
        with soundfile.SoundFile(io.BytesIO(data)) as file:
            return _read(file)
    except soundfile.LibsndfileError as error:
        raise _unreadable() from error


def _file_bytes(path: Path) -> bytes:
    """All of a file that could be one utterance. Raises NotSound, before it is read, for one that could not."""
    size = path.stat().st_size
    if size > MOST_FILE_BYTES:
        raise NotSound(f"the file holds {size // 1_000_000} MB", f"keep an utterance under {LONGEST_S:.0f} s")
    return path.read_bytes()


def wav_sound(data: bytes) -> Sound:
    """One utterance from the bytes of a WAV file of plain samples. Raises NotSound.

    For senders who are not known: of all that libsndfile can decode, only what needs no decoding reaches it.
    """
    if data and not _is_wav(data):
        raise NotSound("this is no WAV file", "send WAV, or raw 16-bit samples")
    if not all(_tag(data, at, size) in PLAIN_TAGS for name, at, size in _chunks(data) if name == b"fmt "):
        raise NotSound("the samples are compressed", "send WAV of plain samples, or raw 16-bit samples")
    return open_sound(data)


def _is_wav(data: bytes) -> bool:
    return data[:4] == b"RIFF" and data[8:12] == b"WAVE"


def _chunks(data: bytes) -> Iterator[tuple[bytes, int, int]]:
    """Of a WAV file up to its samples: the name of each part, where it begins, and its size by its own word."""
    at, name = 8 + len(b"WAVE"), b""
    while at + 8 <= len(data) and name != b"data":
        name, size = struct.unpack_from("<4sI", data, at)
        yield name, at + 8, size
        at += 8 + size + size % 2


def _tag(data: bytes, at: int, size: int) -> int | None:
    """The kind of samples that a header at this place tells of; None where it is too short to tell."""
    part = data[at : at + size]
    tag = int.from_bytes(part[:2], "little") if len(part) > 1 else None
    if tag == EXTENSIBLE:
        return int.from_bytes(part[ITS_TAG_AT : ITS_TAG_AT + 2], "little")
    return tag


def _read(file: soundfile.SoundFile) -> Sound:
    """The samples, mixed to one channel block by block, so that many channels take no more memory than one."""
    _refuse_unheard_of(file.samplerate, file.channels, file.frames)
    if (file.format in RIFF and file.subtype not in PLAIN) or not file.seekable():
        raise _unreadable()
    samples, filled = np.empty(file.frames, np.float32), 0
    with np.errstate(over="ignore", invalid="ignore"):  # floats beyond all bounds are refused below
        for block in file.blocks(BLOCK, dtype="float32", always_2d=True):
            block.mean(axis=1, out=samples[filled : filled + len(block)])
            filled += len(block)
    if filled < len(samples):
        raise _cut_off()
    return _sound(samples, file.samplerate)


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
    np.clip(samples, -1, 1, out=samples)
    at_rate = samples if rate == RATE else np.clip(soxr.resample(samples, rate, RATE), -1, 1)
    if not len(at_rate):
        raise NotSound("the recording is empty", "record it again")
    return Sound(np.ascontiguousarray(at_rate, dtype=np.float32))


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
    samples = next(((at, size) for name, at, size in _chunks(data) if name == b"data"), None) if _is_wav(data) else None
    if samples and samples[1] not in UNTOLD and sum(samples) > len(data):
        raise _cut_off()


def _unreadable() -> NotSound:
    return NotSound("this is no recording that can be read", "save it as WAV or FLAC")


def _cut_off() -> NotSound:
    return NotSound("the recording ends before it should", "copy it again, or record it again")
