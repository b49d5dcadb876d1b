"""How fast a manager's PIN may be tried, so that nobody gets it by trying.

Six digits are a million PINs. However many devices try, a hundred wrong ones close the door until the PIN is set anew
in the terminal: a chance of one in ten thousand. A hundred is also the most that NIST SP 800-63B, 5.2.2, allows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

FOR_GOOD = datetime.max.replace(tzinfo=UTC)  # until the PIN is set anew


@dataclass(frozen=True)
class WrongTry:
    """One try that was wrong, or is not yet known to be right."""

    source: str  # an address on the network, or the terminal
    at: datetime


@dataclass(frozen=True)
class Limit:
    """So many wrong tries in so long a time, and no more are taken until the first of them is that long ago."""

    tries: int
    within: timedelta | None = None  # None: for good
    together: bool = False  # from all sources


LIMITS = (  # house choices, but for the last
    Limit(5, timedelta(minutes=15)),
    Limit(20, timedelta(hours=1), together=True),
    Limit(100, together=True),
)
REMEMBERED = timedelta(hours=1)  # the longest time that a limit looks back, but for the one that is for good


def wait_until(wrong: Sequence[WrongTry], source: str, now: datetime) -> datetime | None:
    """Until when a source must wait; None when it may try now. `wrong` is oldest first.

    A try that lies in the future, because a clock was set back, counts as one of now.
    """
    waits = [wait for limit in LIMITS if (wait := _wait(limit, wrong, source, now)) is not None]
    return max(waits, default=None)


def _wait(limit: Limit, wrong: Sequence[WrongTry], source: str, now: datetime) -> datetime | None:
    counted = sorted(min(one.at, now) for one in wrong if limit.together or one.source == source)
    if len(counted) < limit.tries:
        return None
    if limit.within is None:
        return FOR_GOOD
    until = counted[-limit.tries] + limit.within
    return until if until > now else None
