"""What may be handed to the ear, and what is said of a file that cannot be heard."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray

from assistant.ears.base import RATE
from assistant.ears.errors import NotSound
from assistant.ears.sound import LONGEST_S, open_sound, raw_sound, wav_sound


def tone(seconds: float = 0.5, rate: int = RATE, hertz: float = 440) -> NDArray[np.float64]:
    """A tone at half of full scale."""
    return 0.5 * np.sin(2 * np.pi * hertz * np.arange(int(seconds * rate)) / rate)


def written(samples: NDArray[np.float64], rate: int = RATE, kind: str = "WAV", width: str = "PCM_16") -> bytes:
    """The samples as the bytes of a file."""
    file = io.BytesIO()
    soundfile.write(file, samples, rate, format=kind, subtype=width)
    return file.getvalue()


@pytest.mark.parametrize(
    ("kind", "width"),
    [
        ("WAV", "PCM_U8"),
        ("WAV", "PCM_16"),
        ("WAV", "PCM_24"),
        ("WAV", "PCM_32"),
        ("WAV", "FLOAT"),
        ("WAV", "DOUBLE"),
        ("WAVEX", "PCM_16"),
        ("FLAC", "PCM_16"),
        ("FLAC", "PCM_24"),
        ("OGG", "VORBIS"),
    ],
)
def test_a_recording_may_have_any_width(kind: str, width: str) -> None:
    """The same tone comes out of every kind of file, to within what the kind can hold."""
    sound = open_sound(written(tone(), kind=kind, width=width))
    assert sound.samples.dtype == np.float32
    assert np.abs(sound.samples - tone()).max() < 0.02


@pytest.mark.parametrize("rate", [8_000, 11_025, 22_050, 44_100, 48_000, 96_000])
def test_a_recording_may_have_any_rate(rate: int) -> None:
    """A tone recorded at another rate is the same tone for the recogniser, as long and as high."""
    sound = open_sound(written(tone(1.0, rate), rate))
    assert sound.seconds == pytest.approx(1.0, abs=0.01)
    middle = slice(RATE // 4, 3 * RATE // 4)
    assert np.abs(sound.samples[middle] - tone(1.0)[middle]).max() < 0.01


def test_channels_are_mixed_to_one() -> None:
    """A stereo recorder with speech on one side is heard, at half the level."""
    sides = np.stack([tone(), np.zeros_like(tone())], axis=1)
    assert np.abs(open_sound(written(sides)).samples - tone() / 2).max() < 0.001


def test_a_file_is_opened_by_its_path(tmp_path: Path) -> None:
    """A path, or its text, does as well as bytes."""
    file = tmp_path / "said.flac"
    file.write_bytes(written(tone(), kind="FLAC"))
    assert open_sound(file).seconds == open_sound(str(file)).seconds == 0.5


def test_raw_samples_are_heard() -> None:
    """The page sends bare 16-bit samples."""
    sound = raw_sound(np.array([0, 16384, -32768], "<i2").tobytes())
    assert sound.samples.tolist() == [0, 0.5, -1]


def no_data() -> bytes:
    """A WAV file that ends where its samples should begin."""
    return written(np.zeros(0))


def cut(kind: str) -> bytes:
    """A file of which the second half is lost."""
    whole = written(tone(2.0), kind=kind)
    return whole[: len(whole) // 2]


def not_numbers() -> bytes:
    """A file of floats, one of them no number."""
    samples = tone()
    samples[100] = np.nan
    return written(samples, width="FLOAT")


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        pytest.param(b"", "empty", id="nothing"),
        pytest.param(no_data(), "empty", id="no samples"),
        pytest.param(cut("WAV"), "ends before it should", id="half a WAV"),
        pytest.param(cut("FLAC"), "", id="half a FLAC"),
        pytest.param(written(tone())[:20], "", id="half a header"),
        pytest.param(b"two ounces of gin\n" * 40, "no recording", id="text"),
        pytest.param(b"\x89PNG\r\n\x1a\n" + bytes(200), "no recording", id="a picture"),
        pytest.param(written(tone(LONGEST_S + 1)), "31 s long", id="too long"),
        pytest.param(written(tone(0.5, 1_000), 1_000), "no rate for speech", id="too few samples a second"),
        pytest.param(not_numbers(), "no numbers", id="not numbers"),
        pytest.param(written(np.zeros((100, 40))), "40 channels", id="too many channels"),
    ],
)
def test_what_cannot_be_heard_is_refused_with_a_mend(data: bytes, problem: str) -> None:
    """Each fault of a file is told, and what to do about it."""
    with pytest.raises(NotSound) as refused:
        open_sound(data)
    assert problem in refused.value.problem
    assert refused.value.mend


@pytest.mark.parametrize(
    ("data", "problem"),
    [(b"", "empty"), (b"\0\0\0", "half a sample"), (bytes(2 * RATE * 31), "31 s long")],
    ids=["nothing", "an odd byte", "too long"],
)
def test_raw_samples_are_refused_with_a_mend(data: bytes, problem: str) -> None:
    """Raw samples have their own ways to be at fault."""
    with pytest.raises(NotSound) as refused:
        raw_sound(data)
    assert problem in refused.value.problem
    assert refused.value.mend


def test_a_streamed_recording_may_not_know_its_length() -> None:
    """A recorder that writes while it records leaves the size open; all that is there is heard."""
    data = bytearray(written(tone()))
    at = data.index(b"data") + 4
    struct.pack_into("<I", data, at, 0xFFFFFFFF)
    struct.pack_into("<I", data, 4, 0xFFFFFFFF)
    assert open_sound(bytes(data)).seconds == pytest.approx(0.5, abs=0.01)


def test_a_missing_file_is_the_callers_affair(tmp_path: Path) -> None:
    """A file that is not there is no fault of its sound."""
    with pytest.raises(FileNotFoundError):
        open_sound(tmp_path / "nothing.wav")


@pytest.mark.parametrize("width", ["IMA_ADPCM", "MS_ADPCM", "GSM610"])
def test_what_a_stranger_sends_compressed_is_not_even_opened(width: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its header is enough: what decodes such sound has known faults."""
    data, opened = written(tone(), width=width), []
    monkeypatch.setattr(soundfile, "SoundFile", lambda file: opened.append(file))
    with pytest.raises(NotSound, match="compressed"):
        wav_sound(data)
    assert not opened
