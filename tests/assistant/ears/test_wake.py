"""The wake phrase, said by a voice, and talk that is not it."""

from __future__ import annotations

import pytest

from assistant.ears.base import Sound
from assistant.ears.errors import WordNotSayable
from assistant.ears.spotting import Spotting
from assistant.ears.wake import Spotter
from demo_audio_scripts.speak import VOICES
from tests.assistant.ears.test_attention import quiet
from tests.spoken import HEARD_S, said_by

pytestmark = pytest.mark.audio

PHRASE = "Skerry Haven"
VOICE = next((voice for voice in VOICES if voice.program == "flite" and voice.is_here), VOICES[0])
aloud = pytest.mark.skipif(not VOICE.is_here, reason="no speech synthesiser is installed")


@pytest.fixture(scope="module")
def spotter() -> Spotter:
    """An ear for the phrase."""
    return Spotter(PHRASE)


@aloud
def test_it_is_found_with_what_follows_and_its_end_is_told(spotter: Spotter) -> None:
    """So that the command can be cut off it: the end lies where the phrase alone would end."""
    alone = said_by(VOICE, f"{PHRASE}.")
    found = spotter.hear(said_by(VOICE, f"{PHRASE}, what's in a gimlet"))
    assert found.text == "skerry haven"
    assert found.ends_s == pytest.approx(alone.seconds, abs=0.4)
    assert found.begins_s < 0.4 < found.ends_s


@aloud
@pytest.mark.parametrize(
    "text",
    ["what's in a gimlet", "Gerry has haddock", "it was a scary evening by the harbour", "scary evening, what a storm"],
)
def test_other_talk_is_not_it(spotter: Spotter, text: str) -> None:
    """Nor is what sounds a little like it, or much."""
    assert spotter.hear(said_by(VOICE, text)).text == ""


def test_silence_is_not_it(spotter: Spotter) -> None:
    """Nor is next to nothing."""
    assert spotter.hear(Sound(quiet(2))).text == ""
    assert spotter.hear(Sound(quiet(0.01))).text == ""


def test_a_phrase_that_english_cannot_say_is_refused() -> None:
    """With its words."""
    with pytest.raises(WordNotSayable):
        Spotter("여보세요")


@aloud
def test_the_house_may_change_its_phrase() -> None:
    """The next sound is looked through for the new one."""
    phrases = [PHRASE]
    spotting = Spotting(lambda: phrases[-1], limit_s=HEARD_S)
    try:
        called = said_by(VOICE, f"{PHRASE}.")
        assert spotting.hear(called).text == "skerry haven"
        phrases.append("lighthouse keeper")
        assert spotting.hear(called).text == ""
    finally:
        spotting.close()
