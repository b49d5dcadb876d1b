"""The phone reader's neural network: sound in, how likely each symbol is at each moment out.

A conformer (Gulati et al., "Conformer: Convolution-augmented Transformer for Speech Recognition", 2020) of four blocks
over 80 log mel bands, one moment for two frames of 10 ms, without positions. Written out in NumPy since it is small: a
second of sound takes a tenth of the time that it takes in the package that the network comes from, on any machine that
NumPy is for. `tests/checks/test_phone_network.py` holds the two against each other.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

WINDOW, STEP = 400, 160  # samples of a frame, and from one to the next
FAINTEST = 1e-10  # power of a band
HEADS = 4  # of attention
NEARLY_ZERO = 1e-5  # variance that norms add
HANN = np.hanning(WINDOW + 1)[:-1].astype(np.float32)
Array = NDArray[np.float32]


class PhoneNetwork:
    """The network with its weights; safe to use from several threads."""

    def __init__(self, weights: Mapping[str, Array]) -> None:
        """Take tensors, by the names of `tests/benchmarks/teaching` and, of the filters, 'bands'."""
        self._weights = weights
        self._blocks = range(sum(name.endswith(".norm.weight") for name in weights))

    def likely(self, samples: Array) -> Array:
        """The probability of each symbol at each moment (moments x symbols), of samples at 16 kHz; one at least."""
        x = _gelu(self._halved(log_mel(samples, self._weights["bands"])))
        for block in self._blocks:
            x = self._block(x, f"blocks.{block}.")
        return _softmax(self._linear(x, "told"))

    def _halved(self, frames: Array) -> Array:
        """Convolution over three frames, at every second of them."""
        weight = self._weights["stem.weight"]  # width x bands x 3
        padded = np.pad(frames, ((1, 1), (0, 0)))
        moments = (len(frames) + 1) // 2
        halved = np.tile(self._weights["stem.bias"], (moments, 1))
        for at in range(weight.shape[2]):
            halved += padded[at : at + 2 * moments - 1 : 2] @ weight[:, :, at].T
        return halved

    def _block(self, x: Array, of: str) -> Array:
        """Half a feed-forward, attention, convolution, half a feed-forward, each added to what came in."""
        x = x + self._fed_forward(self._norm(x, f"{of}norm1"), f"{of}up1", f"{of}down1")
        x = x + self._attended(self._norm(x, f"{of}norm_a"), of)
        x = x + self._convolved(self._norm(x, f"{of}norm_c"), of)
        x = x + self._fed_forward(self._norm(x, f"{of}norm2"), f"{of}up2", f"{of}down2")
        return self._norm(x, f"{of}norm")

    def _fed_forward(self, x: Array, up: str, down: str) -> Array:
        return self._linear(_silu(self._linear(x, up)), down) * np.float32(0.5)

    def _attended(self, x: Array, of: str) -> Array:
        q, k, v = np.split(self._linear(x, f"{of}qkv").reshape(len(x), 3 * HEADS, -1).swapaxes(0, 1), 3)
        scale = np.float32(1 / np.sqrt(q.shape[-1]))
        seen = _softmax(q @ k.swapaxes(1, 2) * scale) @ v
        return self._linear(seen.swapaxes(0, 1).reshape(x.shape), f"{of}out")

    def _convolved(self, x: Array, of: str) -> Array:
        value, gate = np.split(self._linear(x, f"{of}gated"), 2, axis=1)
        along = self._weights[f"{of}along.weight"][:, 0].T  # steps x width: each column has a filter of its own
        reach = len(along) // 2
        padded = np.pad(value * _sigmoid(gate), ((reach, reach), (0, 0)))
        filtered = np.einsum("mws,sw->mw", sliding_window_view(padded, len(along), axis=0), along)
        return self._linear(_silu(filtered + self._weights[f"{of}along.bias"]), f"{of}mixed")

    def _linear(self, x: Array, name: str) -> Array:
        weight = self._weights[f"{name}.weight"]
        y: Array = x @ weight.reshape(len(weight), -1).T + self._weights[f"{name}.bias"]
        return y

    def _norm(self, x: Array, name: str) -> Array:
        middle = x - x.mean(axis=1, keepdims=True)
        spread = np.sqrt(np.square(middle).mean(axis=1, keepdims=True) + np.float32(NEARLY_ZERO))
        y: Array = middle / spread * self._weights[f"{name}.weight"] + self._weights[f"{name}.bias"]
        return y


def log_mel(samples: Array, bands: Array) -> Array:
    """What the network hears of samples at 16 kHz: the power in each band of each frame, as its logarithm."""
    padded = np.pad(samples, WINDOW // 2, mode="reflect" if len(samples) > WINDOW // 2 else "constant")
    frames = sliding_window_view(padded, WINDOW)[::STEP] * HANN
    power = np.square(np.abs(np.fft.rfft(frames))).astype(np.float32)
    mel: Array = np.log(np.maximum(power @ bands, np.float32(FAINTEST)))
    return mel


def _sigmoid(x: Array) -> Array:
    y: Array = np.reciprocal(1 + np.exp(-np.clip(x, -80, 80)))
    return y


def _silu(x: Array) -> Array:
    return x * _sigmoid(x)


def _gelu(x: Array) -> Array:
    """By the error function, which NumPy lacks, as a rational approximation (Abramowitz and Stegun, 7.1.26)."""
    z = np.abs(x) / np.float32(np.sqrt(2))
    t = 1 / (1 + np.float32(0.3275911) * z)
    series = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    error = np.sign(x) * (1 - series * np.exp(-z * z))
    y: Array = (x * (1 + error) / 2).astype(np.float32)
    return y


def _softmax(x: Array) -> Array:
    y = np.exp(x - x.max(axis=-1, keepdims=True))
    share: Array = y / y.sum(axis=-1, keepdims=True)
    return share
