"""Who is being spoken to: waits for the wake phrase in a stream of sound, and cuts out the command that follows.

Asleep, what is loud enough to be somebody speaking is looked through for the phrase, at each pause and every second and
a half of talk. The phrase itself tells how loud the speaker is and, with what was heard before it, where the line to
the room lies: so the end of the command is found in noise that never pauses. The phrase may stand alone, and the
command come within WINDOW_S; or both come in one breath.
"""

from __future__ import annotations

from enum import Enum

import numpy as np
from numpy.typing import NDArray

from assistant.ears.base import RATE, Recogniser, Sound
from assistant.ears.loudness import FRAME, FRAME_S, Levels, beginning, levels, line_between, room_level, speaker_level
from assistant.ears.spotting import Spotted

WINDOW_S = 6.0  # for a command to begin
PAUSE_S = 0.6  # ends a command
QUIET_SHARE = 0.85  # of a pause; a glass may ring in it
TAIL_S = 0.3  # after the phrase: its last sounds may be in it, and are no command by themselves
GAP_S = 0.06  # of quiet ends them sooner: "stop" in the same breath is short
SPOKEN_S = 0.2  # above the line, to be a command: more than a chime
BEFORE_S = 0.3  # taken from before talk is loud: words begin softly
LONGEST_S = 10.0  # of a command; what goes on for longer is the room
KEPT_S = 6.0  # remembered while asleep
LOOK_S = 1.5  # of talk, after which it is looked through without a pause
SHORTEST_S = 0.4  # of talk worth a look
OVERLAP_S = 1.6  # looked at again where talk goes on: the phrase may have begun in the last look
BREATH_S = 0.26  # a pause that is worth a look
ABOVE_ROOM_DB = 5.0  # by which somebody speaking stands out
QUIETEST_DB = -62.0  # of anybody speaking


class State(Enum):
    """Whether the next words are for us."""

    ASLEEP = "asleep"
    LISTENING = "listening"


class Attention:
    """Follows one stream. Not to be used from two threads at once."""

    def __init__(self, spotter: Recogniser) -> None:
        """Asleep; `spotter` finds the phrase (see `assistant.ears.wake`)."""
        self._spotter = spotter
        self.state = State.ASLEEP
        self._line_db = self._begin_db = QUIETEST_DB
        self._until_s = 0.0  # from the start of what is kept: when listening ends
        self._tail_s = 0.0  # of the phrase, at the start of what is kept
        self._looked_s = 0.0  # how much of what is kept was looked through
        self._samples: NDArray[np.float32] = np.zeros(0, np.float32)

    def take(self, piece: Sound) -> Sound | None:
        """Take in the next piece; the command that has ended with it, if one has. Raises what the spotter raises."""
        self._samples = np.concatenate([self._samples, piece.samples])
        if self.state is State.ASLEEP:
            self._look()
            self._forget(KEPT_S)
        return self._command() if self.state is State.LISTENING else None

    @property
    def so_far(self) -> Sound | None:
        """The command as far as it has been said; None while there is none."""
        begins = self._begins() if self.state is State.LISTENING else None
        return None if begins is None else Sound(self._samples[begins:])

    def listen(self, seconds: float = WINDOW_S) -> None:
        """Take the next words for a command without the phrase: the answer to a question back."""
        self.state = State.LISTENING
        self._forget(0.0)
        self._tail_s, self._until_s = 0.0, seconds

    def sleep(self) -> None:
        """Wait for the phrase again, in what comes from now on."""
        self.state = State.ASLEEP
        self._forget(0.0)

    def _look(self) -> None:
        """Look for the phrase, where somebody has spoken since the last look and pauses or goes on for long."""
        heard = levels(Sound(self._samples))
        room, new = room_level(heard), heard[int(self._looked_s / FRAME_S) :]
        loud = new > max(room + ABOVE_ROOM_DB, QUIETEST_DB)
        quiet = int(np.argmax(loud)) if loud.any() else len(new)  # frames before somebody spoke
        quiet_s, talk = quiet * FRAME_S, new[quiet:]
        if len(talk) * FRAME_S < SHORTEST_S:
            return
        line = line_between(room, speaker_level(talk))
        pauses = bool((talk[-int(BREATH_S / FRAME_S) :] < line).all())
        if not pauses and len(talk) * FRAME_S < LOOK_S:
            return
        again_s = OVERLAP_S if quiet_s < BREATH_S else BEFORE_S
        begins_s = max(0.0, self._looked_s + quiet_s - again_s)
        self._looked_s = self._seconds
        found = self._spotter.hear(Sound(self._samples[int(begins_s * RATE) :]))
        if isinstance(found, Spotted) and found.text:
            self._wake(begins_s + found.begins_s, begins_s + found.ends_s)

    def _wake(self, begins_s: float, ends_s: float) -> None:
        heard = levels(Sound(self._samples))
        first, last = int(begins_s / FRAME_S), int(ends_s / FRAME_S)
        room, speaker = heard[:first], speaker_level(heard[first:last])
        self._line_db = line_between(room_level(room), speaker)
        self._begin_db = beginning(room, speaker)
        self.state = State.LISTENING
        self._forget(self._seconds - ends_s)
        self._tail_s, self._until_s = TAIL_S, self._seconds + WINDOW_S

    def _command(self) -> Sound | None:
        """The command, once a pause has ended it; asleep again then, and when none has begun in time."""
        command = self.so_far
        if command is None:
            if self._seconds > self._until_s:
                self.sleep()
            return None
        if command.seconds < LONGEST_S and not self._has_paused():
            return None
        self.sleep()
        return command

    def _begins(self) -> int | None:
        """The sample that a command begins at: after the last breath before it is surely the speaker."""
        heard = levels(Sound(self._samples))
        tail = self._phrase_is_over(heard)
        surely = np.flatnonzero(heard[tail:] > self._begin_db) + tail
        if len(surely) * FRAME_S < SPOKEN_S:
            return None
        first = int(surely[0])
        loud = np.flatnonzero(heard[:first] > self._line_db)
        gaps = np.diff(loud, append=first)
        breaths = np.flatnonzero(gaps * FRAME_S > BREATH_S)
        begins = int(loud[breaths[-1]] + gaps[breaths[-1]]) if len(breaths) else int(loud[0]) if len(loud) else first
        return max(0, begins * FRAME - int(BEFORE_S * RATE))

    def _phrase_is_over(self, heard: Levels) -> int:
        """The frame by which the phrase's last sounds have ended: where a gap begins, or the tail has passed."""
        tail, gap = int(self._tail_s / FRAME_S), int(GAP_S / FRAME_S)
        is_quiet = heard[:tail] < self._line_db
        return next((at for at in range(len(is_quiet) - gap + 1) if is_quiet[at : at + gap].all()), tail)

    def _has_paused(self) -> bool:
        """Whether nearly all of the last frames lie below the line."""
        heard = levels(Sound(self._samples))[-int(PAUSE_S / FRAME_S) :]
        return float((heard > self._line_db).mean()) <= 1 - QUIET_SHARE

    @property
    def _seconds(self) -> float:
        """How much is kept."""
        return len(self._samples) / RATE

    def _forget(self, seconds: float) -> None:
        """Keep the last so many seconds."""
        drop = max(0, len(self._samples) - round(seconds * RATE))
        self._samples = self._samples[drop:]
        self._looked_s = max(0.0, self._looked_s - drop / RATE)
