"""Who is being spoken to, in a stream of tones that stand for people: the phrase is told by a stand-in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.ears.attention import LONGEST_S, WINDOW_S, Attention, State
from assistant.ears.base import RATE, Sound
from assistant.ears.spotting import Spotted

Samples = NDArray[np.float32]
PHRASE_HZ, TALK_HZ = 700.0, 500.0
PIECE_S = 0.2


@dataclass
class HighTone:
    """Takes a high tone for the phrase; a low one is other talk."""

    name: str = "stand-in"
    looks: list[float] = field(default_factory=list)

    def hear(self, sound: Sound) -> Spotted:
        """Where the high tone stands."""
        self.looks.append(sound.seconds)
        frames = sound.samples[: len(sound.samples) // 800 * 800].reshape(-1, 800)
        spectra = np.abs(np.fft.rfft(frames, axis=1))
        high, low = (spectra[:, round(hertz / 20)] for hertz in (PHRASE_HZ, TALK_HZ))
        found = np.flatnonzero((high > 20) & (high > low))
        if len(found) < 14:  # a part of the phrase is no phrase
            return Spotted("")
        return Spotted("phrase", begins_s=found[0] * 0.05, ends_s=(found[-1] + 1) * 0.05)

    def close(self) -> None:
        """Nothing to let go of."""


def tone(hertz: float, seconds: float, level: float = 0.3) -> Samples:
    """A voice, as far as loudness goes."""
    wave: Samples = (level * np.sin(2 * np.pi * hertz * np.arange(int(seconds * RATE)) / RATE)).astype(np.float32)
    return wave


def phrase() -> Samples:
    """The wake phrase."""
    return tone(PHRASE_HZ, 0.8)


def talk(seconds: float) -> Samples:
    """Anything else that is said."""
    return tone(TALK_HZ, seconds)


def quiet(seconds: float) -> Samples:
    """Nobody speaks."""
    return np.zeros(int(seconds * RATE), np.float32)


def in_room(parts: Iterable[Samples], noise: float = 1e-3) -> Samples:
    """The parts one after the other, in a room with so much noise."""
    heard = np.concatenate(list(parts))
    return heard + np.random.default_rng(3).standard_normal(len(heard), dtype=np.float32) * np.float32(noise)


def follow(attention: Attention, heard: Samples) -> list[Sound]:
    """The commands that come out of it."""
    step = int(PIECE_S * RATE)
    taken = (attention.take(Sound(heard[at : at + step])) for at in range(0, len(heard), step))
    return [command for command in taken if command is not None]


@pytest.mark.parametrize("noise", [1e-3, 0.01])
def test_phrase_and_command_in_one_breath(noise: float) -> None:
    """The command comes out without the phrase, soon after it has ended, also where the room is never silent."""
    attention = Attention(HighTone())
    (command,) = follow(attention, in_room([quiet(1.5), phrase(), quiet(0.15), talk(1.5), quiet(1)], noise))
    assert command.seconds == pytest.approx(1.5 + 0.6, abs=0.6)
    assert attention.state is State.ASLEEP


def test_one_short_word_in_the_same_breath_is_a_command() -> None:
    """ "Stop" takes no longer than a third of a second."""
    attention = Attention(HighTone())
    (command,) = follow(attention, in_room([quiet(1.5), phrase(), quiet(0.12), talk(0.3), quiet(1)]))
    assert 0.3 < command.seconds < 1.3


def test_the_end_of_the_phrase_is_no_command() -> None:
    """Where the phrase is told to have ended a little before it has."""
    attention = Attention(HighTone())
    assert follow(attention, in_room([quiet(1.5), phrase(), talk(0.25), quiet(1)])) == []
    assert attention.state is State.LISTENING


def test_phrase_alone_and_the_command_after_a_while() -> None:
    """It listens until the command begins, and the command is whole."""
    attention = Attention(HighTone())
    assert follow(attention, in_room([quiet(1.5), phrase(), quiet(1)])) == []
    assert attention.state is State.LISTENING
    (command,) = follow(attention, in_room([quiet(2), talk(1.2), quiet(1)]))
    assert command.seconds == pytest.approx(1.2 + 0.3 + 0.6, abs=0.4)


def test_after_the_phrase_nothing_is_said() -> None:
    """It does not listen for ever."""
    attention = Attention(HighTone())
    assert follow(attention, in_room([quiet(1.5), phrase(), quiet(WINDOW_S + 1.5)])) == []
    assert attention.state is State.ASLEEP


def test_talk_without_the_phrase_is_no_command() -> None:
    """However long it is, and whatever pauses it has."""
    attention = Attention(HighTone())
    assert follow(attention, in_room([talk(3), quiet(1), talk(0.5), quiet(2), talk(8)])) == []
    assert attention.state is State.ASLEEP


def test_the_phrase_in_the_midst_of_talk_is_found() -> None:
    """Somebody who has been talking need not wait for silence to call it."""
    attention = Attention(HighTone())
    (command,) = follow(attention, in_room([quiet(1), talk(4), quiet(0.3), phrase(), talk(1.5), quiet(1.2)]))
    assert command.seconds == pytest.approx(1.5 + 0.6, abs=0.5)


def test_pieces_may_be_as_short_as_they_like() -> None:
    """A single sample after a look, which is less than can have a level, is taken in like any other."""
    attention = Attention(HighTone())
    for _ in range(3):
        assert attention.take(Sound(in_room([quiet(1), talk(1), quiet(0.4)]))) is None
        assert attention.take(Sound(quiet(1 / RATE))) is None
    assert attention.state is State.ASLEEP


def test_a_quiet_room_is_not_looked_through() -> None:
    """Nothing is decoded while nobody speaks, and talk at most about twice."""
    spotter = HighTone()
    follow(Attention(spotter), in_room([quiet(20)]))
    assert spotter.looks == []
    follow(Attention(spotter), in_room([quiet(2), talk(20)]))
    assert sum(spotter.looks) < 2.5 * 20


def test_a_command_that_never_pauses_is_cut() -> None:
    """Music that begins after the phrase cannot hold the ear open."""
    attention = Attention(HighTone())
    command = follow(attention, in_room([quiet(1.5), phrase(), talk(LONGEST_S + 4)]))[0]
    assert command.seconds == pytest.approx(LONGEST_S, abs=0.5)


def test_what_is_said_so_far_grows() -> None:
    """While a command is said, there is that much of it to be read."""
    attention = Attention(HighTone())
    follow(attention, in_room([quiet(1.5), phrase(), quiet(0.8)]))
    assert attention.so_far is None
    follow(attention, in_room([talk(0.8)]))
    first = attention.so_far
    follow(attention, in_room([talk(0.6)]))
    second = attention.so_far
    assert first is not None
    assert second is not None
    assert second.seconds == pytest.approx(first.seconds + 0.6, abs=0.01)


def test_asked_back_it_listens_without_the_phrase() -> None:
    """The next words are a command; without any it sleeps again."""
    attention = Attention(HighTone())
    follow(attention, in_room([quiet(1.5), phrase(), quiet(0.2), talk(1), quiet(1)]))
    attention.listen()
    assert len(follow(attention, in_room([quiet(1), talk(1), quiet(1)]))) == 1
    assert attention.state is State.ASLEEP


def test_stopped_it_forgets_what_was_being_said() -> None:
    """After stop, the rest of the command is talk like any other."""
    attention = Attention(HighTone())
    follow(attention, in_room([quiet(1.5), phrase(), quiet(0.2), talk(1)]))
    attention.sleep()
    assert follow(attention, in_room([talk(1), quiet(1)])) == []
