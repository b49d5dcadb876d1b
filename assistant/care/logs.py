"""The log: what the program did and what went wrong, for whoever looks after it, and nothing of what people said.

No module may log text that was heard, typed or answered. Errors could carry it, so a traceback is written with its
files, lines and kinds of error; the errors' own words are left out, but for those of the database and the disk.
"""

from __future__ import annotations

import logging
import platform
from copy import copy
from importlib.metadata import version
from logging.handlers import RotatingFileHandler
from pathlib import Path
from traceback import StackSummary, format_list, walk_tb
from types import TracebackType

from sqlalchemy.engine import make_url

from assistant.errors import Damaged, DiskFull, MemoryFailed, ReadOnly

MOST_BYTES = 1_000_000  # of one file
FILES = 4  # the one written to, and those before it
LINE = "%(asctime)s %(levelname)s %(name)s: %(message)s"
WORDS_KEPT = (MemoryFailed, DiskFull, ReadOnly, Damaged)  # and OSError: nothing that was said is in their words

log = logging.getLogger(__name__)

ErrorInfo = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


class Discreet(logging.Formatter):
    """Writes a traceback without the words of its errors."""

    def format(self, record: logging.LogRecord) -> str:
        """The line, with a traceback of our own writing even where another handler has left one in the record."""
        record = copy(record)
        record.exc_text = None
        return super().format(record)

    def formatException(self, ei: ErrorInfo) -> str:  # noqa: N802  # the name in logging
        """Where it went wrong, the first cause first."""
        chain: list[BaseException] = []
        error = ei[1]
        while error is not None and error not in chain:
            chain.append(error)
            error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
        return "\n".join(_told(each) for each in reversed(chain))


def set_up_log(folder: Path, database: str) -> None:
    """Log to a file in this folder, and warnings to the terminal; where the file cannot be written, all the same."""
    root = logging.getLogger()
    root.setLevel(logging.INFO)
    _add(root, logging.StreamHandler(), logging.WARNING)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file = RotatingFileHandler(
            folder / "prep-assistant.log", maxBytes=MOST_BYTES, backupCount=FILES - 1, encoding="utf-8"
        )
    except OSError as error:
        log.warning("no log is written: %s", error)
        return
    _add(root, file, logging.INFO)
    where = make_url(database).render_as_string()  # without its password
    log.info("prep-assistant %s, Python %s, %s", version("prep-assistant"), platform.python_version(), where)


def _add(root: logging.Logger, handler: logging.Handler, level: int) -> None:
    handler.setLevel(level)
    handler.setFormatter(Discreet(LINE))
    root.addHandler(handler)


def _told(error: BaseException) -> str:
    frames = StackSummary.extract(walk_tb(error.__traceback__))
    words = f": {error}" if type(error) in WORDS_KEPT or isinstance(error, OSError) else ""
    return "".join(format_list(frames)) + f"{type(error).__module__}.{type(error).__qualname__}{words}"
