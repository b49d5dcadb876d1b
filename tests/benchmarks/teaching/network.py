"""The phone reader's network, in PyTorch: read from the file that the package `hama` 1.7 ships, and written as one.

A conformer (Gulati et al., 2020) of four blocks over 80 log mel bands, every second frame of 10 ms, without positions.
What PyTorch makes of it and what the package does agree to 0.001 in every probability.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812  # as everyone calls it
from numpy.typing import NDArray
from torch import Tensor, nn

WIDTH, HEADS, BLOCKS, BANDS, SYMBOLS, REACH = 144, 4, 4, 80, 191, 15
WINDOW, STEP = 400, 160  # samples
FAINTEST = 1e-10
KINDS = (np.float32, np.float16)  # as the file numbers them
Arrays = Mapping[str, NDArray[np.float32]]

# What the file calls our tensors: {} is the block, and numbers rise from block to block by what is told.
NORMS = {"norm1": "ffn1.norm", "norm_a": "attn_norm", "norm_c": "conv.norm", "norm2": "ffn2.norm", "norm": "norm"}
BIASES = {"up1": "ffn1.fc1", "down1": "ffn1.fc2", "up2": "ffn2.fc1", "down2": "ffn2.fc2", "out": "attn.out_proj"}
MATRICES = {"up1": 829, "down1": 830, "qkv": 831, "out": 835, "up2": 836, "down2": 837}
MATRICES_RISE, DEPTHWISE, DEPTHWISE_RISES = 9, 804, 3


@dataclass(frozen=True)
class Part:
    """One tensor of a file, and where it stands."""

    name: str
    kind: int
    shape: tuple[int, ...]
    at: int  # in bytes from the beginning of the file
    size: int


def parts(file: bytes) -> Iterator[Part]:
    """What a file of weights holds."""
    if file[:6] != b"HAMAPK":
        raise ValueError("this is no file of weights of the package hama")
    (count,), place, found = struct.unpack_from("<I", file, 8), 12, []
    for _ in range(count):
        (length,) = struct.unpack_from("<H", file, place)
        name = file[place + 2 : place + 2 + length].decode()
        place += 2 + length
        kind, axes = file[place], file[place + 1]
        shape = struct.unpack_from(f"<{axes}I", file, place + 2)
        at, size = struct.unpack_from("<QQ", file, place + 2 + 4 * axes)
        place += 18 + 4 * axes
        found.append(Part(name, kind, shape, at, size))
    begin = len(file) - max(part.at + part.size for part in found)
    return (Part(part.name, part.kind, part.shape, begin + part.at, part.size) for part in found)


def arrays(file: bytes) -> Arrays:
    """The tensors by the names that the file gives them."""
    return {
        part.name: np.frombuffer(file[part.at : part.at + part.size], KINDS[part.kind])
        .reshape(part.shape)
        .astype(np.float32)
        for part in parts(file)
    }


class Block(nn.Module):
    """One block: half a feed-forward, attention, convolution, half a feed-forward, each added to what came in."""

    def __init__(self) -> None:
        super().__init__()
        self.norm1, self.up1, self.down1 = nn.LayerNorm(WIDTH), nn.Linear(WIDTH, 4 * WIDTH), nn.Linear(4 * WIDTH, WIDTH)
        self.norm_a, self.qkv, self.out = nn.LayerNorm(WIDTH), nn.Linear(WIDTH, 3 * WIDTH), nn.Linear(WIDTH, WIDTH)
        self.norm_c, self.gated, self.mixed = (
            nn.LayerNorm(WIDTH),
            nn.Linear(WIDTH, 2 * WIDTH),
            nn.Linear(WIDTH, WIDTH),
        )
        self.along = nn.Conv1d(WIDTH, WIDTH, 2 * REACH + 1, padding=REACH, groups=WIDTH)
        self.norm2, self.up2, self.down2 = nn.LayerNorm(WIDTH), nn.Linear(WIDTH, 4 * WIDTH), nn.Linear(4 * WIDTH, WIDTH)
        self.norm = nn.LayerNorm(WIDTH)

    def forward(self, x: Tensor, is_sound: Tensor, dropped: float) -> Tensor:
        """Moments x width; `is_sound` is false for what fills up a shorter sound of a batch."""

        def drop(y: Tensor) -> Tensor:
            return F.dropout(y, dropped, self.training)

        x = x + drop(self.down1(F.silu(self.up1(self.norm1(x))))) / 2
        x = x + drop(self.out(self._attended(self.qkv(self.norm_a(x)), is_sound)))
        y = F.glu(self.gated(self.norm_c(x)), -1) * is_sound[..., None]
        x = x + drop(self.mixed(F.silu(self.along(y.transpose(1, 2)).transpose(1, 2))))
        x = x + drop(self.down2(F.silu(self.up2(self.norm2(x))))) / 2
        return self.norm(x)

    def _attended(self, qkv: Tensor, is_sound: Tensor) -> Tensor:
        many, moments, _ = qkv.shape
        q, k, v = (y.view(many, moments, HEADS, -1).transpose(1, 2) for y in qkv.split(WIDTH, -1))
        y = F.scaled_dot_product_attention(q, k, v, attn_mask=is_sound[:, None, None, :])
        return y.transpose(1, 2).reshape(many, moments, WIDTH)


class Reader(nn.Module):
    """Log mel bands in, log odds of symbols out."""

    def __init__(self) -> None:
        super().__init__()
        self.stem = nn.Conv1d(BANDS, WIDTH, 3, stride=2, padding=1)
        self.blocks = nn.ModuleList(Block() for _ in range(BLOCKS))
        self.told = nn.Linear(WIDTH, SYMBOLS)

    def forward(self, bands: Tensor, moments: Tensor, dropped: float = 0.0) -> Tensor:
        """Sounds x frames x bands, and how many moments each has (half its frames, rounded up)."""
        x = F.gelu(self.stem(bands.transpose(1, 2))).transpose(1, 2)
        is_sound = torch.arange(x.shape[1])[None] < moments[:, None]
        x = x * is_sound[..., None]
        for block in self.blocks:
            x = block(x, is_sound, dropped)
        told: Tensor = self.told(x)
        return told


def named() -> Mapping[str, tuple[str, bool]]:
    """Of each tensor of ours: the file's name for it, and whether it is turned round there."""
    names = {
        "stem.weight": ("onnx::Conv_801", False),
        "stem.bias": ("onnx::Conv_802", False),
        "told.weight": ("acoustic_model.model.proj.weight", False),
        "told.bias": ("acoustic_model.model.proj.bias", False),
    }
    for number in range(BLOCKS):
        ours, theirs = f"blocks.{number}.", f"acoustic_model.model.blocks.{number}."
        for norm, name in NORMS.items():
            names |= {f"{ours}{norm}.{kind}": (f"{theirs}{name}.{kind}", False) for kind in ("weight", "bias")}
        names |= {f"{ours}{layer}.bias": (f"{theirs}{name}.bias", False) for layer, name in BIASES.items()}
        names[f"{ours}qkv.bias"] = (f"{theirs}attn.in_proj_bias", False)
        for layer, name in (("gated", "pointwise1"), ("mixed", "pointwise2")):
            names |= {f"{ours}{layer}.{kind}": (f"{theirs}conv.{name}.{kind}", False) for kind in ("weight", "bias")}
        for place, kind in enumerate(("weight", "bias")):
            names[f"{ours}along.{kind}"] = (f"onnx::Conv_{DEPTHWISE + DEPTHWISE_RISES * number + place}", False)
        for layer, first in MATRICES.items():
            names[f"{ours}{layer}.weight"] = (f"onnx::MatMul_{first + MATRICES_RISE * number}", True)
    return names


def reader(file: bytes) -> Reader:
    """The network with the weights of a file."""
    held, network = arrays(file), Reader()
    shapes = {name: tensor.shape for name, tensor in network.state_dict().items()}
    network.load_state_dict(
        {
            ours: torch.tensor(np.ascontiguousarray(held[theirs].T if turned else held[theirs]).reshape(shapes[ours]))
            for ours, (theirs, turned) in named().items()
        }
    )
    return network


def written(network: Reader, like: bytes) -> bytes:
    """A file like that one, with the network's weights."""
    place = {part.name: part for part in parts(like)}
    file, weights = bytearray(like), network.state_dict()
    for ours, (theirs, turned) in named().items():
        part, values = place[theirs], weights[ours].detach().float().numpy()
        raw = np.ascontiguousarray(values.T if turned else values).astype(KINDS[part.kind]).tobytes()
        file[part.at : part.at + part.size] = raw
    return bytes(file)


def between(one: Reader, other: Reader, share: float) -> Reader:
    """The network whose every weight lies so far on the way from one to the other (Wortsman et al., 2022)."""
    far, mean = other.state_dict(), Reader()
    mean.load_state_dict({name: torch.lerp(weight, far[name], share) for name, weight in one.state_dict().items()})
    return mean


class Bands:
    """Log mel bands of a sound, by the file's own filters."""

    def __init__(self, file: bytes) -> None:
        held = arrays(file)
        self._mel = held["mel_fb"]
        self._waves = np.concatenate([held["stft_real_kernel"][:, 0].T, held["stft_imag_kernel"][:, 0].T], axis=1)

    def of(self, samples: NDArray[np.float32]) -> NDArray[np.float16]:
        """Frames x bands."""
        padded = np.pad(samples, WINDOW // 2, mode="reflect")
        frames = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::STEP]
        real, imaginary = np.split(np.square(frames @ self._waves), 2, axis=1)
        bands: NDArray[np.float16] = np.log(np.maximum((real + imaginary) @ self._mel, FAINTEST)).astype(np.float16)
        return bands
