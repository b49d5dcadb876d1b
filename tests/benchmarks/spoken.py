"""How many lines of the demo scripts come out right when voices speak them. Prints a table, and what went amiss.

Run: python -m tests.benchmarks.spoken [--voices 8] [--script bartender] [--noise FILE --snr 15]

Every line is heard by the recogniser that a fresh install has, in its conversation (see tests/spoken.py). The level of
speech and of noise is that of the loudest frame of 2,048 samples.
"""

from __future__ import annotations

import argparse
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import soundfile
import soxr

from assistant.ears.base import RATE, Sound
from demo_audio_scripts.speak import FEW, VOICES, Voice
from tests.scripts import scripts
from tests.spoken import Noise, Outcome, Said, hearing_services, shift

WIDE, NARROW = 24, 16  # columns


def main() -> None:
    """Print the table."""
    chosen = _parser().parse_args()
    noise = Noise(_room(chosen.noise), chosen.snr) if chosen.noise else None
    print(_row("", [*(outcome.value for outcome in Outcome), "lines", "work a second"]))
    everything: list[Said] = []
    amiss: list[str] = []
    with tempfile.TemporaryDirectory() as folder, hearing_services(Path(folder)) as services:
        for voice in VOICES[: chosen.voices]:
            lines = [scripts()[name] for name in chosen.script or scripts()]
            heard = [said for script in lines for said in shift(services, script, voice, noise)]
            print(_row(voice.name, _counted(heard)), flush=True)
            everything += heard
            amiss += _amiss(voice, heard)
    print(_row("all", _counted(everything)))
    print("\n".join(["", *amiss]))


def _room(file: Path) -> Sound:
    """A recording of a room, of any length."""
    samples, rate = soundfile.read(file, dtype="float32", always_2d=True)
    return Sound(soxr.resample(samples.mean(axis=1), rate, RATE))


def _counted(heard: Sequence[Said]) -> list[str]:
    """How many lines there were of each outcome, with their share, and the work that a second of sound took."""
    found = Counter(said.outcome for said in heard)
    shares = [f"{found[outcome]} ({found[outcome] / len(heard):.1%})" for outcome in Outcome]
    work = sum(said.heard.work_s for said in heard) / sum(said.heard.audio_s for said in heard)
    return [*shares, str(len(heard)), f"{work:.2f} s"]


def _amiss(voice: Voice, heard: Sequence[Said]) -> list[str]:
    """What was said and what was heard, wherever it did not come out right."""
    return [
        f"{voice.name}, {said.outcome.value}: {said.line.say!r} heard as {said.heard.text!r}"
        for said in heard
        if said.outcome is not Outcome.RIGHT
    ]


def _row(name: str, cells: Sequence[str]) -> str:
    return f"{name:<{WIDE}}" + "".join(f"{cell:>{NARROW}}" for cell in cells)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        description="Speak the demo scripts to the real recogniser and count what is right."
    )
    add = parser.add_argument
    add("--voices", type=int, default=FEW, help="how many voices, from the top of speak.py's list (%(default)s)")
    add("--script", action="append", choices=sorted(scripts()), help="may be given again; all when left out")
    add("--noise", type=Path, help="a recording of a room to mix in")
    add("--snr", type=float, default=15.0, help="how far speech lies above the noise, in dB (%(default)s)")
    return parser


if __name__ == "__main__":
    main()
