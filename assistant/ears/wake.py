"""Whether a wake phrase was said somewhere in a sound, and where it ends.

Two readings of the same sound are compared: any phones at all, and any phones with the phrase among them. Around the
phrase both go the same way, so the difference of their log likelihoods is about the phrase alone, wherever it stands
and whatever is said after it. PocketSphinx's own keyword search does much the same in one pass over sound as it comes,
and missed a quarter to a half of what this finds. What is not found in the sound as it came is looked for once more in
the sound without its noise. What is found is heard once more by another listener (`rivals`).

What it takes was read off eleven synthetic voices in noise of a kitchen and of voices, against talk that is none of it;
`tests/benchmarks/hands_free.py` prints what comes of it.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, cached_property
from itertools import count

import pocketsphinx as sphinx

from assistant.ears.base import RATE, Sound
from assistant.ears.denoise import HARMLESS_DB, depth_db, heard_apart
from assistant.ears.errors import WordNotSayable
from assistant.ears.levels import as_pcm, is_silent, levelled
from assistant.ears.pronunciation import ACOUSTIC_MODEL, DICTIONARY, Pronouncer, english
from assistant.ears.rivals import Rivals
from assistant.ears.spotting import Spotted
from grammar.clean import phrase as words_of

BEAMS = {"beam": 1e-60, "wbeam": 1e-60, "pbeam": 1e-60}  # tighter ones lose the phrase among the free phones
ANOTHER_PHONE = 0.001  # the chance that one more free phone follows: less of it, and words win more easily
NEEDED = -40.0  # nats by which the phrase may fall behind free phones
SLOPE = 15.0  # nats that take a confidence of 0.5 to 0.73
SHORTEST_S = 0.3
PHONE_S = 0.05  # nobody says a phone of it in less: the decoder crams the phrase into a word or two of quick talk
MARGIN_S = 0.15  # put with the phrase on both sides, for the second listener
FRAME_S = 0.01
SHIFT = 1024  # the decoder scales its log likelihoods down by this before it tells them
ANYTHING, CALLED = "anything", "called"  # the two readings


class Spotter:
    """Finds one phrase."""

    name = "wake phrase"

    def __init__(self, phrase: str, pronouncer: Pronouncer | None = None) -> None:
        """Load the model. Raises WordNotSayable for words that have no sound in English."""
        pronouncer = pronouncer or Pronouncer()
        self._words = words_of(phrase)
        mute = pronouncer.unsayable(self._words)
        if mute or not self._words:
            raise WordNotSayable(self.name, mute or (phrase,))
        self._decoder = sphinx.Decoder(
            hmm=str(ACOUSTIC_MODEL), dict=str(DICTIONARY), lm=None, bestpath=False, loglevel="FATAL", **BEAMS
        )
        _add_words(self._decoder, self._words, pronouncer)
        _add_readings(self._decoder, self._words)
        self._least_s = PHONE_S * sum(min(map(len, pronouncer.ways(word))) for word in self._words)
        self._pronouncer = pronouncer

    def hear(self, sound: Sound) -> Spotted:
        """Whether the phrase is in the sound, and where."""
        started = time.perf_counter()
        found = next((spotted for spotted in self._looks(sound) if spotted.text), Spotted("", 0.0))
        work_s = time.perf_counter() - started
        return replace(found, recogniser=self.name, audio_s=sound.seconds, work_s=work_s)

    def close(self) -> None:
        """Nothing to let go of: the decoder goes with this object."""

    def _looks(self, sound: Sound) -> Iterator[Spotted]:
        """What is found in the sound as it came, then without its noise."""
        if sound.seconds < SHORTEST_S or is_silent(sound):
            return
        for treated in (levelled, heard_apart) if depth_db(sound) <= HARMLESS_DB else (levelled,):
            found = self._look(treated(sound))
            yield Spotted("", 0.0) if self._is_another(found, sound) else found

    @cached_property
    def _rivals(self) -> Rivals:
        """The second listener, begun when it is first asked: most of what is looked through has nothing like it."""
        return Rivals(self._words, self._pronouncer)

    def _is_another(self, found: Spotted, sound: Sound) -> bool:
        """Whether a second listener holds that something like the phrase was said."""
        if not found.text:
            return False
        begins, ends = (round(second * RATE) for second in (found.begins_s - MARGIN_S, found.ends_s + MARGIN_S))
        return self._rivals.are_likelier(Sound(sound.samples[max(0, begins) : ends]))

    def _look(self, sound: Sound) -> Spotted:
        pcm = as_pcm(sound)
        called = self._score(pcm, CALLED)
        if called is None:
            return Spotted("", 0.0)
        own = [part for part in self._decoder.seg() if not part.word.startswith(("<", "[", "+"))]
        anything = self._score(pcm, ANYTHING)
        lead = called - anything if anything is not None else 0.0
        if lead < NEEDED or not own:
            return Spotted("", 0.0)
        confidence = 1 / (1 + math.exp(-min((lead - NEEDED) / SLOPE, 30.0)))
        begins, ends = own[0].start_frame * FRAME_S, (own[-1].end_frame + 1) * FRAME_S
        if ends - begins < self._least_s:
            return Spotted("", 0.0)
        return Spotted(" ".join(self._words), confidence, begins_s=begins, ends_s=ends)

    def _score(self, pcm: bytes, reading: str) -> float | None:
        """The log likelihood (nats) of one reading; None where it has no way through the sound."""
        decoder = self._decoder
        decoder.activate_search(reading)
        decoder.reinit_feat()
        decoder.start_utt()
        decoder.process_raw(pcm, full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        return math.log(found.best_score) * SHIFT if found else None


def _add_words(decoder: sphinx.Decoder, words: Sequence[str], pronouncer: Pronouncer) -> None:
    """Teach the decoder the words that its dictionary lacks, and each phone as a word of its own."""
    for word in sorted({word for word in words if decoder.lookup_word(word) is None}):
        for number, phones in zip(count(1), pronouncer.ways(word), strict=False):
            decoder.add_word(word if number == 1 else f"{word}({number})", " ".join(phones), update=False)
    for phone in _phones():
        decoder.add_word(_free(phone), phone, update=False)


def _add_readings(decoder: sphinx.Decoder, words: Sequence[str]) -> None:
    """Any phones; and any phones, the phrase, any phones."""
    last = len(words)
    said = [(at, at + 1, 1.0, word) for at, word in enumerate(words)]
    decoder.add_fsg(ANYTHING, decoder.create_fsg(ANYTHING, 0, 0, _phones_at(0)))
    decoder.add_fsg(CALLED, decoder.create_fsg(CALLED, 0, last, [*_phones_at(0), *said, *_phones_at(last)]))


def _phones_at(state: int) -> list[tuple[int, int, float, str]]:
    return [(state, state, ANOTHER_PHONE / len(_phones()), _free(phone)) for phone in _phones()]


@cache
def _phones() -> tuple[str, ...]:
    """All phones that the dictionary writes words in."""
    return tuple(sorted({phone for ways in english().values() for way in ways for phone in way}))


def _free(phone: str) -> str:
    """A phone that belongs to no word; begins as noises do, so that what is left of a reading is the phrase."""
    return f"+{phone}+"
