"""How sure a reading is: how much better its sentence explains the sound than free-running phones do.

The decoder's own score says nothing of this: over a grammar some sentence always wins. A second pass over the same
sound may take any phones in any order (the phone loop of PocketSphinx's wheel); a sentence that was really said comes
close to it or passes it, one that was not falls behind. Both scores are log likelihoods; their difference, by frame, is
compared with what it takes. A few words pass the loop less easily than many: they have little context to win by.

What it takes was read off 80 lines of the demo scripts, as two synthetic voices speak them (see DEVELOPERS.md for what
it does to other voices and to people). The result is no probability: it is 0.5 where right and wrong cross over.
"""

from __future__ import annotations

import math

FEW_WORDS = 3
TAKES = -0.65  # nats a frame, sentence less phones
TAKES_FEW = -1.6  # the same, for up to FEW_WORDS
SLOPE = 0.25  # nats a frame that take 0.5 to 0.73


def certainty(sentence: float, phones: float, frames: int, words: int) -> float:
    """0 to 1 from two log likelihoods (nats) of the same frames, and how many words the sentence has."""
    lead = (sentence - phones) / max(frames, 1)
    needed = TAKES_FEW if words <= FEW_WORDS else TAKES
    return 1 / (1 + math.exp(-max(min((lead - needed) / SLOPE, 30.0), -30.0)))
