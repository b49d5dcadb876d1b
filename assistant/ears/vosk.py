"""Vosk, with any model folder that takes a grammar at run time.

What is worked around here (Vosk 0.3.45):
- Its grammar is no closed list: it trains a bigram model on the phrases, so words cross from one phrase into another.
  Each result is held against the network: the first of its readings that the network takes is believed, and if it takes
  none, the nearest sentence that it has is offered.
- It leaves words that the model lacks out of a phrase without a word to the caller: they are looked up first, and
  listened for as words that it has (`respelled`).
- A model with a static graph takes no grammar and says so only in its log: its files are looked at first.
- `SetGrammar` on a recogniser that is running ends the process, and leaks: each grammar gets a recogniser of its own.
- Its confidence is a share among readings inside the grammar, close to 1 even for speech that is none of them. So a
  second decoder, the doubter, listens for the same and for other words besides: for the model's own word for anything
  else where it has one, else for short words. A sentence is as sure as it leads its rivals in the grammar, times what
  the doubter leaves of its least certain word.

What that is worth: six voices of espeak-ng said 168 Korean sentences of a small bar and 276 that are none of it, half
of them a word or two away from one. What came out as a sentence of the bar was right 114 times and wrong 84; by the
lead alone 86 of the right ones and 38 of the wrong were sure (0.5), with the doubter 44 and 4. Decoding without any
grammar as the rival told them apart less well, at ten times the work.
"""

from __future__ import annotations

import json
import logging
import math
import os
import time
from collections.abc import Iterable, Iterator, Sequence, Set
from difflib import SequenceMatcher
from itertools import chain
from pathlib import Path
from typing import Any

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import NoModel, RecogniserFailed, WordNotSayable
from assistant.ears.leaving_out import without
from assistant.ears.levels import as_pcm
from assistant.ears.nearest import Finder
from assistant.ears.phrase_list import phrase_list
from assistant.ears.pronunciation import english
from assistant.ears.respelled import PutBack, Speller, Spelling, respelled
from assistant.messages import Heard
from grammar.network import Network

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before its library loads: more threads only wait for each other
import vosk

log = logging.getLogger(__name__)

ANYTHING_ELSE = "[unk]"
READINGS = 5  # asked of the decoder for one utterance
OTHERS = 250  # short words that the doubter listens for; 60 let by half as much again, 1,000 no less
SHORT = 3  # phones
HANGUL = range(0xAC00, 0xD7A4)  # its syllables
OUTSIDE = 0.3  # the most confidence in a reading that the network does not take, or the doubter
WORDS_AN_EDIT = 3  # one word in so many may be mended to bring a reading back into the network


class Vosk:
    """Hears the sentences of one network with one model."""

    name = "vosk"

    def __init__(self, model: Path, network: Network, lenient: bool = False) -> None:
        """Load the model and the network.

        Raises NoModel, and WordNotSayable for words that the model's vocabulary neither has nor can spell; leaves them
        out when `lenient`.
        """
        vosk.SetLogLevel(-1)
        _check_files(model)
        try:
            self._model = vosk.Model(str(model))
        except Exception as error:  # the binding raises nothing narrower
            raise NoModel(model, "Vosk cannot load it", "fetch or unpack it again") from error
        spellings = self._spellings(network, lenient)
        mute = frozenset(word for word, ways in spellings.items() if not ways)
        self._network = without(network, mute) if mute else network
        self._finder, self._put_back = Finder(self._network), PutBack(spellings)
        listened_for = respelled(self._network, spellings)
        phrases = phrase_list(listened_for)
        if not phrases:
            raise WordNotSayable(self.name, tuple(sorted(network.words)))
        others = self._others(listened_for.words)
        self._decoder, self._doubter = self._listening_for(phrases), self._listening_for((*phrases, *others))
        self._decoder.SetMaxAlternatives(READINGS)
        self._doubter.SetWords(True)

    def has_word(self, word: str) -> bool:
        """Whether the model's vocabulary has the word."""
        return int(self._model.vosk_model_find_word(word)) > 0

    def hear(self, sound: Sound) -> Heard:
        """The best reading that the network takes; else what is nearest to it there, with little confidence.

        What is unfinished is read without a doubt, and without confidence. Raises RecogniserFailed.
        """
        if not sound.is_unfinished:
            *_, last = self.hear_live([sound])
            return last
        started = time.perf_counter()
        self._decoder.Reset()
        text = self._partial(sound)
        self._decoder.FinalResult()  # lets go of what it learned of the voice: each sound is heard for itself
        return Heard(text, 0.0, (), self.name, sound.seconds, time.perf_counter() - started)

    def hear_live(self, pieces: Iterable[Sound]) -> Iterator[Heard]:
        """While an utterance arrives in pieces: what it may be so far, not to be acted on; and last, what was said.

        A partial reading has no confidence, and the last one may say something else. Raises RecogniserFailed.
        """
        audio_s = work_s = 0.0
        self._decoder.Reset()
        self._doubter.Reset()
        for piece in pieces:
            started = time.perf_counter()
            text = self._partial(piece)
            self._take(self._doubter, piece)
            audio_s, work_s = audio_s + piece.seconds, work_s + time.perf_counter() - started
            yield Heard(text, 0.0, recogniser=self.name, audio_s=audio_s, work_s=work_s)
        started = time.perf_counter()
        text, confidence, others = self._final()
        work_s += time.perf_counter() - started
        yield Heard(text, confidence, others, self.name, audio_s, work_s)

    def close(self) -> None:
        """Nothing to let go of: model and decoder go with this object."""

    def _spellings(self, network: Network, lenient: bool) -> dict[str, tuple[Spelling, ...]]:
        """The words that the vocabulary lacks, and the ways to spell each in words that it has."""
        missing = sorted(word for word in network.words if not self.has_word(word))
        speller = Speller(self.has_word) if missing else None
        found = {word: speller.spellings(word) for word in missing} if speller else {}
        mute = tuple(word for word, ways in found.items() if not ways)
        if mute and not lenient:
            raise WordNotSayable(self.name, mute)
        if mute:
            log.warning("the model's vocabulary neither has nor can spell %s", ", ".join(mute))
        return found

    def _listening_for(self, phrases: Sequence[str]) -> Any:
        return vosk.KaldiRecognizer(self._model, RATE, json.dumps(phrases, ensure_ascii=False))

    def _others(self, own: Set[str]) -> tuple[str, ...]:
        """What else the doubter listens for, beside the grammar's own words."""
        if self.has_word(ANYTHING_ELSE):
            return (ANYTHING_ELSE,)
        english_ones = (word for word, ways in english().items() if len(ways[0]) <= SHORT)
        short = [word for word in chain(map(chr, HANGUL), english_ones) if self.has_word(word)]
        others = [word for word in short if word not in own]
        return tuple(others[at * len(others) // OTHERS] for at in range(min(OTHERS, len(others))))

    def _partial(self, piece: Sound) -> str:
        self._take(self._decoder, piece)
        return self._words(json.loads(self._decoder.PartialResult())["partial"])

    def _take(self, decoder: Any, piece: Sound) -> None:
        try:
            decoder.AcceptWaveform(as_pcm(piece))
        except Exception as error:  # the binding raises nothing narrower
            raise RecogniserFailed(self.name, str(error)) from error

    def _final(self) -> tuple[str, float, tuple[str, ...]]:
        readings: list[dict[str, Any]] = json.loads(self._decoder.FinalResult())["alternatives"]
        doubted: list[dict[str, Any]] = json.loads(self._doubter.FinalResult()).get("result", [])
        shares = _shares([float(reading["confidence"]) for reading in readings])
        texts = [self._words(reading["text"]) for reading in readings]
        is_other = bool(doubted) and all(each["word"] == ANYTHING_ELSE for each in doubted)
        if is_other or not texts[0]:
            return "", 0.0, ()
        taken = next((at for at, text in enumerate(texts) if text and self._network.accepts(text.split())), None)
        best = texts[taken] if taken is not None else self._brought_back(texts)
        confidence = shares[taken or 0] * _undoubted(readings[taken or 0]["text"].split(), doubted)
        confidence = confidence if taken is not None else min(confidence, OUTSIDE)
        return best, confidence, tuple(dict.fromkeys(text for text in texts if text not in ("", best)))

    def _words(self, text: str) -> str:
        """The text as the grammar spells it."""
        return " ".join(self._put_back.words(text.split(), self._network.accepts))

    def _brought_back(self, texts: list[str]) -> str:
        """The sentence of the network nearest to a reading, the likeliest first; else the likeliest as it is."""
        for text in texts:
            words = text.split()
            near = self._finder.nearest(words, max(1, len(words) // WORDS_AN_EDIT))
            if near is not None and near.words:
                return " ".join(near.words)
        return texts[0]


def _shares(scores: list[float]) -> list[float]:
    """Scores in nats, as shares of one."""
    best = max(scores)
    weights = [math.exp(score - best) for score in scores]
    return [weight / sum(weights) for weight in weights]


def _undoubted(words: Sequence[str], doubted: Sequence[dict[str, Any]]) -> float:
    """The confidence in the least certain of these words, where the doubter heard them all; else what is left then."""
    heard = [each["word"] for each in doubted]
    same = SequenceMatcher(None, words, heard, autojunk=False).get_matching_blocks()
    left = [float(each["conf"]) for block in same for each in doubted[block.b : block.b + block.size]]
    return max(min(left), OUTSIDE) if len(left) == len(words) else OUTSIDE


def _check_files(model: Path) -> None:
    """Refuse a folder that is no model, or one whose graph takes no grammar. Raises NoModel."""
    if not model.is_dir():
        raise NoModel(model, "there is no such folder", "give the folder that the model was unpacked to")
    if not ((model / "am" / "final.mdl").is_file() or (model / "final.mdl").is_file()):
        raise NoModel(model, "it holds no final.mdl, so it is no Vosk model", "give the folder inside the archive")
    graph = model / "graph" if (model / "graph").is_dir() else model
    if not ((graph / "HCLr.fst").is_file() and (graph / "Gr.fst").is_file()):
        raise NoModel(model, "its graph takes no grammar at run time", "use a model whose name has 'small' or 'lgraph'")
