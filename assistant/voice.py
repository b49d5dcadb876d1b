"""This machine's own voice, for replies in the terminal; where there is none, there is silence."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from functools import cache

from assistant.messages import Reply


@dataclass(frozen=True)
class Speaker:
    """A program that speaks a text."""

    program: str
    text: str  # the option after which the text comes
    slowly: tuple[str, ...]  # options for about two thirds of its usual speed

    def command(self, text: str, slow: bool) -> list[str]:
        """The words of the command line that speaks this text."""
        return [self.program, *(self.slowly if slow else ()), self.text, text]


SPEAKERS = (
    Speaker("espeak-ng", "--", ("-s", "115")),  # words a minute; 175 otherwise
    Speaker("say", "--", ("-r", "115")),
    Speaker("flite", "-t", ("--setf", "duration_stretch=1.5")),
)


def speak(text: str, slow: bool = False) -> None:
    """Say a text aloud and come back when it has been said."""
    found = speaker()
    if found is not None:
        command = found.command(text, slow)
        subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)


class Voice:
    """Speaks replies, unless it is off; a reply may switch it."""

    def __init__(self, is_on: bool) -> None:
        self.is_on = is_on

    def speak(self, reply: Reply) -> None:
        """Say a reply aloud and come back when it has been said."""
        self.is_on = reply.voice == "on" if reply.voice else self.is_on
        if self.is_on:
            speak(reply.say, reply.slow)


@cache
def speaker() -> Speaker | None:
    """The program of this machine that speaks; None where there is none."""
    return next((speaker for speaker in SPEAKERS if shutil.which(speaker.program)), None)
