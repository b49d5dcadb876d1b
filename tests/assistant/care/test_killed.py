"""The server killed without warning in the middle of five hundred changes, and started again on what it left."""

from __future__ import annotations

import http.client
import threading
from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

from assistant.memory import Memory
from recipes.loader import load_book
from tests.assistant.running import Server, running

CHANGES = 500
HANDS = 4
KILLED_AFTER = (60, 200, 380)  # changes that were confirmed


class Hand:
    """One device: it says that things are out and back in, and notes what was confirmed."""

    def __init__(self, number: int, names: list[str]) -> None:
        self._conversation = f"hand-{number}"
        self._sayings = self._said(names)
        self.confirmed: list[str] = []
        self.unheard = 0  # asked, and no answer came: made or not made

    def work(self, server: Server, enough: threading.Event) -> None:
        """Change things until there is enough, or the server is gone."""
        while not enough.is_set():
            try:
                reply = server.ask(next(self._sayings), self._conversation)
            except (OSError, http.client.HTTPException):
                self.unheard += 1
                return
            if reply.get("undo"):
                self.confirmed.append(reply["undo"])

    @staticmethod
    def _said(names: list[str]) -> Iterator[str]:
        for turn in count():
            name = names[turn // 2 % len(names)]
            yield f"we're out of {name}" if turn % 2 == 0 else f"{name} is back in"


def test_five_hundred_changes_outlive_three_kills(tmp_path: Path) -> None:
    """Each confirmed change is in the trail once, and what is out is what the trail says, change for change."""
    bottles = [name for name, one in sorted(load_book().ingredients.items()) if one.role.value == "base"]
    hands = [Hand(number, bottles[number::HANDS]) for number in range(HANDS)]
    for goal in (*KILLED_AFTER, CHANGES):
        with running(tmp_path) as server:
            _work_until(goal, hands, server)
    confirmed = {token for hand in hands for token in hand.confirmed}
    assert len(confirmed) >= CHANGES
    with closing(Memory(f"sqlite:///{tmp_path / 'shift.db'}")) as memory:
        trail, out = memory.trail(limit=10_000), memory.recall().out
    tokens = [entry.token for entry in trail]
    assert len(tokens) == len(set(tokens))
    assert confirmed <= set(tokens), "a confirmed change is lost"
    assert len(tokens) - len(confirmed) <= sum(hand.unheard for hand in hands), "a change nobody asked for"
    told: dict[str, bool] = {}
    for entry in reversed(trail):
        assert (entry.before is not None) == told.get(entry.name, False), "each change stands on the one before it"
        told[entry.name] = entry.after is not None
    assert out == {name for name, is_out in told.items() if is_out}, "half a change"


def _work_until(goal: int, hands: list[Hand], server: Server) -> None:
    """All hands at once, until so many changes are confirmed; then the server is killed while they go on asking."""
    enough = threading.Event()
    threads = [threading.Thread(target=hand.work, args=(server, enough)) for hand in hands]
    for thread in threads:
        thread.start()
    while sum(len(hand.confirmed) for hand in hands) < goal and any(thread.is_alive() for thread in threads):
        enough.wait(0.01)
    server.kill()
    enough.set()
    for thread in threads:
        thread.join()
