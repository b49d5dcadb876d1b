"""Teaches the phone reader's network, and writes a file of weights for `assistant/ears/`.

Run: python -m tests.benchmarks.teaching.teach --recordings FOLDER --said SAID.json --room ROOM.flac --out FILE.npz
     [--spoken 4700] [--times 3] [--share 0.75] [--first TAUGHT.npz] [--mean-with OTHER.npz]

SAID.json tells what is said in each recording, '' where nobody knows: recordings that are not named are kept for
measuring. Needs PyTorch beside the project (pip install torch), Debian's espeak-ng, flite, festival with
festvox-kdlpc16k and festvox-us-slt-hts, and wamerican-small, and, for a voice that is nearer to people's, hibari-tts
(pip install hibari-tts). Two cores take about an hour. The file that ships was taught four times, each time beginning
with the weights of the last (--first, written with --share 1). The second time with a share of 0.75 and the third with
0.9 had a mean; the file is the mean of that and of the fourth time with 0.9 (--mean-with).

The network is to read in a loud room what it reads without the room (distillation: Hinton, Vinyals and Dean, 2015), and
the phones that were said (connectionist temporal classification: Graves et al., 2006). What it forgets of speech that
it was not taught with comes back when its weights are averaged with the package's (Wortsman et al., 2022).
"""

from __future__ import annotations

import argparse
import copy
import json
import math
import random
from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path

import numpy as np
import soundfile
import torch
import torch.nn.functional as F  # noqa: N812  # as everyone calls it
from numpy.typing import NDArray
from torch import Tensor

from assistant.ears.base import Sound
from assistant.ears.phone_network import log_mel
from assistant.ears.phone_reader import BETWEEN_WORDS, PAUSE, PHONE_NUMBER, SPELT, WEIGHTS
from tests.benchmarks.teaching.lessons import Phones, Rooms, recorded, spoken
from tests.benchmarks.teaching.network import BANDS, SYMBOLS, Reader, between, reader, with_weights_of
from tests.benchmarks.teaching.package_file import shipped

RATE_OF_LEARNING, WARMING_UP, DROPPED = 4e-4, 100, 0.05
FRAMES = 9_000  # of a batch
HEARD_AGAIN, SPOKEN_AGAIN = 14, 2  # lessons made of each recording, of each sentence by a voice
PHONES_COUNT, VOICES_COUNT = 0.3, 0.4  # what phones count beside the reading, readings of voices beside those of people
WARPED, WARP = 0.4, 0.07  # the share of sounds whose bands are moved, and by how much of their number at most
FLOOR, NEVER, WORST = 1e-6, -1e4, 6.0
SEED = 1
Taught = tuple[NDArray[np.float16], NDArray[np.float16], tuple[int, ...], bool]  # heard, quiet, phones, by a person


def lessons(asked: argparse.Namespace, bands: NDArray[np.float32]) -> list[Taught]:
    """All that there is to learn, in bands."""
    said = {asked.recordings / name: text for name, text in json.loads(asked.said.read_text()).items()}
    people, voices = recorded(said), list(spoken(asked.spoken, SEED))
    room, _ = soundfile.read(asked.room, dtype="float32")
    rooms, phones = Rooms(room[: len(room) // 2], voices, SEED), Phones()  # the other half is kept for measuring
    made = (rooms.lesson(speech, phones) for speech in chain(people * HEARD_AGAIN, voices * SPOKEN_AGAIN))
    return [
        (_heard(each.heard, bands), _heard(each.quiet, bands), each.phones, each.by_a_person)
        for each in made
        if each and len(each.phones) * 4 < len(each.heard.samples) // 160
    ]


def _heard(sound: Sound, bands: NDArray[np.float32]) -> NDArray[np.float16]:
    return log_mel(sound.samples, bands).astype(np.float16)


def spelt(symbols: Sequence[str]) -> Tensor:
    """Symbols x phones, and a pause after them: 1 where the one spells the other."""
    number = {symbol: place for place, symbol in enumerate(symbols)}
    table = torch.zeros(SYMBOLS, len(SPELT) + 1)
    for phone, spellings in SPELT.items():
        table[[number[symbol] for symbol in spellings.split()], PHONE_NUMBER[phone]] = 1
    table[[number[BETWEEN_WORDS], number[PAUSE]], len(SPELT)] = 1
    return table


def batches(taught: Sequence[Taught], chance: random.Random) -> Iterator[list[Taught]]:
    """Sounds of about one length together, in any order."""
    found: list[list[Taught]] = [[]]
    for each in sorted(taught, key=lambda each: len(each[0]) + 20 * chance.random()):
        if (len(found[-1]) + 1) * len(each[0]) > FRAMES:
            found.append([])
        found[-1].append(each)
    chance.shuffle(found)
    return (batch for batch in found if batch)


class Lesson:
    """What a network has to mend, over a batch."""

    def __init__(self, teacher: Reader, chance: random.Random, symbols: Sequence[str]) -> None:
        self._teacher, self._chance, self._spelt = teacher.eval(), chance, spelt(symbols)

    def loss(self, network: Reader, batch: Sequence[Taught]) -> Tensor:
        """How far it is from the reading without the room, and from the phones that were said."""
        moments = torch.tensor([(len(heard) + 1) // 2 for heard, *_ in batch])
        heard, quiet = _together([each[0] for each in batch]), _together([each[1] for each in batch])
        with torch.no_grad():
            wanted = F.log_softmax(self._teacher(quiet, moments), -1)
        self._by_other_throats(heard)
        self._with_holes(heard, batch)
        with torch.autocast("cpu", torch.bfloat16):
            told = network(heard, moments, DROPPED)
        read = F.log_softmax(told.float(), -1)
        counts = torch.tensor([1.0 if by_a_person else VOICES_COUNT for *_, by_a_person in batch])
        is_sound = torch.arange(read.shape[1])[None] < moments[:, None]
        behind = ((wanted.exp() * (wanted - read)).sum(-1) * is_sound).sum(1) / moments
        return (behind * counts).mean() + PHONES_COUNT * self._phones(read, moments, batch)

    def _phones(self, read: Tensor, moments: Tensor, batch: Sequence[Taught]) -> Tensor:
        known = [place for place, each in enumerate(batch) if each[2]]
        if not known:
            return torch.zeros(())
        phones = torch.log(read[known].exp() @ self._spelt + FLOOR)
        return unlikelihood(phones, moments[known], [batch[place][2] for place in known]).clamp(max=WORST).mean()

    def _by_other_throats(self, heard: Tensor) -> None:
        """Some as a longer or shorter throat would have said them: all bands moved (Jaitly and Hinton, 2013)."""
        bands = torch.arange(BANDS, dtype=torch.float32)
        for place in range(len(heard)):
            if self._chance.random() < WARPED:
                at = (bands * (1 + self._chance.uniform(-WARP, WARP))).clamp(0, BANDS - 1)
                below = at.floor().long().clamp(max=BANDS - 2)
                heard[place] = torch.lerp(heard[place][:, below], heard[place][:, below + 1], at - below)

    def _with_holes(self, heard: Tensor, batch: Sequence[Taught]) -> None:
        """A few bands and a few moments of each flattened (Park et al., 2019)."""
        for sound, (bands, *_) in zip(heard, batch, strict=True):
            level = sound.mean()
            for _ in range(2):
                wide, long = self._chance.randint(0, 12), self._chance.randint(0, 8)
                band, moment = self._chance.randint(0, BANDS - wide), self._chance.randint(0, len(bands) - long)
                sound[:, band : band + wide] = level
                sound[moment : moment + long] = level


def unlikelihood(read: Tensor, moments: Tensor, phones: Sequence[tuple[int, ...]]) -> Tensor:
    """Nats that each sound is from its phones, a phone; `read` is log probabilities, a pause being the last.

    PyTorch's own wants probabilities that come to 1; here a symbol may spell several phones.
    """
    pause, longest = read.shape[2] - 1, 2 * max(map(len, phones)) + 1
    row = torch.full((len(phones), longest), pause)
    for place, each in enumerate(phones):
        row[place, 1 : 2 * len(each) : 2] = torch.tensor(each)
    fits = read.gather(2, row[:, None, :].expand(-1, read.shape[1], -1))
    may_skip = torch.full(row.shape, NEVER)
    may_skip[:, 2:][(row[:, 2:] != pause) & (row[:, 2:] != row[:, :-2])] = 0
    never = torch.full((len(phones), 2), NEVER)
    here = torch.cat([fits[:, 0, :2], torch.full((len(phones), longest - 2), NEVER)], 1)
    ways = [here]
    for moment in range(1, read.shape[1]):
        stepped = torch.cat([never[:, :1], here[:, :-1]], 1)
        skipped = torch.cat([never, here[:, :-2]], 1)[:, :longest] + may_skip
        here = torch.logsumexp(torch.stack([here, stepped, skipped]), 0) + fits[:, moment]
        ways.append(here)
    ends = torch.stack(ways, 1)[torch.arange(len(phones)), moments - 1]
    last = torch.tensor([2 * len(each) for each in phones])[:, None]
    whole = torch.logaddexp(ends.gather(1, last), ends.gather(1, last - 1))[:, 0]
    return -2 * whole / last[:, 0]


def _together(bands: Sequence[NDArray[np.float16]]) -> Tensor:
    filled = torch.zeros(len(bands), max(map(len, bands)), BANDS)
    for place, each in enumerate(bands):
        filled[place, : len(each)] = torch.from_numpy(each.astype(np.float32))
    return filled


def teach(lesson: Lesson, first: Reader, taught: Sequence[Taught], times: int) -> Reader:
    """The first network after so many times through all lessons: the running mean of its weights."""
    chance = random.Random(SEED)
    torch.manual_seed(SEED)
    network, mean = copy.deepcopy(first).train(), copy.deepcopy(first)
    steps = times * sum(1 for _ in batches(taught, random.Random(SEED)))
    learning = torch.optim.AdamW(network.parameters(), RATE_OF_LEARNING, weight_decay=1e-4)
    for step, batch in enumerate(chain.from_iterable(batches(taught, chance) for _ in range(times))):
        done = min(1.0, step / steps)
        for group in learning.param_groups:
            falling = 0.02 + 0.49 * (1 + math.cos(math.pi * done))
            group["lr"] = RATE_OF_LEARNING * min(1.0, (step + 1) / WARMING_UP) * falling
        learning.zero_grad()
        loss = lesson.loss(network, batch)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
        learning.step()
        with torch.no_grad():
            for weight, latest in zip(mean.parameters(), network.parameters(), strict=True):
                weight.lerp_(latest, 0.01)
        if step % 50 == 0:
            print(f"{step:6} of {steps}: {loss.item():.3f}", flush=True)
    return mean


def main() -> None:
    """Make the lessons, teach, and write the file."""
    asked, package = _arguments(), shipped()
    taught = lessons(asked, package["bands"])
    print(f"{len(taught)} lessons, {sum(len(heard) for heard, *_ in taught) / 360_000:.1f} hours", flush=True)
    teacher = reader(package)
    first = reader(np.load(asked.first)) if asked.first else teacher
    lesson = Lesson(teacher, random.Random(SEED), package["symbols"].tolist())
    learned = between(teacher, teach(lesson, first, taught, asked.times), asked.share)
    if asked.mean_with:
        learned = between(learned, reader(np.load(asked.mean_with)), 0.5)
    np.savez_compressed(asked.out, **with_weights_of(learned, package))
    print(f"written to {asked.out}; the recogniser reads {WEIGHTS.name}")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Teach the phone reader's network to hear in a loud room.")
    parser.add_argument("--recordings", type=Path, required=True, help="folder of recordings of people")
    parser.add_argument("--said", type=Path, required=True, help="JSON: recording to what is said in it")
    parser.add_argument("--room", type=Path, required=True, help="recording of a room; its first half is taught with")
    parser.add_argument("--out", type=Path, required=True, help="the file of weights to write")
    parser.add_argument("--spoken", type=int, default=4700, help="sentences by synthetic voices")
    parser.add_argument("--times", type=int, default=3, help="how often to go through all lessons")
    parser.add_argument(
        "--share", type=float, default=0.75, help="how far to go from the package's weights to the taught"
    )
    parser.add_argument("--mean-with", type=Path, help="weights to go half-way to at last")
    parser.add_argument("--first", type=Path, help="weights to begin with, when not the package's own")
    return parser.parse_args()


if __name__ == "__main__":
    main()
