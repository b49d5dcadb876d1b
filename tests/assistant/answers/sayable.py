"""Whether a sentence can be read aloud."""

from __future__ import annotations

import re


def faults_aloud(said: str, *names: str) -> str:
    """What a voice would stumble over: no capital or stop, a doubled space, a digit or symbol outside these names."""
    for name in names:
        said = said.replace(name, "Name")
    found = [] if re.fullmatch(r"[A-Z].*[.?]", said) else ["no capital at its head, or no stop at its end"]
    found += re.findall(r"[\d$%/_]+|  ", said)
    return ", ".join(found)
