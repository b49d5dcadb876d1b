"""The sound that the page sends: 16 kHz, nothing folded back into the voice, and a WAV file that others can read."""

from __future__ import annotations

import base64
import io
from typing import Any

import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray
from playwright.sync_api import Page

Samples = NDArray[Any]

RESAMPLED = """async ([hertz, rate, seconds]) => {
  const { resample } = await import('/static/sound.js');
  const turn = (2 * Math.PI * hertz) / rate;
  const tone = Float32Array.from({ length: rate * seconds }, (_, i) => 0.5 * Math.sin(turn * i));
  return [...resample(tone, rate)];
}"""
WRITTEN = """async (samples) => {
  const { wav } = await import('/static/sound.js');
  return btoa(String.fromCharCode(...new Uint8Array(wav(Float32Array.from(samples)))));
}"""


def middle(samples: list[float]) -> Samples:
    """The samples without the first and last 10 ms, where the filter runs in and out."""
    return np.array(samples[160:-160])


@pytest.mark.parametrize("rate", [8000, 16000, 22050, 44100, 48000, 96000])
def test_a_second_stays_a_second(page: Page, rate: int) -> None:
    """Whatever rate the sound card runs at, there are 16,000 samples a second."""
    assert len(page.evaluate(RESAMPLED, [440, rate, 1])) == 16000


@pytest.mark.parametrize("rate", [44100, 48000])
@pytest.mark.parametrize("hertz", [100, 440, 1000, 4000, 6000])
def test_the_voice_passes_unchanged(page: Page, rate: int, hertz: int) -> None:
    """A tone of the voice keeps its pitch, its place in time and its loudness to within 0.1 dB."""
    heard = middle(page.evaluate(RESAMPLED, [hertz, rate, 0.2]))
    wanted = 0.5 * np.sin(2 * np.pi * hertz * np.arange(160, 160 + len(heard)) / 16000)
    assert np.abs(heard - wanted).max() < 0.5 * (10 ** (0.1 / 20) - 1)


@pytest.mark.parametrize("rate", [44100, 48000])
@pytest.mark.parametrize("hertz", [9000, 10000, 12000, 15000])
def test_what_would_fold_back_is_gone(page: Page, rate: int, hertz: int) -> None:
    """A tone that 16 kHz cannot hold is at least 60 dB down: it would fold back as hiss over the voice."""
    heard = middle(page.evaluate(RESAMPLED, [hertz, rate, 0.2]))
    assert np.sqrt(np.mean(heard**2)) < np.sqrt(0.5) * 0.5 / 1000


def test_the_file_can_be_read_elsewhere(page: Page) -> None:
    """An independent reader of WAV files finds the samples, held to full scale where they go over it."""
    samples = [0.0, 0.25, -0.25, 1.0, -1.0, 1.7, -1.7]
    data = base64.b64decode(page.evaluate(WRITTEN, samples))
    with soundfile.SoundFile(io.BytesIO(data)) as file:
        assert (file.samplerate, file.channels, file.subtype, file.format) == (16000, 1, "PCM_16", "WAV")
        assert file.read() == pytest.approx([0, 0.25, -0.25, 1, -1, 1, -1], abs=1 / 32000)
