"""How fast a manager's PIN may be tried, so that nobody gets it by trying, nor locks the manager out by it.

Sources are of two kinds: those that have shown the PIN since it was set, and strangers. Each kind has half of the
tries, so that whoever tries on a device of their own closes the door to strangers alone, and not to the manager's.

Six digits are a million PINs. However many devices try, fifty wrong ones of a kind with no right one of that kind
between them close the door to it until the PIN is set anew in the terminal: of both kinds together a hundred, a chance
of one in ten thousand. A hundred is also the most that NIST SP 800-63B, 5.2.2, allows one after another.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

FOR_GOOD = datetime.max.replace(tzinfo=UTC)  # until the PIN is set anew


@dataclass(frozen=True)
class WrongTry:
    """One try that was wrong, or is not yet known to be right."""

    source: str  # a device that has joined, an address, or the terminal
    at: datetime


@dataclass(frozen=True)
class Limit:
    """So many wrong tries in so long a time, and no more are taken until the first of them is that long ago."""

    tries: int
    within: timedelta | None = None  # None: for good
    together: bool = False  # from all sources of a kind


LIMITS = (  # house choices, but for the last
    Limit(5, timedelta(minutes=15)),
    Limit(10, timedelta(hours=1), together=True),
    Limit(50, together=True),
)
REMEMBERED = timedelta(hours=1)  # the longest time that a limit looks back, but for the one that is for good


def wait_until(
    wrong: Sequence[WrongTry], source: str, now: datetime, known: Collection[str] = frozenset()
) -> datetime | None:
    """Until when a source must wait; None when it may try now. `wrong` is oldest first, `known` have shown the PIN.

    A try that lies in the future, because a clock was set back, counts as one of now.
    """
    alike = [one for one in wrong if (one.source in known) is (source in known)]
    waits = [wait for limit in LIMITS if (wait := _wait(limit, alike, source, now)) is not None]
    return max(waits, default=None)


def _wait(limit: Limit, wrong: Sequence[WrongTry], source: str, now: datetime) -> datetime | None:
    counted = sorted(min(one.at, now) for one in wrong if limit.together or one.source == source)
    if len(counted) < limit.tries:
        return None
    if limit.within is None:
        return FOR_GOOD
    until = counted[-limit.tries] + limit.within
    return until if until > now else None
