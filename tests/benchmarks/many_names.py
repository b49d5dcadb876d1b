"""Books of 60, 250 and 1,000 drink names: how many questions about a drink are heard right, and how long that takes.

Run: python -m tests.benchmarks.many_names [--names 60 250 1000] [--voices 4] [--lines 40] [--noise babble --snr 15]

The names are the book's own, and beyond them pairs of common words, as bars make them up; two names often share a word.
Each voice asks about other drinks. A line is right when the question and the drink are.
"""

from __future__ import annotations

import argparse
import random
import resource
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from assistant.ears.choose import POCKETSPHINX, Plan
from assistant.ears.pronunciation import usual_ways
from assistant.messages import Heard
from assistant.names import names_of
from assistant.reading import SURE
from demo_audio_scripts.speak import FEW, VOICES, Voice
from grammar import phrasebook
from grammar.clean import phrase
from grammar.command import Command, Meaning
from grammar.matcher import Matcher
from grammar.names import Name, Names
from grammar.respellings import Respellings
from recipes.loader import load_book
from tests.benchmarks.rooms import room
from tests.spoken import Noise, said_by

SEED = 11
ASKED = ("what's in a {}", "what does a {} cost", "batch twenty {}", "how strong is the {}", "walk me through a {}")
FIRST = """
amber autumn barrel beacon bitter black blue borrowed brass broken burning candle cedar cellar cinder clever cold copper
corner crooked crystal distant dusty early eastern electric emerald empty evening falling faded feather fifth final
flying foreign forgotten frozen garden gentle ghost gilded glass golden grand gravel harvest hidden hollow honest humble
idle iron island ivory jade juniper kind lantern last late lazy lemon little lonely lost lucky marble meadow midnight
modern mossy narrow noble northern nutmeg orchard paper patient pepper plain polished quiet rambling ribbon river robin
rusty saffron salty scarlet second secret silent silver simple sleepy smoky solid southern spare stolen stormy summer
thirsty timber velvet violet walnut wandering western wicked wild winter wooden yellow
"""
SECOND = """
alibi anchor answer apron archer arrow attic avenue bakery balcony basket bishop blanket bonnet bridge brother button
cabin camel captain carpenter castle cathedral chapel chimney circus clock coach colonel compass cottage cousin cradle
crown dancer dagger diamond doctor dragon drummer engine envelope falcon ferry fiddle fisherman flag fountain gambler
gardener gentleman giant harbour hammer horizon hotel hunter jacket judge kettle kingdom ladder lady lawyer letter
lighthouse magnet market mayor merchant mirror monkey morning mountain needle neighbour orphan oyster painter palace
parade parrot pebble pigeon pilgrim pocket porter postcard preacher prince promise puppet rabbit railway rocket rooster
sailor saint sermon shadow shepherd signal sister soldier spider stranger tailor teacher temple thief ticket tiger tower
traveller trumpet tunnel uncle valley village visitor wagon waiter whistle widow window witness
"""


@dataclass(frozen=True)
class Told:
    """One question, and what became of it."""

    heard: Heard
    is_right: bool

    @property
    def is_sure(self) -> bool:
        """Whether it would be answered without asking back."""
        return bool(self.heard.text) and self.heard.confidence >= SURE


def main() -> None:
    """Print the table."""
    chosen = _parser().parse_args()
    noise = Noise(room(chosen.noise), chosen.snr) if chosen.noise else None
    heads = ("heard right", "sure, right", "sure, wrong", "work a second", "95th, s", "ready, s", "MB")
    print(f"{'names':>6}" + "".join(f"{head:>15}" for head in heads))
    for count in chosen.names:
        print(_row(count, chosen.lines, VOICES[: chosen.voices], noise), flush=True)


def _row(count: int, lines: int, voices: Sequence[Voice], noise: Noise | None) -> str:
    names = of_so_many(count)
    matcher, written = Matcher(names, usual_ways()), Respellings(names).written
    started = time.perf_counter()
    with_names = phrasebook.load(names)
    ear = Plan(with_names.network(), POCKETSPHINX, lenient=True, names=names)()
    ready_s = time.perf_counter() - started
    told = []
    for number, voice in enumerate(voices):
        chance = random.Random(SEED + number)
        for name in chance.sample(names.drink, min(lines, count)):
            text = chance.choice(ASKED).format(" ".join(phrase(name.canonical)))
            sound = said_by(voice, text)
            heard = ear.hear(noise.over(sound, SEED) if noise else sound)
            right = is_same(matcher.understand(written(heard.text)), matcher.understand(text))
            told.append(Told(heard, right))
    ear.close()
    return f"{count:>6}" + "".join(f"{cell:>15}" for cell in (*_cells(told), f"{ready_s:.1f}", _megabytes()))


def _cells(told: Sequence[Told]) -> tuple[str, ...]:
    right = sum(each.is_right for each in told)
    sure = [each.is_right for each in told if each.is_sure]
    shares = (right, sum(sure), len(sure) - sum(sure))
    work = sum(each.heard.work_s for each in told) / sum(each.heard.audio_s for each in told)
    longest = float(np.percentile([each.heard.work_s for each in told], 95))
    return (*(f"{share / len(told):.1%}" for share in shares), f"{work:.2f} s", f"{longest:.2f}")


def _megabytes() -> str:
    return f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f}"


def is_same(one: Meaning, other: Meaning) -> bool:
    """Whether two texts ask the same, of the same."""
    return (
        isinstance(one, Command)
        and isinstance(other, Command)
        and (one.intent, dict(one.slots)) == (other.intent, dict(other.slots))
    )


def of_so_many(count: int) -> Names:
    """The book's names, with so many drinks."""
    names = names_of(load_book())
    own = random.Random(SEED).sample(names.drink, min(count, len(names.drink)))
    choice = random.Random(SEED).choice
    made: dict[str, Name] = {}
    while len(own) + len(made) < count:
        title = f"{choice(FIRST.split())} {choice(SECOND.split())}".title()
        made[title] = Name(title)
    return replace(names, drink=(*own, *made.values()))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Count what is heard right of books with many names.")
    parser.add_argument("--names", type=int, nargs="+", default=[60, 250, 1000], help="drinks in the book")
    parser.add_argument("--voices", type=int, default=FEW, help="how many voices, from the top of speak.py's list")
    parser.add_argument("--lines", type=int, default=40, help="questions by each voice (default: %(default)s)")
    parser.add_argument("--noise", help="what is behind the speaker: pink, babble, or a recording of a room")
    parser.add_argument("--snr", type=float, default=15.0, help="how far speech lies above it, in dB")
    return parser


if __name__ == "__main__":
    main()
