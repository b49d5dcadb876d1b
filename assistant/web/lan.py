"""The bar's own network: where phones reach this machine, and what to tell the people who hold them."""

from __future__ import annotations

import io
import socket
from ipaddress import ip_address

import segno

from assistant.web.pairing import LASTS_S

ELSEWHERE = ("192.0.2.1", 9)  # an address kept for examples (RFC 5737); nothing is sent to it


class NoNetwork(Exception):  # noqa: N818  # says what happened, not that it is an error
    """This machine has no address on a network."""


class OpenToAll(Exception):  # noqa: N818  # says what happened, not that it is an error
    """An address that others reach was to be served with no door before it."""

    def __init__(self, host: str) -> None:
        super().__init__(host)
        self.host = host


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


def is_own(host: str) -> bool:
    """Whether a host is reached from this machine alone."""
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def invitation(address: str, fingerprint: str, code: str) -> str:
    """What to print for the phones: the address as a QR code, the code to join with, how to trust the certificate."""
    return "\n".join(
        (
            qr_code(f"{address}join#{code}"),  # what stands after # stays in the phone: it is never sent with it
            f"Point a phone at the square, or open {address} and give this code: {spaced(code)}",
            f"The code is good for {LASTS_S / 60:.0f} minutes. Press Enter for a new one.",
            "The phone warns once that nobody vouches for this certificate: it was made here, just for this bar.",
            "Before you trust it, compare its SHA-256 fingerprint:",
            fingerprint,
        )
    )


def spaced(code: str) -> str:
    """A code in two halves, as it is easiest to copy."""
    half = len(code) // 2
    return f"{code[:half]} {code[half:]}"


def qr_code(text: str) -> str:
    """A QR code (ISO/IEC 18004) in half blocks, for a terminal."""
    drawn = io.StringIO()
    segno.make(text, micro=False).terminal(out=drawn, compact=True, border=2)
    return drawn.getvalue().rstrip()
