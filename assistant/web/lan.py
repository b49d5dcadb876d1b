"""The bar's own network: where phones reach this machine, and what to tell the people who hold them."""

from __future__ import annotations

import io
import socket

import segno

ELSEWHERE = ("192.0.2.1", 9)  # an address kept for examples (RFC 5737); nothing is sent to it


class NoNetwork(Exception):  # noqa: N818  # says what happened, not that it is an error
    """This machine has no address on a network."""


def lan_address() -> str:
    """This machine's address on its network. Raises NoNetwork."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(ELSEWHERE)  # chooses a way out, and with it the address of this end
        except OSError as error:
            raise NoNetwork from error
        return str(asking.getsockname()[0])


def own_names() -> tuple[str, ...]:
    """What this machine is called on its network: by name, by name over multicast DNS, and by address."""
    name = socket.gethostname()
    try:
        return name, f"{name}.local", lan_address()
    except NoNetwork:
        return name, f"{name}.local"


def invitation(address: str, fingerprint: str) -> str:
    """What to print for the phones: a QR code of the address, and how to trust the certificate."""
    return "\n".join(
        (
            qr_code(address),
            f"Point a phone at the square, or open {address}",
            "The phone warns once that nobody vouches for this certificate: it was made here, just for this bar.",
            "Before you trust it, compare its SHA-256 fingerprint:",
            fingerprint,
        )
    )


def qr_code(text: str) -> str:
    """A QR code (ISO/IEC 18004) in half blocks, for a terminal."""
    drawn = io.StringIO()
    segno.make(text, micro=False).terminal(out=drawn, compact=True, border=2)
    return drawn.getvalue().rstrip()
