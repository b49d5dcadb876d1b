"""The wake phrase, and what people say anyway that sounds like it."""

from __future__ import annotations

import pytest

from assistant.ears.pronunciation import Pronouncer
from assistant.ears.rivals import Rivals
from demo_audio_scripts.speak import VOICES, Voice
from tests.spoken import said_by

pytestmark = pytest.mark.audio

FLITE = tuple(voice for voice in VOICES if voice.program == "flite")
voices = pytest.mark.parametrize("voice", FLITE, ids=lambda voice: voice.name)


@pytest.fixture(scope="module")
def rivals() -> Rivals:
    """Of the house's phrase."""
    return Rivals(("skerry", "haven"), Pronouncer())


@voices
@pytest.mark.parametrize("text", ["Skerry Haven.", "Scary haven."])
def test_the_phrase_is_likelier_than_all_of_them(rivals: Rivals, voice: Voice, text: str) -> None:
    """Whoever says it, and however it is spelled."""
    if not voice.is_here:
        pytest.skip("no speech synthesiser is installed")
    assert not rivals.are_likelier(said_by(voice, text))


@voices
@pytest.mark.parametrize("text", ["Scary evening.", "Very even.", "What do you want?"])
def test_what_people_say_anyway_is_not_the_phrase(rivals: Rivals, voice: Voice, text: str) -> None:
    """As far as everyday words go."""
    if not voice.is_here:
        pytest.skip("no speech synthesiser is installed")
    assert rivals.are_likelier(said_by(voice, text))
