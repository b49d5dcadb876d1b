"""The folder of a book that is edited: its texts, and a file of it replaced in one step."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock

from recipes.loader import texts_of

LOCK = ".editing.lock"
PATIENCE_S = 5.0  # how long to wait for another program that is writing


class BookFolder:
    """One folder of book files. Line ends are told apart only where a file is written back."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @contextmanager
    def held(self) -> Iterator[None]:
        """Alone with the folder, among the programs that edit it this way. Raises OSError after PATIENCE_S seconds."""
        with FileLock(self.path / LOCK, timeout=PATIENCE_S):
            yield

    def texts(self) -> dict[str, str]:
        """The text of every file of the book by its name. Raises OSError, and UnicodeDecodeError."""
        return texts_of(self.path)

    def replace(self, page: str, text: str) -> None:
        """Put a text in place of a file's: all of it or none, whatever fails. Raises OSError."""
        file = (self.path / page).resolve()
        data = file.read_bytes()
        if b"\r\n" in data:
            text = text.replace("\n", "\r\n")
        replace_file(file, text.encode())


def replace_file(file: Path, data: bytes) -> None:
    """Write beside it, see that it is on the disk, and give it the file's name. Raises OSError."""
    descriptor, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    new = Path(name)
    try:
        with os.fdopen(descriptor, "wb") as writing:
            writing.write(data)
            writing.flush()
            os.fsync(writing.fileno())
        if file.exists():
            shutil.copymode(file, new)
        new.replace(file)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    _sync_folder(file.parent)


def _sync_folder(folder: Path) -> None:
    """Have the new name on the disk too, where folders can be synced (not on Windows)."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
