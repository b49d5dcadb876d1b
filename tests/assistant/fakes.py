"""Stand-ins for what is behind a door: canned replies, and an ear that hears what it is told to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType

from assistant.ears.base import Recogniser, Sound
from assistant.ears.scripted import Scripted
from assistant.manager import Manager
from assistant.messages import Heard, Reply
from assistant.pin import KeptPin, Work
from assistant.rights import Rights
from assistant.tonight import Tonight
from grammar.command import Intent, Meaning, NotUnderstood
from tests.assistant.canned import CANNED, LOST
from tests.conftest import make_tiny_book

EXAMPLES = MappingProxyType(
    {
        Intent.SPEC: ("spec for a clover club",),
        Intent.BUILD: ("how much lemon", "next"),
        Intent.COST: ("what does a clover club cost",),
        Intent.COMPARE: ("gimlet with aged rum instead",),
        Intent.QUIZ: ("quiz me on the sours",),
    }
)


class Deaf:
    """A matcher that understands nothing."""

    def understand(self, text: str) -> Meaning:
        """Never a command."""
        return NotUnderstood(text)


class PinInHead:
    """A store of the manager's PIN that no database is behind; wrong tries cost nothing."""

    pin: KeptPin | None = None

    def kept(self) -> KeptPin | None:
        """The PIN."""
        return self.pin

    def keep(self, pin: KeptPin | None) -> None:
        """Keep another, or none."""
        self.pin = pin

    def count(self, source: str, now: datetime) -> datetime | None:
        """Nobody waits."""

    def forgive(self, source: str, before: datetime) -> None:
        """Nothing to forget."""


@dataclass
class FakeServices:
    """What create_app needs: replies known by heart, and an ear that hears one sentence in any sound."""

    hears: str = "spec for a clover club"
    fails: Exception | None = None  # what hearing ends in
    asked: list[tuple[str, str]] = field(default_factory=list)  # text and conversation
    askers: list[tuple[str, bool]] = field(default_factory=list)  # by whom, and whether they are the manager
    sounds: list[Sound] = field(default_factory=list)
    spotter: Recogniser = field(default_factory=Scripted)
    tells_partials: bool = False
    manager: Manager = field(default_factory=lambda: Manager(PinInHead(), work=Work(2, 1, 1)))

    def ask(self, heard: Heard | str, conversation: str, who: str = "", is_manager: bool = False) -> Reply:
        """The canned reply to a text; otherwise the one for what is not understood."""
        heard = Heard(heard) if isinstance(heard, str) else heard
        self.asked.append((heard.text, conversation))
        self.askers.append((who, is_manager))
        return replace(CANNED.get(heard.text, LOST), heard=heard)

    def hear(self, sound: Sound, conversation: str = "") -> Heard:
        """The sentence, or the failure it was made with."""
        self.sounds.append(sound)
        if self.fails:
            raise self.fails
        return Heard(self.hears, 0.9, recogniser="canned", audio_s=sound.seconds)

    def rights(self, is_manager: bool = False) -> Rights:
        """As the house of the small book has it."""
        return Rights(is_manager, self.manager.has_pin())

    def tonight(self) -> Tonight:
        """The small book, and a few examples."""
        return Tonight(make_tiny_book(), Deaf(), examples=EXAMPLES)
