"""Two listeners are better than one."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.choose import POCKETSPHINX, Plan
from assistant.ears.errors import WordNotSayable
from assistant.ears.second import AS_SAID, SecondOpinion, of_each_gist, span
from assistant.reading import SURE
from demo_audio_scripts.speak import VOICES, Voice
from grammar import jsgf, network
from tests.spoken import said_by

BAR = """#JSGF V1.0;
grammar bar;
public <s> = what's in (a | the) (gimlet | negroni | tidewrack) | make it (two | three);
"""
FOUR = VOICES[:4]


def test_of_each_gist_the_first_is_weighed() -> None:
    """'A' and 'the' do not stand against each other."""
    near = ["what's in a gimlet", "what's in an gimlet", "what's in a negroni"]
    assert of_each_gist(near, AS_SAID) == ["what's in a gimlet", "what's in a negroni"]


def test_only_what_is_loud_enough_is_looked_at() -> None:
    """A long silence before and after is cut, but for a moment."""
    samples = np.zeros(4 * RATE, np.float32)
    samples[2 * RATE : 3 * RATE] = np.sin(np.arange(RATE) / 5)
    found = span(Sound(samples))
    assert found.start == pytest.approx(1.85 * RATE, abs=RATE / 20)
    assert found.stop == pytest.approx(3.15 * RATE, abs=RATE / 20)
    assert span(Sound(np.zeros(RATE, np.float32))) == slice(None)


@pytest.mark.audio
@pytest.mark.parametrize("text", ["what's in a tidewrack", "make it three"])
@pytest.mark.parametrize("voice", FOUR, ids=lambda voice: voice.name)
def test_what_was_said_is_heard_and_sure(voice: Voice, text: str) -> None:
    """Through the real models, names that no dictionary has among them."""
    if not voice.is_here:
        pytest.skip(f"{voice.program} is not installed")
    ear = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)()
    heard = ear.hear(said_by(voice, text))
    ear.close()
    assert AS_SAID.gist(heard.text) == AS_SAID.gist(text)
    assert heard.confidence >= SURE


@pytest.mark.audio
def test_the_same_sound_is_always_heard_the_same_way() -> None:
    """What was said before does not change what is heard now, nor how sure it is."""
    voice = next((voice for voice in VOICES if voice.is_here), None)
    if voice is None:
        pytest.skip("no speech synthesiser is installed")
    ear = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)()
    sound, other = said_by(voice, "what's in a tidewrack"), said_by(voice, "make it three")
    first, _, again = ear.hear(sound), ear.hear(other), ear.hear(sound)
    assert (again.text, again.confidence) == (first.text, first.confidence)
    assert first.recogniser == "pocketsphinx"
    assert first.audio_s > first.work_s > 0


@pytest.mark.parametrize(
    "samples",
    [np.zeros(0), np.zeros(100), np.zeros(RATE), np.full(RATE, 1.0), np.full(RATE, -1.0)],
    ids=["nothing", "a click", "digital silence", "stuck high", "stuck low"],
)
def test_what_is_no_speech_is_heard_as_nothing(samples: np.ndarray) -> None:
    """A button pressed by mistake asks for no drink."""
    heard = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)().hear(Sound(samples.astype(np.float32)))
    assert (heard.text, heard.confidence) == ("", 0)


def test_words_without_a_sound_are_refused_or_left_out() -> None:
    """A grammar with digits is refused; a lenient ear hears the rest of it."""
    table = network.build(jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = table seven | table 7;"))
    with pytest.raises(WordNotSayable) as refused:
        SecondOpinion(table)
    assert refused.value.words == ("7",)
    assert SecondOpinion(table, lenient=True).hear(Sound(np.zeros(RATE, np.float32))).text == ""


@pytest.mark.audio
@pytest.mark.parametrize("seconds", [0.01, 0.1, 0.15, 0.5])
def test_a_click_is_no_command(seconds: float) -> None:
    """However short a noise is, nothing is taken for sure, and nothing fails."""
    ear = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)()
    noise = np.random.default_rng(3).standard_normal(int(seconds * RATE)).astype(np.float32) / 10
    assert ear.hear(Sound(noise)).confidence < SURE
    ear.close()
