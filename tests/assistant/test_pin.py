"""A manager's PIN as it is kept, and what may be one."""

from __future__ import annotations

import hashlib

import pytest

from assistant.pin import SLOW, Work, hashed, is_easily_guessed, is_well_formed

QUICK = Work(2, 1, 1)


def test_what_is_kept_does_not_show_the_pin() -> None:
    """Neither the digits nor a plain hash of them; and the same PIN never looks the same twice."""
    one, other = hashed("482913", QUICK), hashed("482913", QUICK)
    assert one.digest != other.digest
    plain = {hashlib.new(name, b"482913").digest() for name in ("md5", "sha1", "sha256", "sha512")}
    assert one.digest not in plain
    assert b"482913" not in one.digest + one.salt


def test_only_its_own_digits_fit() -> None:
    """One digit more, less or other is another PIN."""
    kept = hashed("482913", QUICK)
    assert kept.is_for("482913")
    assert not any(kept.is_for(digits) for digits in ("482914", "48291", "4829130", "", "٤٨٢٩١٣"))


def test_scrypt_is_that_of_the_rfc() -> None:
    """RFC 7914, section 12: the third example, with the parameters' names as there."""
    work = Work(n=16384, r=8, p=1)
    expected = bytes.fromhex(
        "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
        "d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887"
    )
    found = hashlib.scrypt(
        b"pleaseletmein", salt=b"SodiumChloride", n=work.n, r=work.r, p=work.p, maxmem=work.memory, dklen=64
    )
    assert found == expected


def test_a_try_costs_memory_as_well_as_time() -> None:
    """Thirty-two megabytes, gone through three times, so that a stolen database is slow to try all PINs on."""
    assert 128 * SLOW.n * SLOW.r == 32 * 2**20
    assert SLOW.p == 3
    assert hashed("482913").is_for("482913")


@pytest.mark.parametrize("digits", ["482913", "000012", "482913482913"])
def test_six_to_twelve_digits_are_a_pin(digits: str) -> None:
    """Long enough to be worth it, short enough to be typed."""
    assert is_well_formed(digits)
    assert not is_easily_guessed(digits)


@pytest.mark.parametrize("text", ["", "4829", "48291", "4829134829134", "48 29 13", "48291a", "٤٨٢٩١٣", "-48291"])
def test_nothing_else_is(text: str) -> None:
    """Letters, spaces, signs, digits of other scripts, too few or too many."""
    assert not is_well_formed(text)


@pytest.mark.parametrize("digits", ["111111", "123456", "654321", "8901234", "000000000000"])
def test_what_everybody_tries_first_is_none(digits: str) -> None:
    """One digit over and over, or a run."""
    assert is_easily_guessed(digits)
