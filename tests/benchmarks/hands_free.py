"""How often the wake phrase and the command after it are heard, and how often other talk wakes it. Prints two tables.

Run: python -m tests.benchmarks.hands_free [--phrase "Skerry Haven"] [--noise FILE] [--people FOLDER] [--hours 1]

The first table: every voice says the phrase and a command, in one breath and with a pause between, in a quiet room, in
the noise given and among other voices; the level of speech and of noise is that of the loudest frame of 2,048 samples.
A command is right when it is what the same words mean when typed. The voices are synthetic: no recording of people has
the phrase. The second: talk that is not for the assistant, and how often it wakes.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
import soxr

from assistant.ears.attention import Attention, State
from assistant.ears.base import RATE, Recogniser, Sound
from assistant.ears.sound import open_sound
from assistant.ears.wake import Spotter
from assistant.hands_free import HandsFree
from assistant.services import Services
from demo_audio_scripts.speak import VOICES, Voice
from grammar.command import Command
from tests.benchmarks.bar_room import Samples, babble, pieces, readers, talk, voices
from tests.spoken import Noise, hearing_services, said_by

COMMANDS = (
    "what's in a gimlet",
    "how much lime juice in a daiquiri",
    "batch two litres of manhattan",
    "what does a clover club cost",
)
SNR_DB = 10.0
BEFORE_S, BETWEEN_S, AFTER_S = 1.5, 1.2, 2.5
SENTENCES = 300  # of the talk; said again, at other paces and levels, until the time is full
READERS_SHARE = 1 / 6  # of the time


@dataclass(frozen=True)
class Tried:
    """One time that the phrase and a command were said."""

    woke: bool
    was_right: bool
    heard: str


def main() -> None:
    """Print the tables."""
    asked = _parser().parse_args()
    spotter = Spotter(asked.phrase)
    said = voices(asked.sentences, seed=11)
    rooms: dict[str, Noise | None] = {"quiet": None}
    if asked.noise:
        rooms[f"{asked.noise.stem}, {SNR_DB:g} dB"] = Noise(_open(asked.noise), SNR_DB)
    rooms[f"eight voices, {SNR_DB:g} dB"] = Noise(babble(said, 120), SNR_DB)
    with tempfile.TemporaryDirectory() as folder, hearing_services(Path(folder)) as services:
        print(f"{asked.phrase}\n{'':<28}{'said':>6}{'woke':>9}{'right':>9}{'right of woken':>16}", flush=True)
        for name, noise in rooms.items():
            print(_row(name, list(_tries(services, spotter, asked.phrase, noise, asked.commands))), flush=True)
    print(f"\n{'not for the assistant':<50}{'minutes':>9}{'woke':>6}{'work a second':>15}")
    _others(spotter, said, asked)


def _tries(services: Services, spotter: Recogniser, phrase: str, noise: Noise | None, commands: int) -> Iterator[Tried]:
    for number, voice in enumerate(voice for voice in VOICES if voice.is_here):
        for at, command in enumerate(COMMANDS[:commands]):
            room = _room(voice, phrase, command, one_breath=(number + at) % 2 == 0)
            sound = noise.over(Sound(room), seed=31 * number + at) if noise else Sound(room)
            yield _tried(services, spotter, phrase, sound, command)


def _room(voice: Voice, phrase: str, command: str, one_breath: bool) -> Samples:
    """A voice in a quiet room."""
    parts = [f"{phrase}, {command}"] if one_breath else [f"{phrase}.", command]
    spoken = [said_by(voice, part).samples for part in parts]
    gaps = [_silence(BEFORE_S), *(_silence(BETWEEN_S) for _ in spoken[1:]), _silence(AFTER_S)]
    laid = [sound for pair in zip(gaps, spoken, strict=False) for sound in pair]
    room = np.concatenate([*laid, gaps[-1]])
    return (room + np.random.default_rng(3).standard_normal(len(room)) * 1e-3).astype(np.float32)


def _silence(seconds: float) -> Samples:
    return np.zeros(int(seconds * RATE), np.float32)


def _tried(services: Services, spotter: Recogniser, phrase: str, sound: Sound, command: str) -> Tried:
    talk, woke = HandsFree(services.hear, spotter, phrase), False
    meant = services.ask(command, f"typed {command}").command
    for piece in pieces(sound.samples):
        moment = talk.take(piece, partial(services.ask, conversation=f"spoken {command}"))
        woke |= moment.state is State.LISTENING or moment.reply is not None
        if moment.reply is not None:
            heard = moment.reply.heard.text if moment.reply.heard else ""
            return Tried(True, _means(moment.reply.command) == _means(meant), heard)
    return Tried(woke, False, "")


def _means(command: Command | None) -> tuple[object, ...]:
    """What is to be done, however sure it is."""
    return (command.intent, command.slots) if command else ()


def _row(name: str, tries: Sequence[Tried]) -> str:
    woke, right = sum(each.woke for each in tries), sum(each.was_right for each in tries)
    of_woken = f"{right / max(woke, 1):16.1%}"
    return f"{name:<28}{len(tries):6}{woke / len(tries):9.1%}{right / len(tries):9.1%}{of_woken}"


def _others(spotter: Recogniser, said: Sequence[Samples], asked: argparse.Namespace) -> None:
    """The second table."""
    read = readers()
    whole_s = asked.hours * 3600
    read_s = whole_s * READERS_SHARE if read else 0.0
    own = sum(len(each) for each in said) / RATE / 60
    print(
        _others_row(f"bar talk, {own:.0f} minutes of it over again", spotter, talk(said, whole_s - read_s, 5)),
        flush=True,
    )
    if read:
        seconds = sum(len(each) for each in read) / RATE
        print(
            _others_row(f"a reader (LibriVox), {seconds:.0f} s over again", spotter, talk(read, read_s, 6)), flush=True
        )
    if asked.people:
        files = [file for file in sorted(asked.people.iterdir()) if file.suffix in (".wav", ".flac")]
        people = np.concatenate([np.pad(open_sound(file).samples, (0, RATE)) for file in files])
        hum = np.random.default_rng(3).standard_normal(len(people)) * 1e-3
        print(
            _others_row(f"{len(files)} recordings of people, once", spotter, (people + hum).astype(np.float32)),
            flush=True,
        )


def _others_row(name: str, spotter: Recogniser, samples: Samples) -> str:
    attention, woke, started = Attention(spotter), 0, time.process_time()
    for piece in pieces(samples):
        attention.take(piece)
        if attention.state is State.LISTENING:
            woke += 1
            attention.sleep()
    work = (time.process_time() - started) / (len(samples) / RATE)
    return f"{name:<50}{len(samples) / RATE / 60:9.1f}{woke:6}{work:15.2f}"


def _open(file: Path) -> Sound:
    """A recording of a room, of any length."""
    samples, rate = soundfile.read(file, dtype="float32", always_2d=True)
    return Sound(soxr.resample(samples.mean(axis=1), rate, RATE))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Count what wakes the assistant, and what should.")
    add = parser.add_argument
    add("--phrase", default="Skerry Haven")
    add("--noise", type=Path, help="a recording of a room to mix in")
    add("--people", type=Path, help="a folder of recordings of people who say something else")
    add("--hours", type=float, default=1.0, help="of talk that is not for the assistant (%(default)s)")
    add("--sentences", type=int, default=SENTENCES, help="different ones in it (%(default)s)")
    add("--commands", type=int, default=len(COMMANDS), help="that each voice says (%(default)s)")
    return parser


if __name__ == "__main__":
    main()
