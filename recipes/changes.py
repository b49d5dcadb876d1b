"""What changes from one drink to another like it: what goes out, what comes in, what has another amount, the method."""

from __future__ import annotations

from dataclasses import dataclass

from recipes.model import Book, Drink, Pour
from recipes.units import Amount

UNMEASURED = ("to top", "to rinse")  # pours with such a note need no amount
MOST_POURS = 2  # that may differ between two drinks that are learnt by what changes: house choice


@dataclass(frozen=True)
class Changes:
    """What changes from a first drink to a second, by ingredient."""

    out: tuple[str, ...]  # only the first has it
    comes_in: tuple[str, ...]  # only the second has it
    other_amount: tuple[str, ...]  # both have it, and not as much of it
    other_method: bool

    @property
    def pours(self) -> int:
        """How many pours differ: what goes out for what comes in counts once."""
        return max(len(self.out), len(self.comes_in)) + len(self.other_amount)


def changes(first: Drink, second: Drink) -> Changes:
    """What changes from the first drink to the second."""
    before, after = _amounts(first), _amounts(second)
    return Changes(
        tuple(name for name in before if name not in after),
        tuple(name for name in after if name not in before),
        tuple(name for name in after if name in before and before[name] != after[name]),
        first.method is not second.method,
    )


def near(drink: Drink, book: Book) -> tuple[str, ...]:
    """The drinks of the book, by name, that become this one by one or two pours, or by the method alone.

    They share at least as many pours as they exchange. Worked out once for each drink, and kept with the book.
    """
    kept = book.once(_Near).by_drink
    if drink.name not in kept:
        kept[drink.name] = tuple(
            other.name for other in book.drinks.values() if other.name != drink.name and _is_near(other, drink)
        )
    return kept[drink.name]


class _Near:
    """The drinks that are near those that were asked about."""

    def __init__(self, _book: Book) -> None:
        self.by_drink: dict[str, tuple[str, ...]] = {}


def _is_near(first: Drink, second: Drink) -> bool:
    found = changes(first, second)
    exchanged = max(len(found.out), len(found.comes_in))
    shared = len({pour.ingredient for pour in second.pours}) - len(found.comes_in)
    return found.pours <= MOST_POURS and exchanged <= shared and (found.pours > 0 or found.other_method)


def is_unmeasured(pour: Pour) -> bool:
    """Whether a pour is told by what it does, not by its size: 'to top'."""
    return any(note in pour.note for note in UNMEASURED)


def _amounts(drink: Drink) -> dict[str, list[Amount | None]]:
    """How much of each ingredient is poured, in the order of the pours; None for what is not measured."""
    found: dict[str, list[Amount | None]] = {}
    for pour in drink.pours:
        found.setdefault(pour.ingredient, []).append(None if is_unmeasured(pour) else pour.amount)
    return found
