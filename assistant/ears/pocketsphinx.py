"""PocketSphinx, with the English model in its wheel: nothing to download, and a grammar that it never leaves.

Settings, and why (recordings of more than 50 people, commands right):
- Wide beams: 91% with the usual ones, 96% with these. They cost about half as much time again.
- `bestpath` off, and never `nbest` or `get_lattice`: over a grammar each builds a lattice in which one noisy recording
  kept the decoder busy for 17 minutes.
- A large network is made of compounds (see compounds.py), a small one is not: there a speaker may pause anywhere.
- A whole utterance at a time: fed in pieces, the decoder takes its mean over earlier speakers for good.
- `reinit_feat` before each utterance: its noise tracker else remembers the last one, and the same sound is not heard
  the same way twice.
"""

from __future__ import annotations

import itertools
import logging
import math
import time
from collections import Counter
from collections.abc import Iterator

import pocketsphinx as sphinx

from assistant.ears.base import Sound
from assistant.ears.certainty import certainty
from assistant.ears.compounds import compounded
from assistant.ears.denoise import heard_apart
from assistant.ears.errors import WordNotSayable
from assistant.ears.leaving_out import without
from assistant.ears.levels import as_pcm, is_silent
from assistant.ears.pronunciation import ACOUSTIC_MODEL, DICTIONARY, PHONE_LOOP, Pronouncer
from assistant.messages import Heard
from grammar.network import SILENT, Network

log = logging.getLogger(__name__)

WIDE = {"beam": 1e-80, "wbeam": 1e-60, "pbeam": 1e-80}  # for a few hundred words
# For thousands, where wide ones take as long as the speech: at most so many phones are tried in a frame, which costs no
# sentence that is found without, and takes a third off the time.
TIGHTER = {"beam": 1e-60, "wbeam": 1e-40, "pbeam": 1e-60, "maxhmmpf": 1200}
MANY_ARCS = 3_000
SHORTEST_S = 0.1  # nothing can be said in less
MOST_WAYS = 6  # to say a compound, of all that its words give together
BREATHLESS = "_"  # between the words of a compound, in the decoder's own dictionary
GRAMMAR = "grammar"
PHONES = "phones"
SHIFT = 1024  # the decoder scales its log likelihoods down by this before it tells them


class PocketSphinx:
    """Hears the sentences of one network."""

    name = "pocketsphinx"

    def __init__(self, network: Network, pronouncer: Pronouncer | None = None, lenient: bool = False) -> None:
        """Load the model and the network.

        Raises WordNotSayable for words that have no sound (digits, other scripts); leaves them out when `lenient`.
        """
        pronouncer = pronouncer or Pronouncer()
        network = _sayable(network, pronouncer, lenient)
        is_large = len(network.arcs) > MANY_ARCS
        self.is_quick = not is_large  # a second look at the same sound costs little
        if is_large:
            network = compounded(network)
        self._decoder = _decoder(TIGHTER if is_large else WIDE)
        _add_words(self._decoder, network.words, pronouncer)
        arcs = self._decoder.create_fsg(GRAMMAR, network.start, network.final, list(_transitions(network)))
        self._decoder.add_fsg(GRAMMAR, arcs)
        self._decoder.add_allphone_file(PHONES, str(PHONE_LOOP))

    def hear(self, sound: Sound) -> Heard:
        """The sentence of the network that is nearest to the sound; empty when none was said to its end."""
        started = time.perf_counter()
        is_speech = sound.seconds >= SHORTEST_S and not is_silent(sound)
        text, confidence = self._read(as_pcm(heard_apart(sound))) if is_speech else ("", 0.0)
        return Heard(
            text,
            confidence=confidence,
            recogniser=self.name,
            audio_s=sound.seconds,
            work_s=time.perf_counter() - started,
        )

    def nearest(self, level: Sound) -> str:
        """The nearest sentence to a sound that is at the recognisers' level; empty when none was said to its end."""
        return self._decoded(as_pcm(level), GRAMMAR)[0]

    def close(self) -> None:
        """Nothing to let go of: the decoder goes with this object."""

    def _read(self, pcm: bytes) -> tuple[str, float]:
        """The sentence, and how sure it is; no sentence is never sure."""
        text, score = self._decoded(pcm, GRAMMAR)
        if not text:
            return "", 0.0
        _, phones = self._decoded(pcm, PHONES)
        return text, certainty(score, phones, self._decoder.n_frames(), len(text.split()))

    def _decoded(self, pcm: bytes, search: str) -> tuple[str, float]:
        """What one search makes of the sound, and its log likelihood (nats)."""
        decoder = self._decoder
        decoder.activate_search(search)
        decoder.reinit_feat()
        decoder.start_utt()
        decoder.process_raw(pcm, full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        if not found:
            return "", -math.inf
        return str(found.hypstr).replace(BREATHLESS, " "), math.log(found.best_score) * SHIFT


def _decoder(beams: dict[str, float]) -> sphinx.Decoder:
    return sphinx.Decoder(
        hmm=str(ACOUSTIC_MODEL), dict=str(DICTIONARY), lm=None, bestpath=False, loglevel="FATAL", **beams
    )


def _sayable(network: Network, pronouncer: Pronouncer, lenient: bool) -> Network:
    mute = pronouncer.unsayable(network.words)
    if not mute:
        return network
    if not lenient:
        raise WordNotSayable(PocketSphinx.name, mute)
    log.warning("cannot listen for %s", ", ".join(mute))
    return without(network, frozenset(mute))


def _add_words(decoder: sphinx.Decoder, words: frozenset[str], pronouncer: Pronouncer) -> None:
    """Teach the decoder the words that its dictionary lacks, compounds among them."""
    for words_said in sorted(words):
        entry = _entry(words_said)
        if decoder.lookup_word(entry) is None:
            for number, phones in enumerate(_ways(words_said, pronouncer), start=1):
                decoder.add_word(entry if number == 1 else f"{entry}({number})", " ".join(phones), update=False)


def _entry(words: str) -> str:
    """What the decoder's dictionary calls a word, or several said in one breath."""
    return words.replace(" ", BREATHLESS)


def _ways(words: str, pronouncer: Pronouncer) -> Iterator[list[str]]:
    """The phones of a word, or of several in one breath: the usual ways first."""
    ways = itertools.product(*map(pronouncer.ways, words.split()))
    return (list(itertools.chain.from_iterable(way)) for way in itertools.islice(ways, MOST_WAYS))


def _transitions(network: Network) -> Iterator[tuple[int, int, float] | tuple[int, int, float, str]]:
    """The arcs as the decoder takes them; those of a state share its probability evenly."""
    ways_on = Counter(arc.source for arc in network.arcs)
    for arc in network.arcs:
        share = 1 / ways_on[arc.source]
        if arc.word == SILENT:
            yield arc.source, arc.target, share
        else:
            yield arc.source, arc.target, share, _entry(arc.word)
