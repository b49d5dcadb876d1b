"""The phones of a sound, moment by moment, read by a small neural network: that of the package `hama`.

It was trained on other speech than PocketSphinx and hears in another way, so it errs elsewhere. It knows nothing of
words; what is said is found by `assistant.ears.phone_search`, with the pronunciations that all recognisers share.

Its weights are not those of the package's wheel, but what `tests/benchmarks/teaching` made of them for loud rooms; like
the package they are under the Apache License 2.0 (phones_in_noise.txt).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import Sound

WEIGHTS = Path(__file__).with_name("phones_in_noise.hama")  # laid out as hama 1.7 reads them
SPELT: Mapping[str, str] = tomllib.loads(Path(__file__).with_name("phones_spelt.toml").read_text(encoding="utf-8"))
PHONE_NUMBER: Mapping[str, int] = {phone: number for number, phone in enumerate(SPELT)}
QUIET_S = 0.25  # to put before and after a sound: a phone that it begins or ends with is missed
BETWEEN_WORDS, PAUSE = "<wb>", "<blank>"
FLOOR = 1e-3  # the least probability of anything: one moment misread does not rule a sentence out
SURELY_PAUSE = -0.01  # nats: where a pause is this likely, a few moments of it say as much as many
MOST_MOMENTS = 6  # left of one run


@dataclass(frozen=True, eq=False)
class PhoneReading:
    """How likely each phone is at each moment, and a pause: in nats behind what is likeliest there (0 or less)."""

    phones: NDArray[np.float32]  # moments x phones, as PHONE_NUMBER numbers them
    pause: NDArray[np.float32]  # moments


def is_here() -> bool:
    """Whether the package is installed, with its library for this kind of machine."""
    if find_spec("hama") is None:
        return False
    from hama import _engine

    return bool(_engine.available())


class PhoneReader:
    """Reads phones."""

    def __init__(self) -> None:
        from hama import ASRModel

        model = ASRModel(WEIGHTS)
        self._session = model.session
        symbols = {symbol: number for number, symbol in enumerate(model.decoder_tokens)}
        self._is_spelt = np.zeros((len(symbols), len(SPELT)), np.float32)
        for phone, spellings in SPELT.items():
            self._is_spelt[[symbols[symbol] for symbol in spellings.split()], PHONE_NUMBER[phone]] = 1
        self._pauses = [symbols[BETWEEN_WORDS], symbols[PAUSE]]

    def read(self, sound: Sound) -> PhoneReading:
        """The phones of one utterance, at the recognisers' level."""
        samples = sound.samples[np.newaxis]
        told, length = self._session.run(
            ["log_probs", "out_lengths"],
            {"waveform": samples, "waveform_lengths": np.array([samples.shape[1]], np.int64)},
        )
        likely = np.exp(told[0, : int(length[0])])
        phones = np.log(likely @ self._is_spelt + FLOOR)
        pause = np.log(likely[:, self._pauses].sum(axis=1) + FLOOR)
        best = np.maximum(phones.max(axis=1, initial=-np.inf), pause)
        return _without_long_pauses(phones - best[:, np.newaxis], pause - best)


def _without_long_pauses(phones: NDArray[np.float32], pause: NDArray[np.float32]) -> PhoneReading:
    """A few moments for each run of moments that are surely a pause: most of a sound is.

    Each moment left is the best of those that it stands for, so that a phone that was only hinted at keeps its chance.
    """
    surely = pause >= SURELY_PAUSE
    run = np.cumsum(np.concatenate([[True], surely[1:] != surely[:-1]]))
    place = np.arange(len(pause)) - np.searchsorted(run, run)  # in its run
    length = np.bincount(run)[run]
    part = np.where(surely, np.minimum(place * MOST_MOMENTS // length, place), place)
    firsts = np.flatnonzero(np.concatenate([[True], (run[1:] != run[:-1]) | (part[1:] != part[:-1])]))
    return PhoneReading(np.maximum.reduceat(phones, firsts), np.maximum.reduceat(pause, firsts))
