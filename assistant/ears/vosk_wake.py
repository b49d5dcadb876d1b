"""The wake phrase in a language that Vosk has a model for: heard as words, with no grammar to lead it there.

With the whole vocabulary to choose from, the model writes the phrase only where that is what it sounds like; given the
phrase as its grammar it would find it everywhere. All words of the phrase must be in the model's vocabulary.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import RecogniserFailed, WordNotSayable
from assistant.ears.levels import as_pcm, is_silent
from assistant.ears.spotting import Spotted
from grammar.clean import phrase as words_of

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before its library loads: more threads only wait for each other
import vosk


class VoskSpotter:
    """Finds one phrase with one model."""

    name = "wake phrase"

    def __init__(self, model: Path, phrase: str) -> None:
        """Load the model. Raises WordNotSayable for words that its vocabulary lacks, and RecogniserFailed."""
        vosk.SetLogLevel(-1)
        try:
            self._model = vosk.Model(str(model))
        except Exception as error:  # the binding raises nothing narrower
            raise RecogniserFailed(self.name, f"{model} cannot be loaded") from error
        self._words = words_of(phrase) or tuple(phrase.split())
        missing = tuple(word for word in self._words if int(self._model.vosk_model_find_word(word)) <= 0)
        if missing or not self._words:
            raise WordNotSayable(self.name, missing or (phrase,))
        self._decoder = vosk.KaldiRecognizer(self._model, RATE)
        self._decoder.SetWords(True)

    def hear(self, sound: Sound) -> Spotted:
        """Whether the phrase is in the sound, and where."""
        started = time.perf_counter()
        words = [] if is_silent(sound) else self._heard(sound)
        at = _place([str(word["word"]) for word in words], self._words)
        work_s = time.perf_counter() - started
        if at is None:
            return Spotted("", 0.0, recogniser=self.name, audio_s=sound.seconds, work_s=work_s)
        own = words[at : at + len(self._words)]
        sure = min(float(word["conf"]) for word in own)
        begins, ends = float(own[0]["start"]), float(own[-1]["end"])
        return Spotted(" ".join(self._words), sure, (), self.name, sound.seconds, work_s, begins, ends)

    def close(self) -> None:
        """Nothing to let go of: model and decoder go with this object."""

    def _heard(self, sound: Sound) -> list[dict[str, Any]]:
        """The words with their times."""
        self._decoder.Reset()
        try:
            self._decoder.AcceptWaveform(as_pcm(sound))
        except Exception as error:  # the binding raises nothing narrower
            raise RecogniserFailed(self.name, str(error)) from error
        return list(json.loads(self._decoder.FinalResult()).get("result", ()))


def _place(words: Sequence[str], phrase: Sequence[str]) -> int | None:
    """Where the phrase begins among the words."""
    last = len(words) - len(phrase)
    return next((at for at in range(last + 1) if tuple(words[at : at + len(phrase)]) == tuple(phrase)), None)
