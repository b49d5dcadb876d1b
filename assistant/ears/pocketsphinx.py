"""PocketSphinx, with the English model in its wheel: nothing to download. It tells which of a few sentences was said.

Settings, and why:
- Wide beams: of recordings of more than 50 people, with the whole grammar to find, 91% of commands came out right with
  the usual ones and 96% with these. Among a few sentences they cost next to nothing.
- `bestpath` off, and never `nbest` or `get_lattice`: over a grammar each builds a lattice in which one noisy recording
  kept the decoder busy for 17 minutes.
- A whole utterance at a time: fed in pieces, the decoder takes its mean over earlier speakers for good.
- `reinit_feat` before each utterance: its noise tracker else remembers the last one, and the same sound is not heard
  the same way twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

import pocketsphinx as sphinx

from assistant.ears.base import Sound
from assistant.ears.levels import as_pcm
from assistant.ears.pronunciation import ACOUSTIC_MODEL, DICTIONARY, Pronouncer

WIDE = {"beam": 1e-80, "wbeam": 1e-60, "pbeam": 1e-80}
SENTENCES = "sentences"
START, END = 0, 1  # states


class PocketSphinx:
    """Chooses between sentences."""

    name = "pocketsphinx"

    def __init__(self, pronouncer: Pronouncer | None = None) -> None:
        """Load the model; how words are said that its dictionary lacks, `pronouncer` tells."""
        self.pronouncer = pronouncer or Pronouncer()
        self._decoder = sphinx.Decoder(
            hmm=str(ACOUSTIC_MODEL), dict=str(DICTIONARY), lm=None, bestpath=False, loglevel="FATAL", **WIDE
        )

    def likeliest(self, sentences: Sequence[str], level: Sound) -> str:
        """Which of them was said in a sound that is at the recognisers' level; '' if none was, to its end.

        Each of their words can be said.
        """
        self._learn({word for sentence in sentences for word in sentence.split()})
        decoder = self._decoder
        arcs = list(_side_by_side(sentences))
        decoder.add_fsg(SENTENCES, decoder.create_fsg(SENTENCES, START, END, arcs))
        decoder.activate_search(SENTENCES)
        decoder.reinit_feat()
        decoder.start_utt()
        decoder.process_raw(as_pcm(level), full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        return str(found.hypstr) if found else ""

    def _learn(self, words: Set[str]) -> None:
        """Teach the decoder those that its dictionary lacks."""
        for word in sorted(word for word in words if self._decoder.lookup_word(word) is None):
            for number, phones in enumerate(self.pronouncer.ways(word), start=1):
                entry = word if number == 1 else f"{word}({number})"
                self._decoder.add_word(entry, " ".join(phones), update=False)


def _side_by_side(sentences: Sequence[str]) -> Iterator[tuple[int, int, float, str]]:
    """Arcs of a network that has these sentences, each as likely as the others, and no state in two of them."""
    free = END + 1
    for sentence in sentences:
        words = sentence.split()
        states = [START, *range(free, free + len(words) - 1), END]
        free += len(words) - 1
        for place, word in enumerate(words):
            share = 1 / len(sentences) if place == 0 else 1.0
            yield states[place], states[place + 1], share, word
