"""The bar's own network: the address is this machine's, and the invitation can be scanned and checked."""

from __future__ import annotations

import socket

import pytest

from assistant.web.lan import NoNetwork, invitation, lan_address, own_names, qr_code

ADDRESS = "https://198.51.100.7:8462/"


def test_the_address_is_one_of_this_machine() -> None:
    """What is printed for phones can be served on; or there is no network, which is said."""
    try:
        address = lan_address()
    except NoNetwork:
        pytest.skip("this machine is on no network")
    with socket.socket() as own:
        own.bind((address, 0))


def test_no_network_is_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a way out there is no address to print."""

    class Unplugged(socket.socket):
        """A socket of a machine whose cable is out."""

        def connect(self, address: object) -> None:
            """There is no way."""
            raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket, "socket", Unplugged)
    with pytest.raises(NoNetwork):
        lan_address()
    assert own_names() == (socket.gethostname(), f"{socket.gethostname()}.local")


def test_the_invitation_has_all_that_a_phone_needs() -> None:
    """The address stands there as a square and in letters, with the fingerprint to compare."""
    told = invitation(ADDRESS, "AB:CD")
    assert told.startswith(qr_code(ADDRESS))
    assert ADDRESS in told
    assert told.endswith("AB:CD")


def test_the_square_is_a_square() -> None:
    """Every line is as wide, and half as many lines as columns, so that a camera sees square cells."""
    lines = qr_code(ADDRESS).split("\n")
    assert {len(line) for line in lines} == {len(lines[0])}
    assert len(lines) == (len(lines[0]) + 1) // 2
