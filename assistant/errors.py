"""The errors of this package.

AssistantError
├── BackupRefused             a file is no backup of ours; nothing has changed
├── EditRefused               the book is not changed; says why
├── ListRefused               a list (prices, sales, recipes) cannot be read at all; nothing has changed
├── Miscounted                what was copied is not what arrived; nothing has changed
├── MoveRefused               another database does not take what is moved there; nothing has changed
├── NewerDatabase             a later version of this program has changed the database's schema
├── PinError                  a manager's PIN does not open, or is not taken
│   ├── NoPin                 none is set
│   ├── WrongPin              these are not its digits
│   ├── TriedTooOften         wrong ones were tried too often; there is a wait
│   └── PinNotTaken           as a new PIN: of another form, or easily guessed
└── MemoryFailed              the database cannot be read or written; nothing has changed
    ├── DiskFull              the disk takes no more
    ├── ReadOnly              the database may be read, but not changed
    ├── Damaged               the database's file is spoilt, or is none
    ├── NameTaken             somebody has just kept another drink under this name
    ├── UnknownChange         no such change in the trail
    ├── AlreadyUndone         the change was undone before
    └── ChangedSince          something later rests on the change; undo that first
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime


class AssistantError(Exception):
    """The root: everything this package raises on purpose. Errors carry fields; sentences are written in answers."""


class BackupRefused(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """A file is no backup of ours, or is damaged; nothing has changed."""

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class EditRefused(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """The book is not changed: `reason` is a key of the sentences in answers, `told` what they name."""

    def __init__(self, reason: str, *told: str) -> None:
        super().__init__(reason, *told)
        self.reason, self.told = reason, told


class ListRefused(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """A list cannot be read at all: `reason` is a key of the sentences in answers, `told` what they name."""

    def __init__(self, reason: str, *told: str) -> None:
        super().__init__(reason, *told)
        self.reason, self.told = reason, told


class Miscounted(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """What was copied into another database is not what arrived there; nothing has changed."""

    def __init__(self, sent: Mapping[str, int], arrived: Mapping[str, int]) -> None:
        super().__init__(sent, arrived)
        self.sent, self.arrived = sent, arrived  # rows by table


class MoveRefused(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """What is moved does not go into the other database: `reason` is a key of the sentences, `names` are in the way."""

    def __init__(self, reason: str, *names: str) -> None:
        super().__init__(reason, *names)
        self.reason, self.names = reason, names


class NewerDatabase(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """The database has a schema that only a later version of this program knows; it was not touched."""

    def __init__(self, found: int, known: int) -> None:
        super().__init__(found, known)
        self.found, self.known = found, known


class PinError(AssistantError):
    """A manager's PIN does not open, or is not taken. No error holds its digits."""


class NoPin(PinError):  # noqa: N818  # says what happened, not that it is an error
    """None is set, so there is nothing to open."""


class WrongPin(PinError):  # noqa: N818  # says what happened, not that it is an error
    """These are not the digits."""


class TriedTooOften(PinError):  # noqa: N818  # says what happened, not that it is an error
    """Wrong ones were tried too often; this one was not looked at."""

    __match_args__ = ("until", "now")

    def __init__(self, until: datetime, now: datetime) -> None:
        super().__init__(until, now)
        self.until, self.now = until, now


class PinNotTaken(PinError):  # noqa: N818  # says what happened, not that it is an error
    """A new PIN of another form ('form'), or that is easily guessed ('easy')."""

    __match_args__ = ("reason",)

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class MemoryFailed(AssistantError):  # noqa: N818  # says what happened, not that it is an error
    """The database cannot be read or written; nothing has changed. The cause is kept."""


class DiskFull(MemoryFailed):
    """The disk takes no more. What is there can be read."""


class ReadOnly(MemoryFailed):
    """The database may be read, but not changed."""


class Damaged(MemoryFailed):
    """The database's file is spoilt, or is no database."""


class NameTaken(MemoryFailed):
    """The book that all venues share has another thing of this name by now."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__(kind, name)
        self.kind, self.name = kind, name


class UnknownChange(MemoryFailed):
    """No change of this token is in the trail."""

    def __init__(self, token: str) -> None:
        super().__init__(token)
        self.token = token


class AlreadyUndone(MemoryFailed):
    """The change was undone before."""

    def __init__(self, token: str, kind: str, name: str) -> None:
        super().__init__(token, kind, name)
        self.token, self.kind, self.name = token, kind, name


class ChangedSince(MemoryFailed):
    """The same thing was changed again later, so undoing this change alone would lose the later one."""

    def __init__(self, token: str, kind: str, name: str) -> None:
        super().__init__(token, kind, name)
        self.token, self.kind, self.name = token, kind, name
