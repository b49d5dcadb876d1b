"""The recogniser that every machine has, on speech from synthesisers."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.errors import WordNotSayable
from assistant.ears.pocketsphinx import PocketSphinx
from demo_audio_scripts.speak import VOICES, Voice
from grammar import jsgf, network
from tests.spoken import said_by

BAR = """#JSGF V1.0;
grammar bar;
public <ask> = what's in (a | the) <drink> | how much <thing> in a <drink> | [make] it <count> | we're out of <thing>;
<drink> = gimlet | negroni | margarita | tidewrack | clover club;
<thing> = lime juice | orgeat | falernum | gin;
<count> = one | two | three | four;
"""
SAID = ("what's in the gimlet", "how much lime juice in a margarita", "make it three", "we're out of falernum")
FOUR = VOICES[:4]


@pytest.fixture(scope="module")
def ear() -> PocketSphinx:
    """An ear for a small bar."""
    return PocketSphinx(network.build(jsgf.parse(BAR)))


@pytest.mark.audio
@pytest.mark.parametrize("text", SAID)
@pytest.mark.parametrize("voice", FOUR, ids=lambda voice: voice.name)
def test_what_the_grammar_has_is_heard(ear: PocketSphinx, voice: Voice, text: str) -> None:
    """Questions, follow-ups and names that no dictionary has, in each of four voices."""
    if not voice.is_here:
        pytest.skip(f"{voice.program} is not installed")
    heard = ear.hear(said_by(voice, text))
    assert heard.text == text
    assert heard.recogniser == "pocketsphinx"
    assert heard.audio_s > heard.work_s > 0


@pytest.mark.audio
def test_the_same_sound_is_always_heard_the_same_way(ear: PocketSphinx) -> None:
    """What was said before does not change what is heard now."""
    voice = next((voice for voice in VOICES if voice.is_here), None)
    if voice is None:
        pytest.skip("no speech synthesiser is installed")
    sound, other = said_by(voice, SAID[0]), said_by(voice, SAID[1])
    first = ear.hear(sound)
    ear.hear(other)
    again = ear.hear(sound)
    assert (again.text, again.confidence) == (first.text, first.confidence)


@pytest.mark.parametrize(
    "samples",
    [np.zeros(0), np.zeros(100), np.zeros(RATE), np.full(RATE, 1.0), np.full(RATE, -1.0)],
    ids=["nothing", "a click", "digital silence", "stuck high", "stuck low"],
)
def test_what_is_no_speech_is_heard_as_nothing(ear: PocketSphinx, samples: np.ndarray) -> None:
    """A button pressed by mistake asks for no drink."""
    heard = ear.hear(Sound(samples.astype(np.float32)))
    assert heard.text == ""
    assert heard.confidence == 0


def test_words_without_a_sound_are_refused_or_left_out() -> None:
    """A grammar with digits is refused; a lenient ear hears the rest of it."""
    table = network.build(jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = table seven | table 7;"))
    with pytest.raises(WordNotSayable) as refused:
        PocketSphinx(table)
    assert refused.value.words == ("7",)
    assert PocketSphinx(table, lenient=True).hear(Sound(np.zeros(RATE, np.float32))).text == ""
