"""What is said of the manager's PIN. It is never spoken, and never asked for aloud."""

from __future__ import annotations

from datetime import timedelta

from assistant.answers.speech import counted
from assistant.errors import NoPin, PinError, PinNotTaken, TriedTooOften
from assistant.messages import Reply
from assistant.pin import LONGEST, SHORTEST
from assistant.pin_limits import FOR_GOOD

NEEDED = "That needs the manager's PIN. Type it on the page, or ask the manager."
NONE_YET = (
    "This house keeps that for the manager, and no PIN is set yet. "
    "Set one at the bar's own machine: on the page there, or in its terminal with prep-assistant pin set."
)
LOCKED = "Locked. What is the manager's needs the PIN again."
SET = "The PIN is set. Every device that was unlocked is locked."
REMOVED = "There is no PIN any more. Everybody may change prices now."
CLOSED = (
    "A wrong PIN was tried too often. Type it on a device that had it right before, "
    "or set a new one in the terminal: prep-assistant pin set."
)
NOT_HERE = (
    "A PIN is set on the bar's own machine: open the page there, or run prep-assistant pin set in its terminal. "
    "Where there is one already, only the terminal changes it."
)


def needed(has_pin: bool) -> Reply:
    """The refusal of what is the manager's."""
    return Reply(NEEDED if has_pin else NONE_YET, pin="needed")


def locked() -> Reply:
    """'Lock.'"""
    return Reply(LOCKED, pin="lock")


def unlocked(left: timedelta) -> str:
    """What the page shows once the PIN was right."""
    return (
        f"Unlocked on this device for {counted(_minutes(left), 'minute')}. Press lock, or say lock, to end it sooner."
    )


def refused(error: PinError) -> str:
    """Why a PIN was not taken, and what to do now."""
    match error:
        case NoPin():
            return "No PIN is set. Run prep-assistant pin set in the terminal of the bar's own machine."
        case PinNotTaken("easy"):
            return "That PIN is guessed at once: one digit over and over, or a run. Choose another."
        case PinNotTaken():
            return f"A PIN is {SHORTEST} to {LONGEST} digits, and nothing else. Choose another."
        case TriedTooOften(until) if until == FOR_GOOD:
            return CLOSED
        case TriedTooOften(until, now):
            wait = counted(_minutes(until - now), "minute")
            return f"A wrong PIN was tried too often. Wait {wait}, then try again."
    return "That is not the PIN. Try again, or ask the manager."


def _minutes(time: timedelta) -> int:
    """Whole minutes, a begun one counted."""
    return -(-int(time.total_seconds()) // 60)
