"""How long a supplier's list takes from bytes to preview, by its length, against the book that ships. Prints a table.

Run: python -m tests.benchmarks.price_lists
"""

from __future__ import annotations

import time
from statistics import median

from assistant.office.supplier import preview
from recipes.loader import load_book

LENGTHS = (200, 2_000, 20_000)
ALIKE = ("London dry gin 70 cl", "Limes, box", "House vodka", "Orange juice, fresh", "Table salt")  # near, not ours


def price_list(length: int) -> bytes:
    """A list of that many lines, the book's own names among others that are like them and not."""
    own = list(load_book().ingredients)
    names = (own[at % len(own)] if at < len(own) else f"{ALIKE[at % len(ALIKE)]} {at}" for at in range(length))
    return (
        "Item;Pack;Price\n" + "".join(f"{name};6x700ml;{at % 90 + 10},50\n" for at, name in enumerate(names))
    ).encode()


def main() -> None:
    """Print the table."""
    book = load_book()
    print(f"{'lines':>8}{'seconds, median of 3':>24}")
    for length in LENGTHS:
        data, spent = price_list(length), []
        for _ in range(3):
            start = time.perf_counter()
            preview(data, book, {})
            spent.append(time.perf_counter() - start)
        print(f"{length:>8,}{median(spent):>24.2f}")


if __name__ == "__main__":
    main()
