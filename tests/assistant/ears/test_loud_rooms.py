"""The phone reader was taught to read in loud rooms."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import Sound
from assistant.ears.levels import levelled, surrounded
from assistant.ears.phone_reader import QUIET_S, PhoneReader
from assistant.ears.phone_search import nearness
from assistant.ears.pronunciation import Pronouncer
from demo_audio_scripts.speak import VOICES
from tests.benchmarks.bar_room import babble, voices
from tests.benchmarks.rooms import pink
from tests.benchmarks.speech import mixed
from tests.benchmarks.teaching.package_file import shipped
from tests.spoken import said_by

SAID = (
    "how much lime juice in a daiquiri",
    "make it three",
    "we're out of gin",
    "which drinks are sours",
)
SPEAKERS = [voice for voice in VOICES if voice.name in ("espeak-en-us", "flite-rms")]
SNR_DB = 8.0

pytestmark = pytest.mark.audio


@pytest.fixture(scope="module")
def taught() -> PhoneReader:
    return PhoneReader()


@pytest.fixture(scope="module")
def untaught() -> PhoneReader:
    """With the weights that the package ships."""
    pytest.importorskip("hama", reason="the package has no library for Windows")
    return PhoneReader(shipped())


@pytest.mark.parametrize("room", ["pink noise", "talk"])
def test_in_a_loud_room_it_reads_nearer_to_what_was_said(room: str, taught: PhoneReader, untaught: PhoneReader) -> None:
    """Over eight sentences the phones that were said are likelier than with the weights that it began with."""
    behind = pink() if room == "pink noise" else babble(voices(8, seed=5), 20.0)
    sounds = [(text, _in_room(said_by(voice, text), behind)) for voice in SPEAKERS for text in SAID]
    assert sum(_near(taught, *each) for each in sounds) > 0.7 * sum(_near(untaught, *each) for each in sounds)


def test_in_a_quiet_room_it_reads_as_well_as_before(taught: PhoneReader, untaught: PhoneReader) -> None:
    """What it was taught cost it nothing that matters: a voice that it never heard in its lessons is read as well."""
    sounds = [(text, said_by(VOICES[3], text)) for text in SAID]
    assert sum(_near(taught, *each) for each in sounds) > 1.2 * sum(_near(untaught, *each) for each in sounds)


def _in_room(speech: Sound, behind: Sound) -> Sound:
    return mixed(speech, behind, SNR_DB, np.random.default_rng(1))


def _near(reader: PhoneReader, text: str, sound: Sound) -> float:
    """Nats that the sentence is behind a free reading, 0 or less."""
    words = tuple(text.split())
    return nearness([words], Pronouncer().ways, reader.read(surrounded(levelled(sound), QUIET_S)))[words]
