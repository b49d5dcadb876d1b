"""The phone reader's network, in PyTorch, which can teach it; what hears is the same in NumPy (`phone_network`).

A conformer (Gulati et al., 2020) of four blocks over 80 log mel bands, every second frame of 10 ms, without positions.
"""

from __future__ import annotations

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812  # as everyone calls it
from torch import Tensor, nn

from assistant.ears.phone_network import HEADS
from tests.benchmarks.teaching.package_file import BLOCKS, Arrays

WIDTH, BANDS, SYMBOLS, REACH = 144, 80, 191, 15


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


def reader(weights: Arrays) -> Reader:
    """The network with these weights."""
    network = Reader()
    network.load_state_dict(
        {
            name: torch.tensor(np.ascontiguousarray(weights[name])).reshape(tensor.shape)
            for name, tensor in network.state_dict().items()
        }
    )
    return network


def with_weights_of(network: Reader, first: Arrays) -> Arrays:
    """All that the phone reader is made of, with what the network has learned; half as exact, which changes nothing."""
    learned = {name: tensor.numpy().astype(np.float16) for name, tensor in network.state_dict().items()}
    return {**first, **learned}


def between(one: Reader, other: Reader, share: float) -> Reader:
    """The network whose every weight lies so far on the way from one to the other (Wortsman et al., 2022)."""
    far, mean = other.state_dict(), Reader()
    mean.load_state_dict({name: torch.lerp(weight, far[name], share) for name, weight in one.state_dict().items()})
    return mean
