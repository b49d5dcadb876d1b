"""The bar's own network: the address is this machine's, and the invitation can be scanned and checked."""

from __future__ import annotations

import socket

import pytest

from assistant.web.lan import NoNetwork, invitation, is_own, lan_address, own_names, qr_code

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
    """The address stands there as a square, with the code in it, and in letters, with the fingerprint to compare."""
    told = invitation(ADDRESS, "AB:CD", "K7M2PX")
    assert told.startswith(qr_code(f"{ADDRESS}join#K7M2PX"))
    assert f"{ADDRESS} and give this code: K7M 2PX" in told
    assert told.endswith("AB:CD")


@pytest.mark.parametrize(
    ("host", "own"),
    [
        ("127.0.0.1", True),
        ("127.8.8.8", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.0.2.7", False),
        ("bar.example", False),
        ("localhost.example", False),
    ],
)
def test_what_others_reach_is_told_from_what_only_this_machine_reaches(host: str, own: bool) -> None:
    """Only the loopback is this machine's own; a name is taken for a stranger's."""
    assert is_own(host) is own


def test_the_square_is_a_square() -> None:
    """Every line is as wide, and half as many lines as columns, so that a camera sees square cells."""
    lines = qr_code(ADDRESS).split("\n")
    assert {len(line) for line in lines} == {len(lines[0])}
    assert len(lines) == (len(lines[0]) + 1) // 2
