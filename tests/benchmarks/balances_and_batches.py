"""How long balances and batches take, with the house's book and with one of 5,000 drinks. Prints a table.

Run: python -m tests.benchmarks.balances_and_batches
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from assistant.answers import balances, batches
from assistant.answers.base import Scene
from assistant.messages import Focus
from grammar.command import Command, Intent
from recipes.balance import balance, profile
from recipes.batches import Filling, Serves, batch
from recipes.composition import Compositions
from recipes.ethanol import mass_fraction
from recipes.loader import load_book
from recipes.model import Book
from recipes.units import quantity
from tests.benchmarks.measures_and_money import LARGE, enlarged, milliseconds

HANDLERS = {**balances.HANDLERS, **batches.HANDLERS}
QUESTIONS = (
    Command(Intent.BALANCE, {"drink": "Clover Club"}),
    Command(Intent.BALANCE, {"drink": "Negroni", "part": "strength"}),
    Command(Intent.BATCH, {"drink": "Manhattan", "count": 40}),
    Command(Intent.BATCH, {"drink": "Daiquiri", "amount": Decimal(2), "unit": "l"}),
)


def engine(book: Book) -> dict[str, Callable[[], object]]:
    """The engine's answers."""
    club, manhattan, shelf = book.drinks["Clover Club"], book.drinks["Manhattan"], Compositions(book)
    return {
        "strength by mass": lambda: mass_fraction.__wrapped__(Decimal("0.4")),
        "profile, shelf at hand": lambda: profile(club, shelf),
        "balance": lambda: balance(club, book),
        "batch of forty": lambda: batch(manhattan, Serves(Decimal(40)), book),
        "keg": lambda: batch(manhattan, Filling(quantity(19, "liter")), book),
    }


def answers(book: Book) -> dict[str, Callable[[], object]]:
    """What people ask, answered with words and a card."""
    scene = Scene(book, frozenset(), Focus())
    return {
        " ".join([c.intent.value, *map(str, c.slots.values())]): lambda c=c: HANDLERS[c.intent](c, scene)  # type: ignore[misc]
        for c in QUESTIONS
    }


def main() -> None:
    """Print the table."""
    house = load_book()
    large = enlarged(house, LARGE)
    print(f"{'milliseconds, median of nine':34}{f'{len(house.drinks)} drinks':>14}{f'{len(large.drinks)} drinks':>14}")
    for rows in (engine, answers):
        beside = rows(large)
        for name, work in rows(house).items():
            print(f"{name:34}{milliseconds(work):14.2f}{milliseconds(beside[name]):14.2f}")


if __name__ == "__main__":
    main()
