"""The certificate for the bar's network."""

from __future__ import annotations

import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from assistant.web.certificate import MARGIN, VALID, certificate_for

ADDRESS = "198.51.100.7"
NOW = datetime(2026, 3, 1, 18, 0, tzinfo=UTC)


def test_it_names_the_address_and_this_machine(tmp_path: Path) -> None:
    """A browser on the network finds the address it came to in the certificate."""
    made = x509.load_pem_x509_certificate(certificate_for(ADDRESS, tmp_path, NOW).chain.read_bytes())
    names = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert [str(ip) for ip in names.get_values_for_type(x509.IPAddress)] == [ADDRESS, "127.0.0.1"]


def test_only_the_owner_can_read_the_key(tmp_path: Path) -> None:
    """The key is a secret of this account."""
    assert stat.S_IMODE(certificate_for(ADDRESS, tmp_path, NOW).key.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    ("address", "later", "kept"),
    [
        (ADDRESS, timedelta(0), True),
        (ADDRESS, VALID - MARGIN - timedelta(days=1), True),
        (ADDRESS, VALID - MARGIN + timedelta(days=1), False),
        ("198.51.100.8", timedelta(0), False),
    ],
    ids=["at once", "long after", "near its end", "at another address"],
)
def test_it_is_kept_while_it_serves(address: str, later: timedelta, kept: bool, tmp_path: Path) -> None:
    """Phones that trusted it need not be asked again, until the address changes or its time runs out."""
    first = certificate_for(ADDRESS, tmp_path, NOW).fingerprint
    assert (certificate_for(address, tmp_path, NOW + later).fingerprint == first) is kept


@pytest.mark.parametrize("damage", ["certificate.pem", "key.pem"])
def test_a_damaged_one_is_made_anew(damage: str, tmp_path: Path) -> None:
    """A broken certificate, or one whose key is gone, is no reason to stop."""
    first = certificate_for(ADDRESS, tmp_path, NOW).fingerprint
    path = tmp_path / damage
    if damage == "key.pem":
        path.unlink()
    else:
        path.write_text("scratched")
    assert certificate_for(ADDRESS, tmp_path, NOW).fingerprint != first
