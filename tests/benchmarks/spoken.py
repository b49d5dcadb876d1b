"""How many lines of the demo scripts come out right when voices speak them. Prints a table, and what went amiss.

Run: python -m tests.benchmarks.spoken [--voices 11] [--script bartender]
     [--noise pink|babble|FILE --snr 10 [--level mean]]

Every line is heard by the recogniser that a fresh install has, in its conversation (see tests/spoken.py). How far
speech is above noise goes by the loudest frame of 2,048 samples of each, or by their mean power. The second table tells
what came of the lines that were heard with so much confidence.
"""

from __future__ import annotations

import argparse
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np

from demo_audio_scripts.speak import FEW, VOICES, Voice
from tests.benchmarks.rooms import room
from tests.scripts import scripts
from tests.spoken import Noise, Outcome, Said, hearing_services, loudness, mean_power, shift

WIDE, NARROW = 24, 16  # columns
LEVELS = {"loudest": loudness, "mean": mean_power}
STEPS = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.01)  # of confidence


def main() -> None:
    """Print the table."""
    chosen = _parser().parse_args()
    noise = Noise(room(chosen.noise), chosen.snr, LEVELS[chosen.level]) if chosen.noise else None
    print(_row("", [*(outcome.value for outcome in Outcome), "lines", "work a second", "95th, 3 s"]))
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
    print("\n".join(["", *_reliability(everything), "", *amiss]))


def _counted(heard: Sequence[Said]) -> list[str]:
    """How many lines there were of each outcome, with their share, and the work that a second of sound took."""
    found = Counter(said.outcome for said in heard)
    shares = [f"{found[outcome]} ({found[outcome] / len(heard):.1%})" for outcome in Outcome]
    work = [said.heard.work_s / said.heard.audio_s for said in heard]
    of_three = 3 * float(np.percentile(work, 95))
    return [*shares, str(len(heard)), f"{np.mean(work):.2f} s", f"{of_three:.2f} s"]


def _reliability(heard: Sequence[Said]) -> Iterator[str]:
    """By the recogniser's confidence: how many lines of each outcome."""
    yield _row("confidence", [outcome.value for outcome in Outcome])
    for low, high in pairwise(STEPS):
        found = Counter(said.outcome for said in heard if low <= said.heard.confidence < high)
        yield _row(f"{low:.2f} to {high:.2f}", [str(found[outcome]) for outcome in Outcome])


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
    add("--noise", help="what is behind the speaker: pink, babble, or a recording of a room")
    add("--snr", type=float, default=15.0, help="how far speech lies above the noise, in dB (%(default)s)")
    add(
        "--level",
        choices=LEVELS,
        default="loudest",
        help="by the loudest frame of each, or by mean power (%(default)s)",
    )
    return parser


if __name__ == "__main__":
    main()
