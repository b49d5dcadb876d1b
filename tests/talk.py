"""A conversation that leaves the bar as it found it."""

from __future__ import annotations

from contextlib import suppress
from itertools import count

from assistant.ears.base import Sound
from assistant.ears.hearing import Hearing
from assistant.errors import MemoryFailed
from assistant.messages import Heard, Reply
from assistant.services import Services
from grammar.command import Intent

_names = count()


class Talk:
    """One conversation of its own, and what it has changed."""

    def __init__(self, services: Services) -> None:
        self._services = services
        self._name = f"talk {next(_names)}"
        self._changes: list[str] = []

    def ask(self, said: Heard | str) -> Reply:
        """The reply to one utterance."""
        reply = self._services.ask(said, self._name)
        is_undoing = reply.command is not None and reply.command.intent is Intent.UNDO
        if reply.undo and not is_undoing:
            self._changes.append(reply.undo)
        return reply

    def hear(self, sound: Sound) -> Heard:
        """What was heard of a sound in this conversation."""
        return self._services.hear(sound, self._name)

    def catch_up(self) -> None:
        """Wait until names that are new can be heard."""
        if isinstance(self._services.recogniser, Hearing):
            self._services.recogniser.catch_up()

    def take_back(self) -> None:
        """Undo all of it, the latest first; what the talk has undone itself stays so."""
        for token in reversed(self._changes):
            with suppress(MemoryFailed):
                self._services.memory.undo(token, self._name)
