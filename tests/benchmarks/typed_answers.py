"""How long a typed question takes from text to JSON, and how long the assistant takes to be ready. Prints a table.

Run: python -m tests.benchmarks.typed_answers
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from assistant.services import Services
from assistant.wire import to_json

ALLOWED = 10.0  # ms for a typed answer
READY_WITHIN = 3000.0  # ms from start
TIMES = 15
QUESTIONS = (
    "spec for a gimlet",
    "how much lime in it",
    "make it three",
    "in mils",
    "what does it cost",
    "what should I charge for it at twenty percent",
    "how strong is it",
    "what family is it",
    "compare it with a negroni",
    "batch forty daiquiris",
    "swap the gin for aged rum in the gimlet",
    "are there nuts in it",
    "what can I use instead of orgeat",
    "what can I make with mezcal",
    "spec for a gimlit",
    "spec for a cosmopolitan",
    "what's the weather like",
    "we're out of orgeat",
    "orgeat is back",
    "quiz me on the sours",
    "stop",
    "three daiquiris and two negronis",
    "which drinks have nuts",
    "we have two litres of lime juice",
    "how much lime juice have we got",
    "prep for eighty covers",
    "riff on the gimlet",
)


def milliseconds(services: Services, text: str) -> float:
    """The median of the processor's time for a question, to the JSON that is sent back."""
    times = []
    for _ in range(TIMES):
        start = process_time()
        json.dumps(to_json(services.ask(text, "bench")))
        times.append((process_time() - start) * 1000)
    return median(times)


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        start = perf_counter()
        services = Services(None, f"sqlite:///{Path(folder) / 'shift.db'}")
        ready = (perf_counter() - start) * 1000
        print(f"{'ready to answer':<48}{ready:>9.1f} ms   (allowed {READY_WITHIN:.0f})")
        for text in QUESTIONS:
            taken = milliseconds(services, text)
            print(f"{text:<48}{taken:>9.1f} ms{'' if taken <= ALLOWED else '   over ' + str(ALLOWED)}")
        services.close()


if __name__ == "__main__":
    main()
