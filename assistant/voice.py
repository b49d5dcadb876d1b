"""This machine's own voice, for replies in the terminal; where there is none, there is silence."""

from __future__ import annotations

import shutil
import subprocess
from functools import cache

SPEAKERS = (("espeak-ng", "--"), ("say", "--"), ("flite", "-t"))  # programs that speak a text, and how it is given


def speak(text: str) -> None:
    """Say a text aloud and come back when it has been said."""
    command = speaker()
    if command is not None:
        subprocess.run([*command, text], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)


@cache
def speaker() -> tuple[str, ...] | None:
    """The program that speaks and how it is given a text; None where there is none."""
    return next((speaker for speaker in SPEAKERS if shutil.which(speaker[0])), None)
