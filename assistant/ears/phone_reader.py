"""The phones of a sound, moment by moment, read by a small neural network (`phone_network`).

It was trained on other speech than PocketSphinx and hears in another way, so it errs elsewhere. It knows nothing of
words; what is said is found by `assistant.ears.phone_search`, with the pronunciations that all recognisers share.

Network and weights come from the package `hama` (Apache License 2.0); `tests/benchmarks/teaching` made of its weights,
for loud rooms, those that are read here (phones_in_noise.txt).
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import Sound
from assistant.ears.phone_network import PhoneNetwork

WEIGHTS = Path(__file__).with_name("phones_in_noise.npz")
SPELT: Mapping[str, str] = tomllib.loads(Path(__file__).with_name("phones_spelt.toml").read_text(encoding="utf-8"))
PHONE_NUMBER: Mapping[str, int] = {phone: number for number, phone in enumerate(SPELT)}
MOMENT_S = 0.02
QUIET_S = 0.25  # to put before and after a sound: a phone that it begins or ends with is missed
BETWEEN_WORDS, PAUSE = "<wb>", "<blank>"
FLOOR = 3e-4  # the least probability of anything: one moment misread does not rule a sentence out

# Nats by which a pause counts less than it is read as likely. Four fifths of all moments are pauses to such a network,
# so whatever the room hides it takes for one, and short sentences would win. Hybrid recognisers divide by how common
# each symbol is (Bourlard and Morgan, 1994; for networks like this one Miao, Gowayyed and Metze, 2015); of that the
# pause's part is what helps here.
PAUSE_COUNTS_LESS = 2.0
SURELY_PAUSE = -0.01  # nats: where a pause is this likely, a few moments of it say as much as many
MOST_MOMENTS = 6  # left of one run


@dataclass(frozen=True, eq=False)
class PhoneReading:
    """How each phone counts at each moment, and a pause: in nats behind what counts most there (0 or less)."""

    phones: NDArray[np.float32]  # moments x phones, as PHONE_NUMBER numbers them
    pause: NDArray[np.float32]  # moments


@cache
def taught() -> Mapping[str, NDArray[Any]]:
    """The weights that ship: those of `PhoneNetwork`, and 'symbols', what it tells, in its order."""
    with np.load(WEIGHTS) as kept:
        return {name: kept[name].astype(np.float32) if kept[name].dtype == np.float16 else kept[name] for name in kept}


class PhoneReader:
    """Reads phones."""

    def __init__(self, weights: Mapping[str, NDArray[Any]] | None = None) -> None:
        """Take weights that are laid out as `taught` tells them; those, if none are given."""
        weights = taught() if weights is None else weights
        self._network = PhoneNetwork(weights)
        symbols = {symbol: number for number, symbol in enumerate(weights["symbols"].tolist())}
        self._is_spelt = np.zeros((len(symbols), len(SPELT)), np.float32)
        for phone, spellings in SPELT.items():
            self._is_spelt[[symbols[symbol] for symbol in spellings.split()], PHONE_NUMBER[phone]] = 1
        self._pauses = [symbols[BETWEEN_WORDS], symbols[PAUSE]]

    def read(self, sound: Sound) -> PhoneReading:
        """The phones of one utterance, at the recognisers' level; long pauses are made short."""
        return _without_long_pauses(self.moments(sound))

    def moments(self, sound: Sound) -> PhoneReading:
        """The same with all its moments, one for MOMENT_S."""
        likely = self._network.likely(sound.samples)
        phones = np.log(likely @ self._is_spelt + FLOOR)
        pause = np.log(likely[:, self._pauses].sum(axis=1) + FLOOR) - np.float32(PAUSE_COUNTS_LESS)
        best = np.maximum(phones.max(axis=1, initial=-np.inf), pause)
        return PhoneReading(phones - best[:, np.newaxis], pause - best)


def _without_long_pauses(reading: PhoneReading) -> PhoneReading:
    """A few moments for each run of moments that are surely a pause: most of a sound is.

    Each moment left is the best of those that it stands for, so that a phone that was only hinted at keeps its chance.
    """
    phones, pause = reading.phones, reading.pause
    surely = pause >= SURELY_PAUSE
    run = np.cumsum(np.concatenate([[True], surely[1:] != surely[:-1]]))
    place = np.arange(len(pause)) - np.searchsorted(run, run)  # in its run
    length = np.bincount(run)[run]
    part = np.where(surely, np.minimum(place * MOST_MOMENTS // length, place), place)
    firsts = np.flatnonzero(np.concatenate([[True], (run[1:] != run[:-1]) | (part[1:] != part[:-1])]))
    return PhoneReading(np.maximum.reduceat(phones, firsts), np.maximum.reduceat(pause, firsts))
