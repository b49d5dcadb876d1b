"""The devices that have joined: each holds a token of its own, of which only the digest is kept here, in one file.

A device is asked for a code again after thirty days. The file is read when the server starts, so that a restart in the
middle of a night turns nobody out, and again when another program has changed it, so that a command turns one device
out while the server runs; removing it turns everybody out.
"""

from __future__ import annotations

import hashlib
import logging
import os
import secrets
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from filelock import FileLock
from pydantic import AwareDatetime, BaseModel, ConfigDict, ValidationError

LASTS = timedelta(days=30)
MOST = 200  # beyond this the one that joined first is turned out
TOKEN_BYTES = 32
NAME_LETTERS = 8  # of a device's digest: enough to tell two hundred apart
OTHERS_S = 5.0  # to wait for another program that changes the file

log = logging.getLogger(__name__)


class _Kept(BaseModel):
    """The file: the digest of each token (SHA-256, hex), when its device joined, and from where."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    joined: dict[str, AwareDatetime] = {}
    address: dict[str, str] = {}  # not of those that an earlier version let in


@dataclass(frozen=True)
class Device:
    """One that has joined: what to call it, when that was, and its address then, empty where it was not noted."""

    name: str
    joined_at: datetime
    address: str


def utc_now() -> datetime:
    """The time now, with its zone."""
    return datetime.now(UTC)


class Devices:
    """Who has joined. Safe to use from several threads."""

    def __init__(self, file: Path, now: Callable[[], datetime] = utc_now) -> None:
        """Read the file; one that is missing or damaged means that nobody has joined."""
        self._file, self._now = file, now
        self._lock = threading.Lock()
        self._version, self._kept = _version(file), _read(file)

    def __len__(self) -> int:
        """How many have joined and not run out."""
        return len(self.all())

    def all(self) -> tuple[Device, ...]:
        """Those that have joined and not run out, the latest first."""
        kept = self._now_kept()
        return tuple(Device(called(digest), at, kept.address.get(digest, "")) for at, digest in self._lasting(kept))

    def admit(self, address: str = "") -> str:
        """A new device: the token that it shows from now on. Raises OSError when that cannot be kept."""
        token = secrets.token_urlsafe(TOKEN_BYTES)
        with self._changing() as kept:
            joined = {_digest(token): self._now(), **{digest: at for at, digest in self._lasting(kept)[: MOST - 1]}}
            self._keep(joined, {**kept.address, _digest(token): address})
        return token

    def known(self, token: str) -> str | None:
        """The device of a token, as a name to count by; None when it never joined, has run out or was turned out."""
        digest = _digest(token)
        at = self._now_kept().joined.get(digest)
        return digest if at is not None and self._lasts(at) else None

    def forget(self, name: str) -> bool:
        """Turn one device out; False where none is called so. Raises OSError when that cannot be kept."""
        with self._changing() as kept:
            left = {digest: at for digest, at in kept.joined.items() if called(digest) != name}
            if len(left) == len(kept.joined):
                return False
            self._keep(left, kept.address)
        return True

    def forget_all(self) -> None:
        """Turn everybody out."""
        with self._lock:
            self._file.unlink(missing_ok=True)
            self._version, self._kept = None, _Kept()

    def _now_kept(self) -> _Kept:
        """What the file holds, read again when it is another."""
        version = _version(self._file)
        if version != self._version:
            with self._lock:
                self._version, self._kept = version, _read(self._file)
        return self._kept

    @contextmanager
    def _changing(self) -> Iterator[_Kept]:
        """What the file holds, while no other program and no other thread changes it."""
        self._file.parent.mkdir(parents=True, exist_ok=True)
        with FileLock(self._file.with_suffix(".lock"), timeout=OTHERS_S):
            kept = self._now_kept()
            with self._lock:
                yield kept

    def _keep(self, joined: Mapping[str, datetime], address: Mapping[str, str]) -> None:
        kept = _Kept(joined=dict(joined), address={digest: address.get(digest, "") for digest in joined})
        _write(self._file, kept)
        self._version, self._kept = _version(self._file), kept

    def _lasting(self, kept: _Kept) -> list[tuple[datetime, str]]:
        """When they joined, and their digests, the latest first."""
        return sorted(((at, digest) for digest, at in kept.joined.items() if self._lasts(at)), reverse=True)

    def _lasts(self, joined_at: datetime) -> bool:
        """Whether it may still come in; one that joined in the future did so by a clock that was wrong."""
        return joined_at - timedelta(days=1) <= self._now() < joined_at + LASTS


def called(device: str) -> str:
    """The short name of a device as `Devices.known` gives it: what it is listed and turned out by."""
    return device[:NAME_LETTERS]


def _digest(token: str) -> str:
    """Tokens are random and long, so a plain digest gives nothing away, and looking it up leaks no timing of use."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def _version(file: Path) -> tuple[int, int] | None:
    """Another whenever the file is another."""
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_ino, found.st_mtime_ns


def _read(file: Path) -> _Kept:
    try:
        return _Kept.model_validate_json(file.read_bytes())
    except FileNotFoundError:
        return _Kept()
    except (OSError, ValidationError):
        log.warning("%s cannot be read; every device must join again", file)
        return _Kept()


def _write(file: Path, kept: _Kept) -> None:
    """Write the file whole or not at all, for its owner's eyes only."""
    new = file.with_suffix(".new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as opened:
        opened.write(kept.model_dump_json(indent=1))
        opened.flush()
        os.fsync(opened.fileno())
    new.replace(file)
