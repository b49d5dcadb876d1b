"""Fifty venues on one database, all changing things at once: how long each waits, and whether a change is lost.

Each venue has two devices. A device says that things are out and back in, sets prices of the same few packs as the
other, marks a quiz, and looks before each change whether anything is new, as a server does before each answer. Now and
then all venues keep a drink of one name in the shared book, which only one of them can. Prints a table.

Run: python -m tests.benchmarks.venues URL [SECONDS], as in postgresql+psycopg://user@host/name: an empty database that
has room for two connections a venue (max_connections). SECONDS is a device's pause between changes, 0 if left out.
"""

from __future__ import annotations

import random
import sys
import threading
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass, field, replace
from itertools import pairwise
from time import perf_counter, sleep

from assistant.answers.base import Change, KeepDrink, Marked, SetOut, SetPrice
from assistant.errors import MemoryFailed, NameTaken
from assistant.memory import Memory
from recipes.loader import load_book
from recipes.units import quantity

VENUES = 50
DEVICES = 2  # in each
CHANGES = 40  # of each device
THINGS = ("gin", "lime juice", "orgeat", "aged rum")  # few, so that devices meet
ALL = 1_000_000  # lines of a trail


@dataclass
class Device:
    """One device: what was confirmed to it, and how long it waited (seconds)."""

    memory: Memory
    number: int
    pause: float  # seconds between changes
    confirmed: list[str] = field(default_factory=list)
    refused: int = 0  # the name was taken by another venue
    failed: int = 0
    looks: list[float] = field(default_factory=list)
    changes: list[float] = field(default_factory=list)
    seen: int = -1

    def work(self) -> None:
        """All its changes, one after the other."""
        chance = random.Random(self.number)
        for turn in range(CHANGES):
            sleep(chance.uniform(0, 2) * self.pause)
            self._look()
            change = _change(chance, turn, self.number)
            started = perf_counter()
            try:
                self.confirmed.append(self.memory.apply(change, f"device {self.number}"))
            except NameTaken:
                self.refused += 1
            except MemoryFailed:
                self.failed += 1
            self.changes.append(perf_counter() - started)

    def _look(self) -> None:
        started = perf_counter()
        version = self.memory.version()
        if version != self.seen:
            self.memory.recall()
            self.seen = version
        self.looks.append(perf_counter() - started)


DRINK = next(iter(load_book().drinks.values()))


def _change(chance: random.Random, turn: int, number: int) -> Change:
    thing = chance.choice(THINGS)
    if turn % 20 == 19:
        return KeepDrink(replace(DRINK, name=f"Shared {turn}", note=f"as device {number} makes it"))
    match turn % 3:
        case 0:
            return SetPrice(thing, quantity(number * 1000 + turn, "money"))
        case 1:
            return SetOut(thing, chance.random() < 0.5)
    return Marked(f"trainee {number}", DRINK.name, "build", 1, 1)


def lost(devices: Iterable[Device]) -> int:
    """Confirmed changes that are not in their venue's trail, or not once."""
    count = 0
    for device in devices:
        there = [entry.token for entry in device.memory.trail(ALL)]
        count += sum(there.count(token) != 1 for token in device.confirmed)
    return count


def broken(memories: Iterable[Memory]) -> int:
    """Changes of a price or a bottle that do not stand on the one before them: another change was written over."""
    count = 0
    for memory in memories:
        for kind in ("price", "out"):
            for thing in THINGS:
                chain = memory.history(kind, thing)
                count += sum(later.before != earlier.after for later, earlier in pairwise(chain))
    return count


def main(url: str, pause: float = 0.0) -> None:
    """Run and print."""
    with closing(Memory(url, venue="first")) as first:
        if first.trail(1):
            raise SystemExit("That database is not empty.")
    memories = [Memory(url, venue=f"venue {number}") for number in range(VENUES)]
    devices = [Device(memories[number % VENUES], number, pause) for number in range(VENUES * DEVICES)]
    threads = [threading.Thread(target=device.work) for device in devices]
    started = perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    seconds = perf_counter() - started
    _report(url, devices, memories, seconds)
    for memory in memories:
        memory.close()


def _report(url: str, devices: list[Device], memories: list[Memory], seconds: float) -> None:
    confirmed = sum(len(device.confirmed) for device in devices)
    drinks = {drink.name for drink in memories[0].recall().drinks}
    same = all({drink.name for drink in memory.recall().drinks} == drinks for memory in memories)
    rows = (
        ("database", url.partition(":")[0]),
        ("venues, devices", f"{VENUES}, {VENUES * DEVICES}"),
        ("changes confirmed", f"{confirmed}"),
        ("names taken, and said so", f"{sum(device.refused for device in devices)}"),
        ("failed", f"{sum(device.failed for device in devices)}"),
        ("lost", f"{lost(devices)}"),
        ("written over", f"{broken(memories)}"),
        ("drinks in the shared book, seen alike by all", f"{len(drinks)}, {'yes' if same else 'NO'}"),
        ("changes a second", f"{confirmed / seconds:.0f}"),
        ("a look, median and 95th of a hundred", _times([each for device in devices for each in device.looks])),
        ("a change, median and 95th of a hundred", _times([each for device in devices for each in device.changes])),
    )
    for label, value in rows:
        print(f"{label:<48}{value}")


def _times(seconds: list[float]) -> str:
    ordered = sorted(seconds)
    return f"{ordered[len(ordered) // 2] * 1000:.0f} ms, {ordered[len(ordered) * 95 // 100] * 1000:.0f} ms"


if __name__ == "__main__":
    main(sys.argv[1], *map(float, sys.argv[2:3]))
