"""Stand-ins for what is behind a door: canned replies, and an ear that hears what it is told to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType

from assistant.ears.base import Sound
from assistant.messages import Heard, Reply
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


@dataclass
class FakeServices:
    """What create_app needs: replies known by heart, and an ear that hears one sentence in any sound."""

    hears: str = "spec for a clover club"
    fails: Exception | None = None  # what hearing ends in
    asked: list[tuple[str, str]] = field(default_factory=list)  # text and conversation
    sounds: list[Sound] = field(default_factory=list)

    def ask(self, heard: Heard | str, conversation: str) -> Reply:
        """The canned reply to a text; otherwise the one for what is not understood."""
        heard = Heard(heard) if isinstance(heard, str) else heard
        self.asked.append((heard.text, conversation))
        return replace(CANNED.get(heard.text, LOST), heard=heard)

    def hear(self, sound: Sound) -> Heard:
        """The sentence, or the failure it was made with."""
        self.sounds.append(sound)
        if self.fails:
            raise self.fails
        return Heard(self.hears, 0.9, recogniser="canned", audio_s=sound.seconds)

    def tonight(self) -> Tonight:
        """The small book, and a few examples."""
        return Tonight(make_tiny_book(), Deaf(), examples=EXAMPLES)
