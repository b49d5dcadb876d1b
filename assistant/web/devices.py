"""The devices that have joined: each holds a token of its own, of which only the digest is kept here, in one file.

A device is asked for a code again after thirty days. The file is read when the server starts, so that a restart in the
middle of a night turns nobody out; removing it turns everybody out.
"""

from __future__ import annotations

import hashlib
import logging
import os
import secrets
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from pydantic import AwareDatetime, BaseModel, ConfigDict, ValidationError

LASTS = timedelta(days=30)
MOST = 200  # beyond this the one that joined first is turned out
TOKEN_BYTES = 32

log = logging.getLogger(__name__)


class _Kept(BaseModel):
    """The file: the digest of each token (SHA-256, hex), and when its device joined."""

    model_config = ConfigDict(extra="forbid")
    joined: dict[str, AwareDatetime] = {}


def utc_now() -> datetime:
    """The time now, with its zone."""
    return datetime.now(UTC)


class Devices:
    """Who has joined. Safe to use from several threads."""

    def __init__(self, file: Path, now: Callable[[], datetime] = utc_now) -> None:
        """Read the file; one that is missing or damaged means that nobody has joined."""
        self._file, self._now = file, now
        self._lock = threading.Lock()
        self._joined = _read(file)

    def __len__(self) -> int:
        """How many have joined and not run out."""
        return sum(self._lasts(at) for at in self._joined.values())

    def admit(self) -> str:
        """A new device: the token that it shows from now on. Raises OSError when that cannot be kept."""
        token = secrets.token_urlsafe(TOKEN_BYTES)
        with self._lock:
            lasting = {digest: at for digest, at in self._joined.items() if self._lasts(at)}
            newest = dict(sorted(lasting.items(), key=lambda entry: entry[1])[-(MOST - 1) :])
            joined = {**newest, _digest(token): self._now()}
            _write(self._file, joined)
            self._joined = joined
        return token

    def known(self, token: str) -> str | None:
        """The device of a token, as a name to count by; None when it never joined or has run out."""
        digest = _digest(token)
        at = self._joined.get(digest)
        return digest if at is not None and self._lasts(at) else None

    def forget_all(self) -> None:
        """Turn everybody out."""
        with self._lock:
            self._file.unlink(missing_ok=True)
            self._joined = {}

    def _lasts(self, joined_at: datetime) -> bool:
        """Whether it may still come in; one that joined in the future did so by a clock that was wrong."""
        return joined_at - timedelta(days=1) <= self._now() < joined_at + LASTS


def _digest(token: str) -> str:
    """Tokens are random and long, so a plain digest gives nothing away, and looking it up leaks no timing of use."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def _read(file: Path) -> dict[str, datetime]:
    try:
        return _Kept.model_validate_json(file.read_bytes()).joined
    except FileNotFoundError:
        return {}
    except (OSError, ValidationError):
        log.warning("%s cannot be read; every device must join again", file)
        return {}


def _write(file: Path, joined: dict[str, datetime]) -> None:
    """Write the file whole or not at all, for its owner's eyes only."""
    file.parent.mkdir(parents=True, exist_ok=True)
    new = file.with_suffix(".new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as opened:
        opened.write(_Kept(joined=joined).model_dump_json(indent=1))
        opened.flush()
        os.fsync(opened.fileno())
    new.replace(file)
