"""A thousand questions heard in a row: whether the memory grows, and whether the last is heard as the first was.

Run: python -m tests.benchmarks.endurance [--utterances 1000] [--voices 2]

The lines of the demo scripts come round again and again, each heard by the recogniser that a fresh install has, in its
worker process. Prints the memory of that worker after each tenth of them, and how many were not heard as the same line
was at first.
"""

from __future__ import annotations

import argparse
import itertools
import multiprocessing
import tempfile
from pathlib import Path

from assistant.messages import Heard
from demo_audio_scripts.speak import VOICES
from tests.benchmarks.load import resident_kb
from tests.scripts import scripts
from tests.spoken import given_time, hearing_services, said_by

TENTHS = 10


def main() -> None:
    """Print the table."""
    asked = _parser().parse_args()
    lines = [line.say for script in scripts().values() for line in script]
    sounds = [((voice.name, say), said_by(voice, say)) for voice in VOICES[: asked.voices] for say in lines]
    first: dict[tuple[str, str], Heard] = {}
    otherwise = 0
    print(f"{'utterances':>12}{'workers, MB':>14}{'heard otherwise':>18}")
    with given_time(), tempfile.TemporaryDirectory() as folder, hearing_services(Path(folder)) as services:
        for number, (key, sound) in zip(range(1, asked.utterances + 1), itertools.cycle(sounds), strict=False):
            heard = services.hear(sound, "endurance")
            same = first.setdefault(key, heard)
            otherwise += (heard.text, heard.confidence) != (same.text, same.confidence)
            if number % (asked.utterances // TENTHS) == 0:
                print(f"{number:>12}{_workers_mb():>14.0f}{otherwise:>18}", flush=True)


def _workers_mb() -> float:
    return sum(resident_kb(child.pid) for child in multiprocessing.active_children() if child.pid) / 1024


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Hear a thousand questions in a row and watch the memory.")
    parser.add_argument("--utterances", type=int, default=1000, help="how many (%(default)s)")
    parser.add_argument("--voices", type=int, default=2, help="how many voices, from the top of the list (%(default)s)")
    return parser


if __name__ == "__main__":
    main()
