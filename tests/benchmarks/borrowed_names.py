"""Names from France, Italy, Spain, Mexico, Portugal and Brazil: how many are heard right, said as there or as here.

Run: python -m tests.benchmarks.borrowed_names [--part kept|tuned|all] [--voices espeak-en-us espeak-en-gb]

Words of food and drink that the recogniser's dictionary lacks stand as drinks beside the book's. In an English question
a voice of espeak-ng says each as a voice of its own language would, and as English reads it. That is done with the ways
of saying a name that English letters alone give, and with those of the other languages too. Every second word was kept
back while the rules were written (grammar/letters_romance.txt); only those are said unless asked otherwise.
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

from assistant.ears.base import Sound
from assistant.ears.pocketsphinx import PocketSphinx
from assistant.ears.pronunciation import Pronouncer, usual_ways
from assistant.ears.second import SecondOpinion
from assistant.names import names_of
from assistant.reading import SURE
from demo_audio_scripts.speak import VOICES, Voice
from grammar import phrasebook
from grammar.matcher import Matcher
from grammar.meanings import Meanings
from grammar.names import Name, Names
from grammar.respellings import Respellings
from grammar.sounds import Phones
from recipes.loader import load_book
from tests.benchmarks.many_names import is_same
from tests.spoken import said_by

SEED = 5
ASKED = ("what's in a {}", "how strong is the {}", "walk me through a {}")
PARTS = {"tuned": (0, 2), "kept": (1, 2), "all": (0, 1)}  # the first word, and every how many-th
WORDS = {  # by the voice of espeak-ng that says them
    "it": """
        limoncello bergamotto genziana rabarbaro carciofo chinotto aranciata mirtillo nocciola ciliegia ginepro
        camomilla melagrana pompelmo orzata mandorla rosmarino zafferano liquirizia ciociara sgroppino bicerin gianduia
        pistacchio cantucci zabaglione stracciatella bresaola castagnaccio tagliatelle bagna chioggia conegliano arancia
        sciroppo ghiaccio acqua""",
    "fr": """
        boulevardier fraise framboise groseille pamplemousse myrtille menthe gentiane noisette citronnelle verveine
        marjolaine vieux poire abricot gingembre cannelle tilleul bouillabaisse cassoulet choucroute montpellier ratafia
        agneau poireau chevreuil mousseux pousse rhum coing prunelle feuille orgeat sirop peche pastis houblon""",
    "es-419": """
        horchata tepache guanabana tamarindo piloncillo membrillo naranjilla hierbabuena cebolla jengibre vainilla
        ajonjoli guajillo zapote xalapa sanlucar rebujito sangrita pulque raicilla bacanora canchanchara jalisco
        cuernavaca mezcalero toronja aguardiente ponche guayaba hoja nuez""",
    "pt-br": """
        caipirinha jabuticaba maracuja ginjinha acerola pitanga feijoada bacalhau alentejo medronho batida laranjinha
        pinhao""",
}


class InTwoTongues(Voice):
    """A voice that is told in SSML which words are of another language."""

    def command(self, text: str, file: Path) -> list[str]:
        """What to run: espeak-ng, reading markup."""
        return ["espeak-ng", "-m", "-v", self.own_name, "-w", str(file), "--", text]


class ByEnglishLetters(Pronouncer):
    """Says words that no dictionary has in one way, as before other languages were asked."""

    def ways(self, word: str) -> tuple[Phones, ...]:
        """All of a known word, of others the first."""
        ways = super().ways(word)
        return ways if self.is_known(word) else ways[:1]


@dataclass(frozen=True)
class Told:
    """One question, and what became of it."""

    as_there: bool
    is_right: bool
    is_sure: bool
    work_s: float
    sound_s: float


def main() -> None:
    """Print the table."""
    chosen = _parser().parse_args()
    first, every = PARTS[chosen.part]
    voices = [InTwoTongues(v.name, v.program, v.own_name) for v in VOICES if v.name in chosen.voices]
    words = [(tongue, word) for tongue in WORDS for word in WORDS[tongue].split()[first::every]]
    said = list(_said(words, voices))
    names = with_these(names_of(load_book()))
    heads = ("said as", "n", "heard right", "sure, right", "sure, wrong", "work a second", "ways", "ready, s")
    print(f"{'listened for':>22}" + "".join(f"{head:>15}" for head in heads))
    for title, pronouncer in (("by English letters", ByEnglishLetters()), ("and other languages'", Pronouncer())):
        for row in _rows(said, names, pronouncer):
            print(f"{title:>22}" + "".join(f"{cell:>15}" for cell in row), flush=True)


def with_these(names: Names) -> Names:
    """The book's names, and the words as drinks."""
    return replace(names, drink=(*names.drink, *(Name(w.title()) for said in WORDS.values() for w in said.split())))


def _said(words: Sequence[tuple[str, str]], voices: Sequence[Voice]) -> Iterator[tuple[bool, str, Sound]]:
    """Whether as there, the question, and its sound: of each voice and word, both ways."""
    chance = random.Random(SEED)
    asked = {word: chance.choice(ASKED) for _, word in words}
    for voice, (tongue, word), as_there in product(voices, words, (True, False)):
        name = f'<voice xml:lang="{tongue}">{word}</voice>' if as_there else word
        yield as_there, asked[word].format(word), said_by(voice, f"<speak>{asked[word].format(name)}</speak>")


def _rows(said: Sequence[tuple[bool, str, Sound]], names: Names, pronouncer: Pronouncer) -> Iterator[tuple[str, ...]]:
    started = time.perf_counter()
    network = phrasebook.load(names).network()
    ear = SecondOpinion(network, Meanings(names), lenient=True, chooser=PocketSphinx(pronouncer))
    ready_s = time.perf_counter() - started
    ways = sum(len(pronouncer.ways(word)) for word in network.words)
    matcher, written = Matcher(names, usual_ways()), Respellings(names).written
    told = []
    for as_there, text, sound in said:
        heard = ear.hear(sound)
        right = is_same(matcher.understand(written(heard.text)), matcher.understand(text))
        is_sure = bool(heard.text) and heard.confidence >= SURE
        told.append(Told(as_there, right, is_sure, heard.work_s, heard.audio_s))
    ear.close()
    for as_there in (True, False):
        cells = _cells([each for each in told if each.as_there == as_there])
        yield ("there" if as_there else "in English", *cells, str(ways), f"{ready_s:.1f}")


def _cells(told: Sequence[Told]) -> tuple[str, ...]:
    sure = [each.is_right for each in told if each.is_sure]
    counts = (sum(each.is_right for each in told), sum(sure), len(sure) - sum(sure))
    work = sum(each.work_s for each in told) / sum(each.sound_s for each in told)
    return (str(len(told)), *(f"{count / len(told):.1%}" for count in counts), f"{work:.2f} s")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Count how many names from other languages are heard right.")
    parser.add_argument("--part", choices=PARTS, default="kept", help="of the words (default: %(default)s)")
    parser.add_argument(
        "--voices", nargs="+", default=["espeak-en-us", "espeak-en-gb"], help="of speak.py's list, espeak-ng's"
    )
    return parser


if __name__ == "__main__":
    main()
