"""A short conversation: gaps filled and focus kept as the dialogue does it, with answers of one's choice."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.answers.base import Answer, Handler, Scene
from assistant.filling import filled, turned
from assistant.messages import Focus
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book


class Talk:
    """Asks handlers one after another."""

    def __init__(self, handlers: Mapping[Intent, Handler], book: Book, out: frozenset[str] = frozenset()) -> None:
        self.handlers = handlers
        self.book = book
        self.out = out
        self.focus = Focus()

    def ask(self, intent: str, **slots: SlotValue) -> Answer:
        """The answer to a command; its focus is kept for the next."""
        command = filled(Command(Intent(intent), slots), self.focus)
        assert isinstance(command, Command)
        scene = Scene(self.book, self.out, turned(self.focus, command))
        answer = self.handlers[command.intent](command, scene)
        self.focus = answer.focus
        return answer

    def say(self, intent: str, **slots: SlotValue) -> str:
        """What is said to a command."""
        return self.ask(intent, **slots).reply.say
