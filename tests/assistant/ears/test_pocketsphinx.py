"""The decoder that chooses between sentences, on speech from synthesisers."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.levels import levelled
from assistant.ears.pocketsphinx import PocketSphinx
from demo_audio_scripts.speak import VOICES, Voice
from tests.spoken import said_by

SAID = ("what's in the tidewrack", "how much lime juice in a margarita", "make it three", "we're out of falernum")
OTHERS = ("what's in the gimlet", "how much lemon juice in a margarita", "make it two", "make it", "we're out of gin")
FOUR = VOICES[:4]


@pytest.fixture(scope="module")
def chooser() -> PocketSphinx:
    """With the model in its wheel."""
    return PocketSphinx()


@pytest.mark.audio
@pytest.mark.parametrize("text", SAID)
@pytest.mark.parametrize("voice", FOUR, ids=lambda voice: voice.name)
def test_what_was_said_is_told_from_what_was_not(chooser: PocketSphinx, voice: Voice, text: str) -> None:
    """Names that no dictionary has among them, in each of four voices, wherever in the list it stands."""
    if not voice.is_here:
        pytest.skip(f"{voice.program} is not installed")
    sound = levelled(said_by(voice, text))
    assert chooser.likeliest((*SAID, *OTHERS), sound) == text
    assert chooser.likeliest((*OTHERS, *SAID), sound) == text


@pytest.mark.audio
def test_the_same_sound_is_always_heard_the_same_way(chooser: PocketSphinx) -> None:
    """What was said before does not change what is heard now."""
    voice = next((voice for voice in VOICES if voice.is_here), None)
    if voice is None:
        pytest.skip("no speech synthesiser is installed")
    sound, other = levelled(said_by(voice, SAID[0])), levelled(said_by(voice, SAID[1]))
    first = chooser.likeliest(OTHERS, sound)
    chooser.likeliest(SAID, other)
    assert chooser.likeliest(OTHERS, sound) == first


def test_too_little_sound_is_none_of_them(chooser: PocketSphinx) -> None:
    """No sentence fits into a moment."""
    assert chooser.likeliest(SAID, Sound(np.zeros(RATE // 50, np.float32))) == ""
