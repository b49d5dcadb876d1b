"""A certificate of our own for the bar's network: browsers give a page the microphone only over https.

Nobody vouches for it, so each phone asks once whether to trust it; its fingerprint is printed to compare. It is kept,
so that phones need not be asked again, and made anew when the address changes or its time runs out.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import IPv4Address, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

VALID = timedelta(days=365)
MARGIN = timedelta(days=7)  # before the end, when a new one is made


@dataclass(frozen=True)
class Certificate:
    """Where the certificate and its key lie, and the fingerprint (SHA-256, pairs of hex digits)."""

    chain: Path
    key: Path
    fingerprint: str


def certificate_for(address: str, folder: Path, now: datetime | None = None) -> Certificate:
    """The certificate kept in the folder if it still serves this IP address; else a new one."""
    now = now or datetime.now(UTC)
    chain, key = folder / "certificate.pem", folder / "key.pem"
    kept = _kept(chain) if key.exists() else None
    if kept is None or not _serves(kept, address, now):
        folder.mkdir(parents=True, exist_ok=True)
        kept = _make(address, chain, key, now)
    return Certificate(chain, key, kept.fingerprint(hashes.SHA256()).hex(":").upper())


def _kept(chain: Path) -> x509.Certificate | None:
    try:
        return x509.load_pem_x509_certificate(chain.read_bytes())
    except (FileNotFoundError, ValueError):
        return None


def _serves(certificate: x509.Certificate, address: str, now: datetime) -> bool:
    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    in_time = certificate.not_valid_before_utc <= now < certificate.not_valid_after_utc - MARGIN
    return in_time and ip_address(address) in names.get_values_for_type(x509.IPAddress)


def _make(address: str, chain: Path, key: Path, now: datetime) -> x509.Certificate:
    secret = ec.generate_private_key(ec.SECP256R1())
    certificate = _unsigned(address, secret.public_key(), now).sign(secret, hashes.SHA256())
    _write_secret(key, secret.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    chain.write_bytes(certificate.public_bytes(Encoding.PEM))
    return certificate


def _unsigned(address: str, public: ec.EllipticCurvePublicKey, now: datetime) -> x509.CertificateBuilder:
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "prep assistant")])
    reached_at = [x509.IPAddress(ip) for ip in (ip_address(address), IPv4Address("127.0.0.1"))]
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1))  # clocks of phones differ
        .not_valid_after(now + VALID)
        .add_extension(x509.SubjectAlternativeName([*reached_at, x509.DNSName("localhost")]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    )


def _write_secret(path: Path, secret: bytes) -> None:
    """Write a file that only its owner can read, from its first byte on."""
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(secret)
