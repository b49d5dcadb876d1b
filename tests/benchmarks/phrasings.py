"""How much of what people say is understood: the sets that tests hold, and three kept back. Prints tables.

Run: python -m tests.benchmarks.phrasings
"""

from __future__ import annotations

import tempfile
from collections import Counter
from pathlib import Path

from assistant.messages import Reply
from assistant.services import Services
from tests.assistant.test_phrasings import SAID_BEFORE, SETS, Phrasings, Unanswerable, answer, answered, both, missed
from tests.expected import is_sure

OUTCOMES = ("right", "wrong as if sure", "asked", "not understood")
KEPT_BACK = {
    "kept back": both("phrasings_held_back"),
    "second shift": both("phrasings_second_shift"),
    "third shift": both("phrasings_third_shift"),
}
ALL = SETS | KEPT_BACK


def outcome(reply: Reply, right: bool) -> str:
    """One of OUTCOMES."""
    if right:
        return "right"
    if is_sure(reply):
        return "wrong as if sure"
    return "not understood" if reply.asks is None else "asked"


def said(services: Services, phrasings: Phrasings) -> list[str]:
    """The outcomes for each person and for all, and a line for each miss."""
    rows, misses, total = [], [], Counter[str]()
    for who, entries in phrasings.items():
        counts = Counter[str]()
        for entry in entries:
            reply, right = answer(services, entry)
            came = outcome(reply, right)
            counts[came] += 1
            if not right:
                misses.append(f"  {came}: {missed(who, entry, reply)}")
        rows.append(_row(who, counts))
        total += counts
    return [*rows, _row("all", total), *misses]


def unanswerable(services: Services, kinds: Unanswerable) -> list[str]:
    """How many are answered as if sure, out of the blue and in the middle of a talk, and a line for each."""
    lines = []
    for when, before in (("out of the blue", []), ("in a talk", [SAID_BEFORE])):
        texts = [text for kind, texts in kinds.items() if not before or kind != "half_said" for text in texts]
        wrong = answered(services, texts, before)
        lines += [f"unanswerable, {when}: {len(wrong)} of {len(texts)} answered as if sure"]
        lines += [f"  {each}" for each in wrong]
    return lines


def _row(name: str, counts: Counter[str]) -> str:
    return f"{name:20}{counts.total():6}" + "".join(f"{counts[each]:18}" for each in OUTCOMES)


def main() -> None:
    """Print the table of each file."""
    with tempfile.TemporaryDirectory() as folder:
        services = Services(database_url=f"sqlite:///{Path(folder) / 'shift.db'}")
        for name, (phrasings, kinds) in ALL.items():
            print(f"{name:20}{'said':>6}" + "".join(f"{each:>18}" for each in OUTCOMES))
            print(*said(services, phrasings), *unanswerable(services, kinds), "", sep="\n")
        services.close()


if __name__ == "__main__":
    main()
