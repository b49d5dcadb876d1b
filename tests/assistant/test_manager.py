"""The manager's PIN at work, on a real database."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import create_engine, text

from assistant.errors import NoPin, PinError, PinNotTaken, TriedTooOften, WrongPin
from assistant.manager import UNLOCKED_FOR, Manager
from assistant.memory import Memory
from assistant.pin import Work
from assistant.pin_limits import FOR_GOOD

QUICK = Work(2, 1, 1)
PIN, WRONG = "482913", "482914"
NOON = datetime(2024, 3, 4, 12, 0, tzinfo=UTC)


class Clock:
    """A clock that a test sets."""

    now = NOON

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    """Noon on a Monday."""
    return Clock()


@pytest.fixture
def memory(url: str) -> Iterator[Memory]:
    """A memory on each kind of database."""
    with closing(Memory(url)) as memory:
        yield memory


@pytest.fixture
def manager(memory: Memory, clock: Clock) -> Manager:
    """With a PIN set."""
    manager = Manager(memory.pins, clock, QUICK)
    manager.set_pin(PIN)
    return manager


def tried(manager: Manager, digits: str, source: str = "phone") -> type[PinError] | None:
    """What a try comes to; None when it opens."""
    try:
        manager.unlock(digits, source)
    except PinError as error:
        return type(error)
    return None


class TestUnlocking:
    """The right PIN makes a device the manager's."""

    def test_for_half_an_hour(self, manager: Manager, clock: Clock) -> None:
        """As is said when it is typed; then it must be typed again."""
        token = manager.unlock(PIN, "phone")
        clock.now += UNLOCKED_FOR - timedelta(seconds=1)
        assert manager.is_unlocked(token)
        assert manager.left(token) == timedelta(seconds=1)
        clock.now += timedelta(seconds=1)
        assert not manager.is_unlocked(token)

    def test_until_it_is_locked(self, manager: Manager) -> None:
        """'Lock' ends it at once, and on this device alone."""
        phone, tablet = (manager.unlock(PIN, source) for source in ("phone", "tablet"))
        manager.lock(phone)
        assert (manager.is_unlocked(phone), manager.is_unlocked(tablet)) == (False, True)

    def test_no_made_up_token_does(self, manager: Manager) -> None:
        """Nor an empty one, nor the PIN itself."""
        manager.unlock(PIN, "phone")
        assert not any(manager.is_unlocked(token) for token in ("", PIN, "a" * 43, "\ud800"))

    def test_another_pin_locks_every_device(self, manager: Manager, memory: Memory, clock: Clock) -> None:
        """Also when it is set by another process: somebody may have learned the old one."""
        token = manager.unlock(PIN, "phone")
        Manager(memory.pins, clock, QUICK).set_pin("739201")
        assert not manager.is_unlocked(token)
        assert tried(manager, PIN) is WrongPin
        assert tried(manager, "739201") is None

    def test_a_clock_that_is_set_back_locks(self, manager: Manager, clock: Clock) -> None:
        """Else half an hour would last for as long as somebody turns back the clock."""
        token = manager.unlock(PIN, "phone")
        clock.now -= timedelta(hours=1)
        assert not manager.is_unlocked(token)

    def test_without_a_pin_nothing_opens(self, memory: Memory, clock: Clock) -> None:
        """And it says that none is set, rather than that it is wrong."""
        manager = Manager(memory.pins, clock, QUICK)
        assert not manager.has_pin()
        assert tried(manager, PIN) is NoPin

    def test_it_may_be_taken_away(self, manager: Manager) -> None:
        """Then whoever was unlocked is the manager no more, since there is none."""
        token = manager.unlock(PIN, "phone")
        manager.remove_pin()
        assert not manager.has_pin()
        assert not manager.is_unlocked(token)


class TestGuessing:
    """A PIN cannot be guessed faster than the limits."""

    def test_five_wrong_ones_and_even_the_right_one_waits(self, manager: Manager, clock: Clock) -> None:
        """While it waits nothing is looked at, so that nothing is learned."""
        assert [tried(manager, WRONG) for _ in range(6)] == [WrongPin] * 5 + [TriedTooOften]
        assert tried(manager, PIN) is TriedTooOften
        clock.now += timedelta(minutes=15)
        assert tried(manager, PIN) is None

    def test_a_lock_out_survives_a_restart(self, manager: Manager, url: str, clock: Clock) -> None:
        """Pulling the plug gives nobody five new tries."""
        for _ in range(5):
            tried(manager, WRONG)
        with closing(Memory(url)) as again:
            assert tried(Manager(again.pins, clock, QUICK), PIN) is TriedTooOften

    def test_a_try_is_counted_before_it_is_looked_at(self, manager: Manager, monkeypatch: pytest.MonkeyPatch) -> None:
        """A process that is killed while it looks has counted it all the same."""

        def killed(*_: object) -> bool:
            raise KeyboardInterrupt

        with monkeypatch.context() as patched:
            patched.setattr("assistant.pin.hmac.compare_digest", killed)
            for _ in range(5):
                with pytest.raises(KeyboardInterrupt):
                    manager.unlock(PIN, "phone")
        assert tried(manager, PIN) is TriedTooOften

    def test_many_at_the_same_moment_get_no_more_tries(self, manager: Manager) -> None:
        """Twelve threads at once: five are looked at."""
        found: list[type[PinError] | None] = []
        threads = [threading.Thread(target=lambda: found.append(tried(manager, WRONG))) for _ in range(12)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert sorted(str(each) for each in found) == sorted(str(each) for each in [WrongPin] * 5 + [TriedTooOften] * 7)

    def test_many_devices_share_ten_an_hour(self, manager: Manager, clock: Clock) -> None:
        """Then all that never had the PIN wait, a manager with a new phone too, who goes to the terminal."""
        assert [tried(manager, WRONG, f"phone {n}") for n in range(11)] == [WrongPin] * 10 + [TriedTooOften]
        clock.now += timedelta(hours=1)
        assert tried(manager, PIN, "tablet") is None

    def test_fifty_in_all_close_it_until_it_is_set_anew(self, manager: Manager, clock: Clock) -> None:
        """One try an hour for weeks comes to an end as well; the terminal opens it again."""
        for n in range(50):
            clock.now += timedelta(hours=1)
            assert tried(manager, WRONG, f"phone {n}") is WrongPin
        clock.now += timedelta(days=365)
        with pytest.raises(TriedTooOften) as closed:
            manager.unlock(PIN, "tablet")
        assert closed.value.until == FOR_GOOD
        manager.set_pin("739201")
        assert tried(manager, "739201", "tablet") is None

    def test_the_right_pin_gives_nobody_else_new_tries(self, manager: Manager) -> None:
        """The manager's own slips are forgotten; those of the phone in the corner are not."""
        for source in ("manager", "phone"):
            for _ in range(4):
                tried(manager, WRONG, source)
        manager.unlock(PIN, "manager")
        assert [tried(manager, WRONG, "phone") for _ in range(2)] == [WrongPin, TriedTooOften]
        assert [tried(manager, WRONG, "manager") for _ in range(6)] == [WrongPin] * 5 + [TriedTooOften]

    def test_the_managers_own_device_is_let_in_while_strangers_are_locked_out(
        self, manager: Manager, clock: Clock
    ) -> None:
        """In the same minute, and also once the door is closed to strangers for good."""
        manager.unlock(PIN, "office")
        for n in range(11):
            tried(manager, WRONG, f"phone {n}")
        assert tried(manager, PIN, "a new tablet") is TriedTooOften
        assert tried(manager, PIN, "office") is None
        for n in range(40):
            clock.now += timedelta(hours=1)
            tried(manager, WRONG, f"phone {n}")
        clock.now += timedelta(days=365)
        assert tried(manager, PIN, "a new tablet") is TriedTooOften
        assert tried(manager, PIN, "office") is None

    def test_a_manager_who_comes_every_night_gives_strangers_no_new_tries(self, manager: Manager, clock: Clock) -> None:
        """Fifty in all are fifty, though the right PIN is typed on the manager's device after each of them."""
        manager.unlock(PIN, "office")
        found = []
        for n in range(60):
            clock.now += timedelta(days=1)
            found.append(tried(manager, WRONG, f"phone {n}"))
            assert tried(manager, PIN, "office") is None
        assert found == [WrongPin] * 50 + [TriedTooOften] * 10

    def test_another_pin_makes_every_device_a_stranger(self, manager: Manager) -> None:
        """Somebody may have learned the old one, and shown it on a phone of their own."""
        manager.unlock(PIN, "phone")
        manager.set_pin("739201")
        for n in range(10):
            tried(manager, WRONG, f"phone {n}")
        assert tried(manager, "739201", "phone") is TriedTooOften

    def test_venues_do_not_close_each_other(self, manager: Manager, url: str, clock: Clock) -> None:
        """Each has a PIN and tries of its own."""
        for n in range(10):
            tried(manager, WRONG, f"phone {n}")
        with closing(Memory(url, venue="the other bar")) as elsewhere:
            other = Manager(elsewhere.pins, clock, QUICK)
            other.set_pin("739201")
            assert tried(other, "739201") is None
            assert tried(other, PIN) is WrongPin


class TestKeeping:
    """What lies in the database, and in the log."""

    @pytest.mark.parametrize(("digits", "reason"), [("4829", "form"), ("48291x", "form"), ("123456", "easy")])
    def test_a_poor_pin_is_not_taken(self, manager: Manager, digits: str, reason: str) -> None:
        """The one before stays."""
        with pytest.raises(PinNotTaken) as refused:
            manager.set_pin(digits)
        assert refused.value.reason == reason
        assert tried(manager, PIN) is None

    def test_no_table_shows_the_pin(self, manager: Manager, memory: Memory, url: str) -> None:
        """Not the row of the PIN, not that of a wrong try, and the trail does not know of it."""
        tried(manager, WRONG)
        engine = create_engine(url)
        tables = ("manager_pin", "wrong_pin")
        with engine.connect() as connection:
            rows = [tuple(row) for name in tables for row in connection.execute(text(f"SELECT * FROM {name}"))]
        engine.dispose()
        assert len(rows) == 2
        assert not any(digits in str(row) for digits in (PIN, WRONG) for row in rows)
        assert memory.trail() == ()

    def test_the_log_has_no_digits_of_it(self, manager: Manager, caplog: pytest.LogCaptureFixture) -> None:
        """It tells of wrong tries and where they come from, not what was tried."""
        with caplog.at_level(logging.DEBUG):
            for digits in (*[WRONG] * 6, PIN):
                tried(manager, digits)
        assert "a wrong PIN from phone" in caplog.text
        assert WRONG not in caplog.text
        assert PIN not in caplog.text

    def test_no_error_holds_it(self, manager: Manager) -> None:
        """So that none can be printed by whoever catches it."""
        with pytest.raises(WrongPin) as wrong:
            manager.unlock(WRONG, "phone")
        assert wrong.value.args == ()
