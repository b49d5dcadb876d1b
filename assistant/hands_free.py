"""A conversation without hands: sound goes in as it comes, replies come out. Knows when the assistant itself speaks.

While a reply is spoken its own words are in the microphone too. So nothing is taken for a command then; only the wake
phrase counts, which no reply holds, and it ends the reply. A reply that asks something back is followed by a time in
which the answer needs no phrase.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from assistant.ears.attention import Attention, State
from assistant.ears.base import Recogniser, Sound
from assistant.messages import Heard, Reply
from assistant.reading import SURE
from grammar.clean import phrase as words_of

PARTIAL_S = 0.4  # of new sound, after which what was said so far is read again
TRIES = 2  # times that noise may pass for a command before it is asleep again
SHORT_S = 1.8  # with the pause: so little sound, of which so little is sure, was the phrase's end or a pan

Hear = Callable[[Sound], Heard]
Ask = Callable[[Heard], Reply]


@dataclass(frozen=True)
class Moment:
    """How it stands after a piece of sound."""

    state: State
    is_spoken_to: bool = False  # a command has begun
    partial: str = ""  # of it, where the recogniser can tell: what may be meant, not to be acted on
    reply: Reply | None = None  # to the command that has ended


class HandsFree:
    """One stream and its conversation. Not to be used from two threads at once."""

    def __init__(self, hear: Hear, spotter: Recogniser, phrase: str, partials: bool = False) -> None:
        """Asleep.

        Args:
            hear: what is said in a command. May raise what a recogniser raises.
            spotter: finds the wake phrase, which it knows already.
            phrase: the same, to see whether a reply holds it.
            partials: whether `hear` is quick enough to be asked again and again while a command is said.
        """
        self._hear, self._phrase, self._partials = hear, words_of(phrase), partials
        self._attention = Attention(spotter)
        self._is_aloud = False  # a reply is being spoken
        self._asked = False  # and asks something back
        self._holds_phrase = False
        self._tries = 0
        self._partial, self._read_s = "", 0.0

    def take(self, piece: Sound, ask: Ask, is_aloud: bool = False) -> Moment:
        """Take in the next piece; `is_aloud` while a reply is being spoken. Raises what recognisers raise."""
        self._follow(is_aloud)
        if is_aloud and self._holds_phrase:
            return Moment(self._attention.state)
        command = self._attention.take(piece)
        if command is None:
            return self._moment()
        self._partial, self._read_s = "", 0.0
        heard = self._hear(command)
        return self._not_a_word() if self._is_noise(heard, command) else self._answered(ask(heard))

    def stop(self) -> None:
        """Be asleep: somebody pressed stop."""
        self._attention.sleep()
        self._asked = False

    def _follow(self, is_aloud: bool) -> None:
        """Shut the ear to commands when a reply begins; open it for the answer when one that asks has ended."""
        if is_aloud and not self._is_aloud:
            self._attention.sleep()
        if self._is_aloud and not is_aloud and self._attention.state is State.ASLEEP:
            self._await_next()
        self._is_aloud = is_aloud

    def _await_next(self) -> None:
        if self._asked:
            self._attention.listen()
        else:
            self._attention.sleep()
        self._asked = False

    def _answered(self, reply: Reply) -> Moment:
        self._tries = 0
        self._asked = reply.asks is not None
        said = words_of(reply.say)
        self._holds_phrase = any(said[at : at + len(self._phrase)] == self._phrase for at in range(len(said)))
        if self._asked:
            self._attention.listen()  # at once, in case nothing is spoken
        return Moment(self._attention.state, reply=reply)

    def _is_noise(self, heard: Heard, command: Sound) -> bool:
        """Whether nobody has asked yet; what is heard in vain twice is asked about."""
        is_short = command.seconds < SHORT_S and heard.confidence < SURE and self._tries == 0
        return not heard.text or is_short

    def _not_a_word(self) -> Moment:
        """A glass, a laugh: listen on, but not for ever."""
        self._tries += 1
        if self._tries < TRIES:
            self._attention.listen()
        else:
            self._tries = 0
        return Moment(self._attention.state)

    def _moment(self) -> Moment:
        so_far = self._attention.so_far
        if so_far is None:
            self._partial, self._read_s = "", 0.0
        elif self._partials and so_far.seconds - self._read_s >= PARTIAL_S:
            heard = self._hear(replace(so_far, is_unfinished=True))
            self._partial, self._read_s = heard.text, so_far.seconds
        return Moment(self._attention.state, so_far is not None, self._partial)
