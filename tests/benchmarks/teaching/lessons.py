"""What the phone reader is taught with: speech in a loud room, the same without it, and the phones that were said.

Speech is recordings of people, with what they said, and voices of espeak-ng, flite, festival and the package
`hibari-tts` that say other words than any benchmark does. None of the voices of the demo scripts is among them as it
is: two of flite's speak as people who are larger or smaller, the others not at all. A room is a recording, noise of
some colour, talk of one to eight of those voices, clatter or music.
"""

from __future__ import annotations

import random
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound
from assistant.ears.denoise import heard_apart
from assistant.ears.levels import levelled, surrounded
from assistant.ears.phone_reader import PHONE_NUMBER, QUIET_S
from assistant.ears.pronunciation import Pronouncer
from assistant.ears.second import span
from assistant.ears.sound import open_sound
from tests.benchmarks.bar_room import sentence
from tests.benchmarks.speech import mixed

ACCENTS = ("en-us", "en-gb", "en-gb-x-rp", "en-gb-scotland", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-029")
MANNERS = """
Alex Alicia Andrea Andy Annie Denis Gene Gustave Hugo Jacky Lee Mario Max Mike Storm Zac antonio aunty belinda
benjamin boris david ed edward iven john linda marcelo michael norbert pablo paul quincy rob robert sandro shelby
steph steph2 steph3 travis victor f1 f2 f4 f5 m1 m2 m3 m4 m5 m6 m7 m8
"""  # of espeak-ng: how a throat is shaped
FLITE, FESTIVAL = ("slt", "awb"), ("ked_diphone", "cmu_us_slt_arctic_hts")
SIZES = (0.84, 0.95), (1.05, 1.2)  # of a speaker: pitch and throat together, for one that was 1
WORDS = Path("/usr/share/dict/words")  # Debian's wamerican-small
QUIETEST_DB, LOUDEST_DB = 18.0, 2.0  # how far speech is above the room
SENTENCES = 0.3  # the share of what is no mere words
UNMIXED, APART = 0.1, 0.3  # shares of what is heard without a room, and of what has the room taken out
MOST_S = 14.0
Samples = NDArray[np.float32]
Speaker = Callable[[str, random.Random], Samples | None]


@dataclass(frozen=True)
class Speech:
    """Something said in a quiet room."""

    samples: Samples
    text: str  # '' where it is not known
    by_a_person: bool


@dataclass(frozen=True)
class Lesson:
    """The same moments of a sound as they are heard and as they would be without the room."""

    heard: Sound
    quiet: Sound
    phones: tuple[int, ...]  # none where it is not known what was said
    by_a_person: bool


class Phones:
    """What is said, in phones."""

    def __init__(self) -> None:
        self._pronouncer = Pronouncer()

    def of(self, text: str) -> tuple[int, ...]:
        """By the first way to say each word; none where one cannot be said."""
        ways = [self._pronouncer.ways(word) for word in text.split()]
        return tuple(PHONE_NUMBER[phone] for way in ways for phone in way[0]) if all(ways) else ()


def recorded(said: Mapping[Path, str]) -> list[Speech]:
    """Recordings of people."""
    return [Speech(open_sound(file).samples, text, True) for file, text in said.items()]


def spoken(count: int, seed: int) -> Iterator[Speech]:
    """So many sentences, and words in no order, by voices that are here."""
    chance = random.Random(seed)
    words = [word for word in WORDS.read_text().split() if re.fullmatch("[a-z]{2,11}", word)]
    here = list(_speakers())
    if not here:
        raise SystemExit("no voice is here; install espeak-ng from the system's packages")
    speakers, shares = zip(*here, strict=True)
    for _ in range(count):
        text = _text(chance, words)
        samples = chance.choices(speakers, shares)[0](text, chance)
        if samples is not None:
            yield Speech(_with_pauses(samples, chance), text, False)


def _text(chance: random.Random, words: Sequence[str]) -> str:
    if chance.random() < SENTENCES:
        return re.sub("[^a-z' ]", " ", sentence(chance).lower())
    return " ".join(chance.choices(words, k=chance.randint(1, 8)))


def _speakers() -> Iterator[tuple[Speaker, float]]:
    """Those that are here, and what share of the sentences each says of what all do."""
    programs: tuple[tuple[str, Speaker, float], ...] = (
        ("espeak-ng", _by_espeak, 0.4),
        ("flite", _by_flite, 0.25),
        ("text2wave", _by_festival, 0.15),
    )
    yield from ((speaker, share) for program, speaker, share in programs if shutil.which(program))
    natural = _natural_voice()
    if natural:
        yield natural, 0.2


def _by_espeak(text: str, chance: random.Random) -> Samples | None:
    voice = f"{chance.choice(ACCENTS)}+{chance.choice(MANNERS.split())}"
    pace, pitch = str(chance.randint(130, 210)), str(chance.randint(30, 70))
    return _said(["espeak-ng", "-v", voice, "-s", pace, "-p", pitch, "--", text], "-w")


def _by_flite(text: str, chance: random.Random) -> Samples | None:
    pace = f"duration_stretch={chance.uniform(0.8, 1.3):.2f}"
    said = _said(["flite", "-voice", chance.choice(FLITE), "--setf", pace, "-t", text], "-o")
    return _of_another_size(said, chance)


def _by_festival(text: str, chance: random.Random) -> Samples | None:
    said = _said(["text2wave", "-eval", f"(voice_{chance.choice(FESTIVAL)})"], "-o", text)
    return _of_another_size(said, chance)


def _said(command: Sequence[str], into: str, text: str = "") -> Samples | None:
    """What a program says into a file that it is told with this option; None where it failed."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        done = subprocess.run(
            [command[0], into, str(file), *command[1:]],
            input=text.encode(),
            capture_output=True,
            check=False,
            timeout=60,
        )
        whole = done.returncode == 0 and file.is_file() and file.stat().st_size > RATE
        return open_sound(file).samples if whole else None


def _of_another_size(samples: Samples | None, chance: random.Random) -> Samples | None:
    """As somebody larger or smaller would say it, who has another voice."""
    if samples is None:
        return None
    return soxr.resample(samples, RATE * chance.uniform(*chance.choice(SIZES)), RATE).astype(np.float32)


def _natural_voice() -> Speaker | None:
    """A voice that was learned from people, at many paces and pitches; None where its package is not installed."""
    try:
        from hibari import Hibari
    except ImportError:
        return None
    voice = Hibari()

    def say(text: str, chance: random.Random) -> Samples:
        samples = voice(text, speed=chance.uniform(0.8, 1.35))
        return soxr.resample(samples, 24_000 * chance.uniform(0.82, 1.15), RATE).astype(np.float32)

    return say


def _with_pauses(samples: Samples, chance: random.Random) -> Samples:
    before, after = (np.zeros(int(chance.uniform(0.1, 0.6) * RATE), np.float32) for _ in range(2))
    together = np.concatenate([before, samples / (2 * np.abs(samples).max()), after])
    hiss = np.random.default_rng(chance.randrange(2**32)).standard_normal(len(together), dtype=np.float32)
    return together + hiss * np.float32(10 ** chance.uniform(-4.5, -3))


class Rooms:
    """What may be behind a speaker."""

    def __init__(self, recording: Samples, talkers: Sequence[Speech], seed: int) -> None:
        self._recording, self._talkers = recording, talkers
        self._random = np.random.default_rng(seed)

    def lesson(self, speech: Speech, phones: Phones) -> Lesson | None:
        """Speech as it may be heard; None if that is too long."""
        clean = Sound(speech.samples)
        if self._random.random() < UNMIXED:
            loud = clean
        else:
            snr_db = self._random.uniform(LOUDEST_DB, QUIETEST_DB)
            loud = mixed(clean, Sound(self._room(len(clean.samples) + 1)), snr_db, self._random)
        whole = heard_apart(loud)
        spoken = span(whole)
        apart = Sound(whole.samples[spoken])
        heard = apart if self._random.random() < APART else levelled(Sound(loud.samples[spoken]))
        if heard.seconds > MOST_S:
            return None
        quiet = Sound(levelled(clean).samples[spoken])
        return Lesson(
            surrounded(heard, QUIET_S), surrounded(quiet, QUIET_S), phones.of(speech.text), speech.by_a_person
        )

    def _room(self, count: int) -> Samples:
        made = self._random.choice(
            [self._recorded, self._coloured, self._talk, self._clatter, self._music], p=[0.22, 0.12, 0.52, 0.08, 0.06]
        )
        room: Samples = made(count).astype(np.float32)
        return room

    def _recorded(self, count: int) -> Samples:
        start = self._random.integers(0, max(1, len(self._recording) - count))
        return np.resize(self._recording[start : start + count], count)

    def _coloured(self, count: int) -> Samples:
        spectrum = np.fft.rfft(self._random.standard_normal(count))
        spectrum[1:] /= np.arange(1, len(spectrum)) ** self._random.choice([0, 0.5, 0.5, 1])
        if self._random.random() < 0.5:
            middle, wide = self._random.random(), self._random.uniform(0.05, 0.6)
            far = (np.linspace(0, 1, len(spectrum)) - middle) / wide
            spectrum *= 0.1 + np.exp(-np.square(far))
        return np.fft.irfft(spectrum, count)

    def _talk(self, count: int) -> Samples:
        room = np.zeros(count, np.float32)
        for _ in range(self._random.choice([1, 2, 3, 4, 6, 8, 8, 8])):
            at, level = -int(self._random.integers(0, RATE)), 10 ** (self._random.uniform(-8, 0) / 20)
            while at < count:
                said = self._talkers[self._random.integers(len(self._talkers))].samples
                begin, end = max(0, -at), min(len(said), count - at)
                if end > begin:
                    room[at + begin : at + end] += said[begin:end] * np.float32(level)
                at += len(said) + int(self._random.uniform(0, 0.5) * RATE)
        return room

    def _clatter(self, count: int) -> Samples:
        room = self._coloured(count) * 0.05
        for _ in range(self._random.integers(1, 2 + count // 8000)):
            length = int(self._random.uniform(0.02, 0.4) * RATE)
            moments = np.arange(length)
            hit = self._random.standard_normal(length) * np.exp(-5 * moments / length)
            if self._random.random() < 0.6:
                hit *= np.sin(2 * np.pi * self._random.uniform(800, 6500) * moments / RATE)
            at = int(self._random.integers(0, count))
            room[at : at + length] += hit[: count - at] * self._random.uniform(0.1, 1)
        return room

    def _music(self, count: int) -> Samples:
        moments, beat = np.arange(count) / RATE, int(0.4 * RATE)
        room = np.zeros(count)
        for begin in range(0, count, beat):
            here = moments[begin : begin + beat]
            for pitch in 110 * 2 ** (self._random.integers(0, 30, 3) / 12):
                for overtone in range(1, 5):
                    room[begin : begin + beat] += np.sin(2 * np.pi * pitch * overtone * here) / overtone
        return room
