"""The code on the screen: it lets in whoever reads it, for ten minutes, and cannot be guessed."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.web.devices import Devices
from assistant.web.pairing import ALL_TRIES, ALPHABET, LASTS_S, LETTERS, TRIES, Pairing, TooManyTries, WrongCode

PHONE = "192.0.2.7"


class Clock:
    """A clock that is set by hand."""

    at = 1000.0

    def __call__(self) -> float:
        """The time, in seconds."""
        return self.at


@pytest.fixture
def clock() -> Clock:
    """A clock."""
    return Clock()


@pytest.fixture
def pairing(tmp_path: Path, clock: Clock) -> Pairing:
    """A door with nobody in yet."""
    return Pairing(Devices(tmp_path / "devices.json"), now=clock)


def wrong(code: str) -> str:
    """A code that is not this one."""
    return ("3" if code[0] == "2" else "2") + code[1:]


def test_the_code_lets_in_any_number_of_devices(pairing: Pairing) -> None:
    """All phones of a house join with one code, and each gets a token of its own."""
    code = pairing.new_code()
    tokens = {pairing.join(code, f"192.0.2.{number}") for number in range(20)}
    assert len(tokens) == 20
    assert all(pairing.devices.known(token) for token in tokens)


def test_all_devices_may_come_from_one_address(pairing: Pairing) -> None:
    """Right codes are not counted as tries: behind one router all phones have one address."""
    code = pairing.new_code()
    assert len({pairing.join(code, PHONE) for _ in range(3 * TRIES.burst)}) == 3 * TRIES.burst


def test_a_code_is_read_as_people_write_it(pairing: Pairing) -> None:
    """Small letters, a space or a hyphen in the middle: it is the same code."""
    code = pairing.new_code()
    for written in (code.lower(), f" {code[:3]} {code[3:]} ", f"{code[:3]}-{code[3:]}"):
        assert pairing.join(written, PHONE)


@pytest.mark.parametrize("given", ["", "2", "\ud800", "é", "0" * 20], ids=ascii)
def test_anything_else_is_wrong(pairing: Pairing, given: str) -> None:
    """Also what no code can be."""
    pairing.new_code()
    with pytest.raises(WrongCode):
        pairing.join(given, PHONE)


def test_a_code_runs_out_after_ten_minutes(pairing: Pairing, clock: Clock) -> None:
    """Who photographed the screen yesterday stays out today."""
    code = pairing.new_code()
    clock.at += LASTS_S - 1
    assert pairing.join(code, PHONE)
    clock.at += 1
    with pytest.raises(WrongCode):
        pairing.join(code, PHONE)


def test_a_new_code_ends_the_one_before(pairing: Pairing) -> None:
    """Only what stands on the screen now is good."""
    old, new = pairing.new_code(), pairing.new_code()
    with pytest.raises(WrongCode):
        pairing.join(old, PHONE)
    assert pairing.join(new, PHONE)


def test_before_a_code_is_shown_nobody_comes_in(pairing: Pairing) -> None:
    """No code is not the empty code."""
    with pytest.raises(WrongCode):
        pairing.join("", PHONE)


def test_who_guesses_is_stopped_and_others_are_not(pairing: Pairing) -> None:
    """Five tries from one address, then a wait; the right code from another address is taken meanwhile."""
    code = pairing.new_code()
    for _ in range(TRIES.burst):
        with pytest.raises(WrongCode):
            pairing.join(wrong(code), PHONE)
    with pytest.raises(TooManyTries) as stopped:
        pairing.join(code, PHONE)
    assert 0 < stopped.value.wait_s <= TRIES.each_s
    assert pairing.join(code, "192.0.2.8")


def test_many_who_guess_together_are_stopped_too(pairing: Pairing, clock: Clock) -> None:
    """From any number of addresses, a code's ten minutes see no more tries than the module's words say."""
    code = pairing.new_code()
    tried = 0
    for number in range(int(LASTS_S) * 2):
        clock.at += 0.5
        try:
            pairing.join(wrong(code), f"address {number}")
        except WrongCode:
            tried += 1
        except TooManyTries:
            pass
    most = ALL_TRIES.burst + LASTS_S / ALL_TRIES.each_s
    assert tried == pytest.approx(most, abs=1)
    assert most / len(ALPHABET) ** LETTERS < 1 / 2_000_000


def test_letters_that_look_alike_are_not_used(pairing: Pairing) -> None:
    """What is read off a screen across a bar cannot be misread as another letter of a code."""
    assert not set(ALPHABET) & set("01OILU")
    assert len(set(ALPHABET)) == len(ALPHABET) == 30
    assert set("".join(pairing.new_code() for _ in range(200))) <= set(ALPHABET)


def test_the_screen_is_told_who_joined(tmp_path: Path) -> None:
    """Each device that comes in is told by its address, and none that does not."""
    told: list[str] = []
    pairing = Pairing(Devices(tmp_path / "devices.json"), told.append)
    code = pairing.new_code()
    pairing.join(code, PHONE)
    with pytest.raises(WrongCode):
        pairing.join(wrong(code), "192.0.2.8")
    assert told == [PHONE]
