"""The stand-in for a recogniser."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import RecogniserFailed
from assistant.ears.scripted import Mishap, Scripted
from assistant.messages import Heard

SECOND = Sound(np.zeros(RATE, np.float32))


def test_it_hears_its_lines_in_order_and_then_nothing() -> None:
    """One line an utterance, whatever is said."""
    ear = Scripted(["spec for a gimlet", Heard("make it two", 0.4)])
    assert [ear.hear(SECOND).text for _ in range(3)] == ["spec for a gimlet", "make it two", ""]


def test_it_tells_who_heard_and_how_long_the_sound_was() -> None:
    """What it hears looks like what a real recogniser hears."""
    assert Scripted(["yes"]).hear(SECOND) == Heard("yes", 1.0, recogniser="scripted", audio_s=1.0)


def test_it_fails_when_told_to() -> None:
    """A failure can be had without breaking a real recogniser."""
    ear = Scripted([Mishap.FAILS, "yes"])
    with pytest.raises(RecogniserFailed):
        ear.hear(SECOND)
    assert ear.hear(SECOND).text == "yes"
    ear.close()
