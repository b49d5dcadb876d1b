"""Which recogniser hears: the one asked for, or with 'auto' Vosk where it has an English model, else PocketSphinx."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import click

from assistant.ears.base import Recogniser
from assistant.ears.errors import NoModel
from assistant.ears.in_turn import InTurn
from grammar.meanings import Meanings
from grammar.names import Names
from grammar.network import Network

AUTO, VOSK, POCKETSPHINX = "auto", "vosk", "pocketsphinx"
CHOICES = (AUTO, VOSK, POCKETSPHINX)
MODEL = "PREP_ASSISTANT_VOSK_MODEL"  # environment: the folder of one Vosk model, in any language
NO_ENGLISH_MODEL = "no English Vosk model is here"
FETCH_ONE = f"fetch one with 'prep-assistant models fetch small', or set {MODEL} to the folder of yours"


def own_models() -> Path:
    """Where `models fetch` puts models: in this person's folder for what the program keeps."""
    return Path(click.get_app_dir("prep-assistant")) / "models"


def model_folders() -> tuple[Path, ...]:
    """Where models are looked for, first to last: our own folder, then those that Vosk itself uses."""
    return own_models(), Path.home() / ".cache" / "vosk", Path("/usr/share/vosk")


def english_model() -> Path | None:
    """The Vosk model to hear English with: that of the environment, else the first found, else None."""
    if os.environ.get(MODEL):
        return Path(os.environ[MODEL])
    return next(_english_models(), None)


def _english_models() -> Iterator[Path]:
    """Models whose folders' names say English and that take a grammar at run time, the larger first in each folder."""
    for folder in model_folders():
        found = sorted(folder.glob("vosk-model-*")) if folder.is_dir() else []
        english = [path for path in found if "-en-" in path.name and (path / "graph" / "Gr.fst").is_file()]
        yield from sorted(english, key=lambda path: "small" in path.name)


@dataclass(frozen=True)
class Plan:
    """How to make a recogniser: small enough to send to a worker, which calls it there."""

    network: Network
    recogniser: str = AUTO  # one of CHOICES
    lenient: bool = False  # leave out words that cannot be listened for, instead of refusing the grammar
    in_quiz: Network | None = None  # what can be said while a question of the quiz is open, if that is something else
    names: Names | None = None  # of the book, where there is one

    def __call__(self) -> Recogniser:
        """The recogniser, its model loaded. Raises NoModel or WordNotSayable."""
        model = None if self.recogniser == POCKETSPHINX else english_model()
        if model is None and self.recogniser == VOSK:
            raise NoModel(own_models(), NO_ENGLISH_MODEL, FETCH_ONE)
        listening_for = self._by(model)
        commands = listening_for(self.network)
        return InTurn(commands, listening_for(self.in_quiz)) if self.in_quiz else commands

    def _by(self, model: Path | None) -> Callable[[Network], Recogniser]:
        """What makes a recogniser of a network: by this model of Vosk, else by those that are here, loaded once."""
        if model is not None:
            from assistant.ears.vosk import Vosk

            return partial(Vosk, model, lenient=self.lenient)
        from assistant.ears.pocketsphinx import PocketSphinx
        from assistant.ears.second import AS_SAID, SecondOpinion

        means = AS_SAID if self.names is None else Meanings(self.names)
        return partial(SecondOpinion, means=means, lenient=self.lenient, chooser=PocketSphinx())
