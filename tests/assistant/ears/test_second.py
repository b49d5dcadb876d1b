"""Two listeners are better than one."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.choose import POCKETSPHINX, Plan
from assistant.ears.phone_reader import is_here
from assistant.ears.phone_search import Sentence
from assistant.ears.second import candidates, in_fewer_words, sentences_to_weigh, span
from assistant.ears.weighing import Candidate
from assistant.reading import SURE
from demo_audio_scripts.speak import VOICES, Voice
from grammar import jsgf, network
from grammar.gist import gist
from tests.spoken import said_by

BAR = """#JSGF V1.0;
grammar bar;
public <s> = what's in (a | the) (gimlet | negroni | tidewrack) | make it (two | three);
"""
FOUR = VOICES[:4]


def test_articles_make_no_other_sentence() -> None:
    """'A' and 'the' do not stand against each other: what was heard, and of each meaning the nearest."""
    near = [
        Sentence(("what's", "in", "a", "gimlet"), -3),
        Sentence(("what's", "in", "an", "gimlet"), -4),
        Sentence(("what's", "in", "a", "negroni"), -9),
    ]
    assert sentences_to_weigh(["what's in the gimlet", ""], near) == [
        "what's in the gimlet",
        "what's in a gimlet",
        "what's in a negroni",
    ]


def test_a_word_that_was_only_put_in_may_go() -> None:
    """An 'and' or an article that changes nothing; what is left is a sentence, and means the same."""
    bar = network.build(
        jsgf.parse("#JSGF V1.0; grammar b; public <s> = [and] what's in (a | the | [an]) gimlet | gimlet;")
    )
    left = set(in_fewer_words("and what's in an gimlet", bar, gist))
    assert left == {"and what's in an gimlet", "what's in an gimlet", "and what's in gimlet", "what's in gimlet"}


def test_of_wordings_that_mean_the_same_one_is_weighed() -> None:
    """The one that was heard, or another that is clearly nearer; that the meaning was heard counts for either."""

    def means(text: str) -> str:
        return text.removesuffix(" it")

    scores = {"skip it": -10.7, "skip": -1.5, "coupe": -1.6}
    assert candidates("skip it", "skip it", scores, means) == [
        Candidate("skip", True, True, -1.5),
        Candidate("coupe", False, False, -1.6),
    ]
    assert candidates("skip it", "skip it", scores | {"skip it": -2.0}, means)[0] == Candidate(
        "skip it", True, True, -2
    )


def test_what_was_heard_may_be_too_long_for_the_sound() -> None:
    """Then it has no score, and is not weighed."""
    assert candidates("two gimlets", "two gimlets", {"gin": -2.0}, str) == [Candidate("gin", False, False, -2.0)]


def test_only_what_is_loud_enough_is_looked_at() -> None:
    """A long silence before and after is cut, but for a moment."""
    samples = np.zeros(4 * RATE, np.float32)
    samples[2 * RATE : 3 * RATE] = np.sin(np.arange(RATE) / 5)
    found = span(Sound(samples))
    assert found.start == pytest.approx(1.85 * RATE, abs=RATE / 20)
    assert found.stop == pytest.approx(3.15 * RATE, abs=RATE / 20)
    assert span(Sound(np.zeros(RATE, np.float32))) == slice(None)


@pytest.mark.audio
@pytest.mark.skipif(not is_here(), reason="the phone reader has no library for this machine")
@pytest.mark.parametrize("text", ["what's in a tidewrack", "make it three"])
@pytest.mark.parametrize("voice", FOUR, ids=lambda voice: voice.name)
def test_what_was_said_is_heard_and_sure(voice: Voice, text: str) -> None:
    """Through the real models, names that no dictionary has among them."""
    if not voice.is_here:
        pytest.skip(f"{voice.program} is not installed")
    ear = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)()
    heard = ear.hear(said_by(voice, text))
    ear.close()
    assert heard.text == text
    assert heard.confidence >= SURE


@pytest.mark.audio
@pytest.mark.skipif(not is_here(), reason="the phone reader has no library for this machine")
@pytest.mark.parametrize("seconds", [0.01, 0.1, 0.15, 0.5])
def test_a_click_is_no_command(seconds: float) -> None:
    """However short a noise is, nothing is taken for sure, and nothing fails."""
    ear = Plan(network.build(jsgf.parse(BAR)), POCKETSPHINX)()
    noise = np.random.default_rng(3).standard_normal(int(seconds * RATE)).astype(np.float32) / 10
    assert ear.hear(Sound(noise)).confidence < SURE
    ear.close()
