"""Listens for what can be said now: commands, or, while a question of the quiz is open, answers to it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.ears.base import Recogniser, Sound
from assistant.messages import Heard


@dataclass(frozen=True)
class InTurn:
    """Two recognisers, one of which hears at a time."""

    commands: Recogniser
    answers: Recogniser

    @property
    def name(self) -> str:
        """Which recogniser it is."""
        return self.commands.name

    def hear(self, sound: Sound) -> Heard:
        """What the one makes of it whose turn it is. Raises what they raise."""
        return (self.answers if sound.in_quiz else self.commands).hear(sound)

    def close(self) -> None:
        """Let go of both."""
        self.commands.close()
        self.answers.close()
