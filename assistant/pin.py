"""A manager's PIN: what may be one, and how it is kept so that whoever reads the database cannot read it off."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass

SHORTEST, LONGEST = 6, 12  # digits; six is the least that NIST SP 800-63B (June 2017, 5.1.1.1) lets be digits alone
SALT_BYTES = 16
RUNS = ("01234567890123456789", "98765432109876543210")


@dataclass(frozen=True)
class Work:
    """What one try costs (scrypt, RFC 7914): 128 * n * r bytes of memory, gone through p times."""

    n: int
    r: int
    p: int

    @property
    def memory(self) -> int:
        """Bytes that the library must be allowed: those, and a little to move in."""
        return 128 * self.n * self.r + 2**20


SLOW = Work(n=2**15, r=8, p=3)  # 0.25 s where it was measured; among OWASP's least settings for scrypt, from memory


@dataclass(frozen=True)
class KeptPin:
    """A PIN as it is kept."""

    salt: bytes
    digest: bytes
    work: Work

    def is_for(self, digits: str) -> bool:
        """Whether these are the digits. Takes as long for any that are wrong."""
        return hmac.compare_digest(self.digest, _digest(digits, self.salt, self.work))


def hashed(digits: str, work: Work = SLOW) -> KeptPin:
    """The PIN as it is kept, with a salt of its own."""
    salt = secrets.token_bytes(SALT_BYTES)
    return KeptPin(salt, _digest(digits, salt, work), work)


def is_well_formed(digits: str) -> bool:
    """Whether it is so many digits, of those that every keyboard has."""
    return digits.isascii() and digits.isdigit() and SHORTEST <= len(digits) <= LONGEST


def is_easily_guessed(digits: str) -> bool:
    """Whether it is one digit over and over, or a run up or down."""
    return len(set(digits)) == 1 or any(digits in run for run in RUNS)


def _digest(digits: str, salt: bytes, work: Work) -> bytes:
    return hashlib.scrypt(digits.encode(errors="replace"), salt=salt, n=work.n, r=work.r, p=work.p, maxmem=work.memory)
