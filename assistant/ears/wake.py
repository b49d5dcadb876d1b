"""Whether a wake phrase was said somewhere in a sound, and where.

The phones of the phrase are laid over those that were read off the sound, wherever they fit best: they must not fall
far behind what a free reading finds there, nor behind everyday words that sound like them (`rivals`). PocketSphinx, any
phones with the phrase among them against any phones at all, took ten times as long and missed more behind talk; its own
keyword search missed more still.

What it takes was read off eleven synthetic voices in noise of a kitchen and of voices, against talk that is none of it;
`tests/benchmarks/hands_free.py` prints what comes of it.
"""

from __future__ import annotations

import itertools
import time
from dataclasses import replace

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import WordNotSayable
from assistant.ears.levels import is_silent, levelled, surrounded
from assistant.ears.phone_reader import MOMENT_S, QUIET_S, PhoneReader
from assistant.ears.phone_search import anywhere
from assistant.ears.pronunciation import Pronouncer
from assistant.ears.rivals import Rivals
from assistant.ears.spotting import Spotted
from assistant.ears.weighing import logistic
from grammar.clean import phrase as words_of

NEEDED = -0.58  # nats a phone by which the phrase may fall behind a free reading
SLOPE = 0.25  # nats a phone that take a confidence of 0.5 to 0.73
SHORTEST_S = 0.3
MARGIN_S = 0.15  # put with the phrase on both sides, for its rivals
NOT_SAID = Spotted("", 0.0)


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
        said = itertools.product(*map(pronouncer.ways, self._words))
        self._ways = [tuple(itertools.chain.from_iterable(way)) for way in said]
        self._reader, self._rivals = PhoneReader(), Rivals(self._words, pronouncer)

    def hear(self, sound: Sound) -> Spotted:
        """Whether the phrase is in the sound, and where."""
        started = time.perf_counter()
        is_speech = sound.seconds >= SHORTEST_S and not is_silent(sound)
        found = self._found(sound) if is_speech else NOT_SAID
        work_s = time.perf_counter() - started
        return replace(found, recogniser=self.name, audio_s=sound.seconds, work_s=work_s)

    def close(self) -> None:
        """Nothing to let go of: the model goes with this object."""

    def _found(self, sound: Sound) -> Spotted:
        place = anywhere(self._ways, self._reader.moments(surrounded(levelled(sound), QUIET_S)))
        lead = place.score / min(map(len, self._ways)) - NEEDED
        begins_s, ends_s = (max(0.0, moment * MOMENT_S - QUIET_S) for moment in (place.begins, place.ends))
        around = slice(max(0, round((begins_s - MARGIN_S) * RATE)), round((ends_s + MARGIN_S) * RATE))
        if lead < 0 or self._rivals.are_likelier(Sound(sound.samples[around])):
            return NOT_SAID
        return Spotted(" ".join(self._words), logistic(lead / SLOPE), begins_s=begins_s, ends_s=ends_s)
