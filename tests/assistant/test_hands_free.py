"""A conversation without hands, with a stand-in for the phrase and for the recogniser."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.ears.attention import State
from assistant.ears.base import Sound
from assistant.hands_free import HandsFree, Moment
from assistant.messages import Heard, Question, Reply
from tests.assistant.ears.test_attention import HighTone, Samples, in_room, phrase, quiet, talk

CALLED = [quiet(1.5), phrase(), quiet(0.2), talk(1.0), quiet(1.0)]
PLAIN = Reply("Gimlet: two ounces gin.")


class Bar:
    """Hears one thing in any command, and answers it."""

    def __init__(self, reply: Reply = PLAIN, hears: str = "spec for a gimlet", partials: bool = False) -> None:
        self.reply, self.hears, self.confidence = reply, hears, 0.9
        self.asked: list[str] = []
        self.sounds: list[Sound] = []
        self.talk = HandsFree(self.hear, HighTone(), "Skerry Haven", partials)

    def hear(self, sound: Sound) -> Heard:
        """What any command says."""
        self.sounds.append(sound)
        return Heard(self.hears, self.confidence)

    def ask(self, heard: Heard) -> Reply:
        """The one reply."""
        self.asked.append(heard.text)
        return replace(self.reply, heard=heard)

    def go_on(self, parts: list[Samples], is_aloud: bool = False) -> list[Moment]:
        """What comes of this much more sound."""
        heard = in_room(parts)
        pieces = [Sound(heard[at : at + 3_200]) for at in range(0, len(heard), 3_200)]
        return [self.talk.take(piece, self.ask, is_aloud) for piece in pieces]


def test_what_follows_the_phrase_is_answered() -> None:
    """Once, and then it is asleep."""
    bar = Bar()
    moments = bar.go_on(CALLED)
    assert bar.asked == ["spec for a gimlet"]
    assert [moment.reply.say for moment in moments if moment.reply] == [PLAIN.say]
    assert moments[-1].state is State.ASLEEP


def test_its_own_reply_is_no_command() -> None:
    """Whatever is heard while it speaks, without the phrase."""
    bar = Bar()
    bar.go_on(CALLED)
    bar.go_on([talk(3), quiet(1), talk(1), quiet(1)], is_aloud=True)
    bar.go_on([talk(1), quiet(1)])
    assert len(bar.asked) == 1


def test_the_phrase_interrupts_it() -> None:
    """It listens while it still speaks, and what is said then is a command."""
    bar = Bar()
    bar.go_on(CALLED)
    moments = bar.go_on([quiet(1.5), phrase(), quiet(0.6)], is_aloud=True)
    assert moments[-1].state is State.LISTENING
    bar.go_on([quiet(0.3), talk(1), quiet(1)])
    assert len(bar.asked) == 2


def test_a_reply_that_holds_the_phrase_does_not_interrupt_itself() -> None:
    """A bar may call its phrase like a drink."""
    bar = Bar(Reply("Skerry Haven: two ounces gin."))
    bar.go_on(CALLED)
    moments = bar.go_on(CALLED, is_aloud=True)
    assert {moment.state for moment in moments} == {State.ASLEEP}
    assert len(bar.asked) == 1


def test_a_question_back_is_answered_without_the_phrase() -> None:
    """Once it has been said; after one that asks nothing, the same words are other people's."""
    for asks, answers in ((Question("Gin or rum?", ()), 2), (None, 1)):
        bar = Bar(Reply("Gin or rum?", asks=asks))
        bar.go_on(CALLED)
        bar.go_on([talk(1.5)], is_aloud=True)
        bar.go_on([quiet(0.8), talk(0.8), quiet(1)])
        assert len(bar.asked) == answers


def test_noise_in_place_of_a_command_is_not_answered() -> None:
    """It listens on, once, and then sleeps."""
    bar = Bar(hears="")
    assert bar.go_on(CALLED)[-1].state is State.LISTENING
    assert bar.go_on([talk(1), quiet(1)])[-1].state is State.ASLEEP
    assert bar.asked == []


def test_a_pan_before_the_command_is_not_answered() -> None:
    """Little sound, in which nothing was heard for sure: the command is still to come, and is answered."""
    bar = Bar()
    bar.confidence = 0.3
    assert bar.go_on([quiet(1.5), phrase(), quiet(0.5), talk(0.4), quiet(1)])[-1].state is State.LISTENING
    assert bar.asked == []
    bar.confidence = 0.9
    bar.go_on([talk(1), quiet(1)])
    assert len(bar.asked) == 1


@pytest.mark.parametrize(("seconds", "confidence"), [(0.4, 0.9), (1.6, 0.3)])
def test_a_short_command_that_is_sure_is_answered_and_a_long_one_in_any_case(seconds: float, confidence: float) -> None:
    """ "Stop" at once; and half a sentence that was not sure is asked about."""
    bar = Bar()
    bar.confidence = confidence
    bar.go_on([quiet(1.5), phrase(), quiet(0.5), talk(seconds), quiet(1)])
    assert len(bar.asked) == 1


def test_who_speaks_too_low_is_asked_what_it_was() -> None:
    """Not passed over a second time."""
    bar = Bar()
    bar.confidence = 0.3
    bar.go_on([quiet(1.5), phrase(), quiet(0.5), talk(0.4), quiet(1), talk(0.4), quiet(1)])
    assert len(bar.asked) == 1


def test_partial_text_comes_where_the_recogniser_can() -> None:
    """While the command is said, and not where hearing again would take too long."""
    bar = Bar(partials=True)
    told = {moment.partial for moment in bar.go_on(CALLED)}
    assert told == {"", "spec for a gimlet"}
    assert [sound.is_unfinished for sound in bar.sounds] == [*[True] * (len(bar.sounds) - 1), False]
    assert len(bar.sounds) > 2
    assert {moment.partial for moment in Bar().go_on(CALLED)} == {""}
