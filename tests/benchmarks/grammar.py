"""How long the grammar takes and how much it understands, with a test bar's names and with the house's book.

Run: python -m tests.benchmarks.grammar
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import TypeVar

from assistant.ears.pronunciation import english
from assistant.names import names_of
from grammar import phrasebook
from grammar.command import Ambiguous, Command
from grammar.matcher import Matcher
from grammar.names import Name, Names
from recipes.loader import load_book
from tests.grammar.book_names import NAMES
from tests.grammar.test_matcher import is_meant, slots_of, table

T = TypeVar("T")
MANY = 1_000  # drinks of a book larger than any bar's


def seconds(work: Callable[[], T]) -> tuple[T, float]:
    """What some work gives, and how long it took."""
    start = time.perf_counter()
    done = work()
    return done, time.perf_counter() - start


def main() -> None:
    """Print the tables."""
    phrasebook.phrases()
    pronounce = {word: " ".join(ways[0]) for word, ways in english().items()}
    books = {
        "test bar": NAMES,
        "house book": names_of(load_book()),
        f"{MANY} drinks": Names(
            drink=tuple(Name(f"Drink Number {n}") for n in range(MANY)), ingredient=NAMES.ingredient
        ),
    }
    print(f"{'book':14}{'drinks':>8}{'ingr.':>7}{'states':>9}{'arcs':>9}{'words':>8}{'network s':>11}{'matcher s':>11}")
    for title, names in books.items():
        network, laid = seconds(phrasebook.load(names).network)
        _, made = seconds(lambda names=names: Matcher(names, pronounce))
        sizes = f"{network.size:9}{len(network.arcs):9}{len(network.words):8}"
        print(f"{title:14}{len(names.drink):8}{len(names.ingredient):7}{sizes}{laid:11.2f}{made:11.2f}")
    print()
    print(
        f"{'understand':34}{'texts':>7}{'right':>8}{'asked':>8}{'wrong':>8}{'median ms':>11}{'p95 ms':>9}{'max ms':>9}"
    )
    for title, given in (("letters only", None), ("with a dictionary", pronounce)):
        matcher = Matcher(NAMES, given)
        said = [(row[0], row[1], slots_of(row[2])) for row in table("said.txt")]
        report(f"said.txt, {title}", matcher, said)
        report(f"unsaid.txt, {title}", matcher, [(row[0], "none", {}) for row in table("unsaid.txt")])


def report(title: str, matcher: Matcher, rows: list[tuple[str, str, dict[str, str]]]) -> None:
    """One line: how many are right, asked about, answered wrongly; and how long each took."""
    took, right, asked, wrong = [], 0, 0, 0
    for text, intent, slots in rows:
        meaning, spent = seconds(lambda text=text: matcher.understand(text))
        took.append(1000 * spent)
        fits = is_meant(meaning, intent, slots)
        right += fits
        asked += isinstance(meaning, Ambiguous) and not fits
        wrong += isinstance(meaning, Command) and not fits
    took.sort()
    figures = f"{len(rows):7}{right / len(rows):8.1%}{asked:8}{wrong:8}"
    print(f"{title:34}{figures}{statistics.median(took):11.2f}{took[int(0.95 * len(took))]:9.2f}{took[-1]:9.2f}")


if __name__ == "__main__":
    main()
