"""The weights that the package `hama` 1.7 ships, by the names that our network has for them."""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

BLOCKS = 4
KINDS = (np.float32, np.float16)  # as the file numbers them
Arrays = Mapping[str, NDArray[Any]]

# What the file calls our tensors: {} is the block, and numbers rise from block to block by what is told.
NORMS = {"norm1": "ffn1.norm", "norm_a": "attn_norm", "norm_c": "conv.norm", "norm2": "ffn2.norm", "norm": "norm"}
BIASES = {"up1": "ffn1.fc1", "down1": "ffn1.fc2", "up2": "ffn2.fc1", "down2": "ffn2.fc2", "out": "attn.out_proj"}
MATRICES = {"up1": 829, "down1": 830, "qkv": 831, "out": 835, "up2": 836, "down2": 837}
MATRICES_RISE, DEPTHWISE, DEPTHWISE_RISES = 9, 804, 3


def shipped() -> Arrays:
    """All that the phone reader is made of (see `assistant.ears.phone_reader.taught`)."""
    from hama import ASRModel

    held = arrays(files("hama.assets").joinpath("asr_waveform.hama").read_bytes())
    ours = {name: held[theirs].T if turned else held[theirs] for name, (theirs, turned) in _named().items()}
    return ours | {"bands": held["mel_fb"], "symbols": np.array(ASRModel().decoder_tokens)}


def arrays(file: bytes) -> Arrays:
    """The tensors by the names that the file gives them."""
    found = list(_parts(file))
    begin = len(file) - max(at + size for *_, at, size in found)
    return {
        name: np.frombuffer(file[begin + at : begin + at + size], KINDS[kind]).reshape(shape).astype(np.float32)
        for name, kind, shape, at, size in found
    }


def _parts(file: bytes) -> Iterator[tuple[str, int, tuple[int, ...], int, int]]:
    """Of each tensor its name, kind and shape, and where it stands in what follows this list, in bytes."""
    if file[:6] != b"HAMAPK":
        raise ValueError("this is no file of weights of the package hama")
    (count,), place = struct.unpack_from("<I", file, 8), 12
    for _ in range(count):
        (length,) = struct.unpack_from("<H", file, place)
        name = file[place + 2 : place + 2 + length].decode()
        place += 2 + length
        kind, axes = file[place], file[place + 1]
        shape = struct.unpack_from(f"<{axes}I", file, place + 2)
        at, size = struct.unpack_from("<QQ", file, place + 2 + 4 * axes)
        place += 18 + 4 * axes
        yield name, kind, shape, at, size


def _named() -> Mapping[str, tuple[str, bool]]:
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
