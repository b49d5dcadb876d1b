"""How many spoken commands a recogniser gets right, clean and in noise. Prints a table, and how far its word is good.

Run: python -m tests.benchmarks.speech FOLDER --grammar FILE.jsgf [--noise FILE --snr 15 9 6] [--recogniser NAME]

FOLDER holds `labels.json`, {recording: {"slots": {slot: words}}}, and the recordings in `audio/`. A command is right
when every labelled slot holds the labelled words; the slots are found by the grammar's own rules. Noise is mixed as the
open set speech-to-intent-benchmark does it: a random stretch, the energy of a signal being that of its loudest frame of
2,048 samples, and the sum divided by twice its largest sample.
"""

from __future__ import annotations

import argparse
import json
import resource
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import Recogniser, Sound
from assistant.ears.choose import AUTO, CHOICES, Plan
from assistant.ears.sound import open_sound
from assistant.messages import Heard
from assistant.reading import SURE
from grammar import jsgf, network
from grammar.exact import Parser
from grammar.rules import Grammar, Tagged, Word, children

FRAME = 2_048  # samples
SEED = 2
Labels = Mapping[str, Mapping[str, str]]  # recording -> slot -> words
STEPS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.01)  # of confidence, for the second table


@dataclass(frozen=True)
class Heeded:
    """One recording as it was heard."""

    file: str
    heard: Heard
    is_right: bool

    @property
    def is_sure(self) -> bool:
        """Whether it would be acted on."""
        return bool(self.heard.text) and self.heard.confidence >= SURE


class Slots:
    """What a sentence of the grammar says for each slot that is labelled."""

    def __init__(self, grammar: Grammar, labels: Labels) -> None:
        parser = Parser(grammar, frozenset())
        values: dict[str, set[str]] = {}
        for slots in labels.values():
            for slot, words in slots.items():
                values.setdefault(slot, set()).add(words)
        self._commands = [rule.name for rule in grammar.public]
        rules = dict(grammar.rules)
        for slot, said in values.items():
            rule = rules[_rule_for(slot, said, grammar, parser)]
            rules[rule.name] = replace(rule, body=Tagged(rule.body, slot))
        self._parser = Parser(replace(grammar, rules=rules), frozenset())

    def of(self, text: str) -> dict[str, str]:
        """The words of each slot; none for what is no sentence."""
        words = text.split()
        heard = [(word,) for word in words]
        for command in self._commands:
            for reading in self._parser.sentences(command, heard, {}):
                return {mark.slot: " ".join(words[mark.start : mark.end]) for mark in reading.marks}
        return {}


def _rule_for(slot: str, said: set[str], grammar: Grammar, parser: Parser) -> str:
    """The rule that says all that a slot is labelled with: of several, that of the fewest words."""
    fits = [
        name
        for name in grammar.rules
        if all(parser.sentences(name, [(word,) for word in words.split()], {}) for words in said)
    ]
    if not fits:
        raise SystemExit(f"no rule of the grammar says everything that the slot {slot} is labelled with")
    return min(fits, key=lambda name: len(_words(grammar, name)))


def _words(grammar: Grammar, rule: str) -> set[str]:
    found: set[str] = set()
    waiting, seen = [grammar.rules[rule].body], {rule}
    while waiting:
        item = waiting.pop()
        if isinstance(item, Word):
            found.add(item.text)
        waiting += children(item)
        name = getattr(item, "name", None)
        if name in grammar.rules and name not in seen:
            seen.add(name)
            waiting.append(grammar.rules[name].body)
    return found


def mixed(speech: Sound, noise: Sound, snr_db: float, random: np.random.Generator) -> Sound:
    """Speech with a random stretch of noise, at a ratio of their loudest frames."""
    start = random.integers(0, len(noise.samples) - len(speech.samples))
    stretch = noise.samples[start : start + len(speech.samples)]
    level = np.sqrt(_energy(speech.samples) / _energy(stretch) / 10 ** (snr_db / 10))
    together = speech.samples + stretch * np.float32(level)
    return Sound((together / (2 * np.abs(together).max())).astype(np.float32))


def _energy(samples: NDArray[np.float32]) -> float:
    whole = samples[: len(samples) // FRAME * FRAME] if len(samples) >= FRAME else samples
    return float(np.square(whole.astype(np.float64)).reshape(-1, min(FRAME, len(whole))).sum(axis=1).max())


def heed(
    ear: Recogniser,
    folder: Path,
    labels: Mapping[str, Mapping[str, str]],
    slots: Slots,
    noise: tuple[Sound, float] | None,
) -> Iterator[Heeded]:
    """Every recording of the folder, heard and judged."""
    random = np.random.default_rng(SEED)
    for file, wanted in labels.items():
        sound = open_sound(folder / "audio" / file)
        heard = ear.hear(mixed(sound, *noise, random) if noise else sound)
        said = slots.of(heard.text)
        yield Heeded(file, heard, all(said.get(slot) == words for slot, words in wanted.items()))


def row(name: str, heeded: Sequence[Heeded]) -> str:
    """A line of the first table."""
    sound_s = sum(each.heard.audio_s for each in heeded)
    work_s = sum(each.heard.work_s for each in heeded)
    sure = [each for each in heeded if each.is_sure]
    right = sum(each.is_right for each in heeded)
    sure_right = sum(each.is_right for each in sure)
    shares = (right, sure_right, len(sure) - sure_right, len(heeded) - len(sure))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    told = "".join(f"{100 * share / len(heeded):10.1f}%" for share in shares)
    return f"{name:<8}{told}{work_s / sound_s:12.3f}{memory:10.0f}"


def reliability(heeded: Sequence[Heeded]) -> Iterator[str]:
    """The second table: of those heard with so much confidence, how many were right."""
    yield f"{'confidence':<14}{'recordings':>12}{'mean':>8}{'right':>8}"
    for low, high in pairwise(STEPS):
        here = [each for each in heeded if low <= each.heard.confidence < high]
        if here:
            mean = sum(each.heard.confidence for each in here) / len(here)
            right = sum(each.is_right for each in here) / len(here)
            yield f"{low:.2f} to {min(high, 1):.2f}{'':<2}{len(here):12}{mean:8.2f}{right:8.2f}"


def main() -> None:
    """Print the tables."""
    asked = _arguments()
    grammar = jsgf.load(asked.grammar)
    labels = {file: entry["slots"] for file, entry in json.loads((asked.folder / "labels.json").read_text()).items()}
    slots = Slots(grammar, labels)
    ear = Plan(network.build(grammar), asked.recogniser)()
    noise = open_noise(asked.noise) if asked.noise else None
    print(f"{ear.name}, {len(labels)} recordings")
    heads = ("right", "sure+right", "sure+wrong", "asks again")
    print(f"{'':<8}{''.join(f'{head:>11}' for head in heads)}{'work/sound':>12}{'peak MB':>10}")
    everything: list[Heeded] = []
    for snr in (None, *(asked.snr if noise else ())):
        found = list(heed(ear, asked.folder, labels, slots, (noise, snr) if noise and snr is not None else None))
        print(row("clean" if snr is None else f"{snr:g} dB", found), flush=True)
        everything += found
    print(*reliability(everything), sep="\n")


def open_noise(file: Path) -> Sound:
    """A noise of any length at the recognisers' rate."""
    import soundfile

    samples, rate = soundfile.read(file, dtype="float32", always_2d=True)
    if rate != 16_000:
        raise SystemExit(f"{file} has {rate} samples a second; give it at 16,000")
    return Sound(samples.mean(axis=1))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Count the spoken commands that a recogniser gets right.")
    parser.add_argument("folder", type=Path, help="holds labels.json and audio/")
    parser.add_argument("--grammar", type=Path, required=True, help="JSGF file of all that is said")
    parser.add_argument("--noise", type=Path, help="a recording of noise, longer than any command")
    parser.add_argument("--snr", type=float, nargs="+", default=[15, 9, 6], help="in dB; default: %(default)s")
    parser.add_argument("--recogniser", choices=CHOICES, default=AUTO)
    return parser.parse_args()


if __name__ == "__main__":
    main()
