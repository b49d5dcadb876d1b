"""Recordings through any JSGF grammar: what `prep-assistant transcribe` does, as a function."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from assistant.ears.base import Recogniser
from assistant.ears.choose import AUTO, Plan
from assistant.ears.errors import NotSound, RecogniserFailed
from assistant.ears.pool import WorkerPool
from assistant.ears.sound import open_sound
from grammar import jsgf, network

LIMIT_S = 60.0  # for one file: the longest recording on a slow machine


@dataclass(frozen=True)
class Transcript:
    """What was heard in one file. With a `fault`, nothing was, and it says what is wrong and what to do."""

    file: str
    text: str = ""
    confidence: float = 0.0  # 0..1
    audio_s: float = 0.0  # seconds of sound
    work_s: float = 0.0  # seconds of work
    fault: str = ""


def transcribe(
    grammar: Path, files: Iterable[Path], recogniser: str = AUTO, limit_s: float = LIMIT_S
) -> Iterator[Transcript]:
    """One transcript a file, in their order, each as soon as it is heard; a file at fault does not end the run.

    `recogniser` is one of `choose.CHOICES`. Raises JsgfError, OSError for the grammar, NoModel, WordNotSayable.
    """
    plan = Plan(network.build(jsgf.load(grammar)), recogniser)
    with closing(WorkerPool(plan, limit_s=limit_s)) as pool:
        pool.wait_ready()
        for file in files:
            yield transcript(pool, file)


def transcript(recogniser: Recogniser, file: Path) -> Transcript:
    """What this recogniser hears in one file."""
    try:
        heard = recogniser.hear(open_sound(file))
    except (NotSound, RecogniserFailed) as error:
        return Transcript(str(file), fault=str(error))
    except OSError as error:
        return Transcript(str(file), fault=f"the file cannot be read: {error.strerror}")
    return Transcript(str(file), heard.text, heard.confidence, heard.audio_s, heard.work_s)
