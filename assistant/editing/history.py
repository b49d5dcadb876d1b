"""Who changed what of the book, and when: one line of JSON for each edit, in a file beside the book's own.

It lies in the book's folder, so it goes where the book goes. Lines are only ever added, each after the file it tells of
was changed. A line that was cut short by a power failure is passed over; its change then stands like one by hand.
"""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from assistant.editing.drafts import Kind

FILE = "history.jsonl"


class Edit(BaseModel):
    """One change of one entry. `before` and `after` are its text in the file; None: it was not there."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    token: str
    at: datetime
    who: str
    kind: Kind
    name: str  # the entry's, after the change
    page: str
    before: str | None
    after: str | None
    undoes: str | None = None  # token of the edit that this one takes back


class History:
    """The edits of one book's folder."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / FILE

    def edits(self) -> tuple[Edit, ...]:
        """All of them, oldest first."""
        try:
            lines = self._file.read_text("utf-8").splitlines()
        except FileNotFoundError:
            return ()
        return tuple(edit for line in lines if (edit := _read(line)) is not None)

    def find(self, token: str) -> Edit | None:
        """The edit of a token."""
        return next((edit for edit in self.edits() if edit.token == token), None)

    def add(self, edit: Edit) -> None:
        """Write one line, and see that it is on the disk. Raises OSError."""
        with self._file.open("a+b") as file:
            end = file.tell()
            whole = not end or _ends_in_a_line(file.fileno())
            try:
                file.write((b"" if whole else b"\n") + edit.model_dump_json().encode() + b"\n")
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                os.ftruncate(file.fileno(), end)
                raise


def _ends_in_a_line(descriptor: int) -> bool:
    os.lseek(descriptor, -1, os.SEEK_END)
    return os.read(descriptor, 1) == b"\n"


def _read(line: str) -> Edit | None:
    try:
        return Edit.model_validate_json(line)
    except ValidationError:
        return None
