"""How long specs, scaling and costs take, with the house's book and with one of 5,000 drinks. Prints a table.

The costs of a book are worked out once: 'a new book costed' is that first time, 'after a change of price' is the first
time in the edition that follows. Milliseconds are the processor's.

Run: python -m tests.benchmarks.measures_and_money
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import partial
from statistics import median
from types import MappingProxyType

from assistant.answers import costs, pack_prices, scales, specs
from assistant.answers.base import Scene
from assistant.messages import Focus
from grammar.command import Command, Intent
from recipes.costing import cost, price_for
from recipes.loader import load_book
from recipes.menu_costs import go_on_from, menu, what_if
from recipes.model import Book
from recipes.scaling import scale_to_count
from recipes.spec import spec_lines
from recipes.units import quantity

LARGE = 5000
HANDLERS = {**specs.HANDLERS, **scales.HANDLERS, **costs.HANDLERS, **pack_prices.HANDLERS}
QUESTIONS = (
    Command(Intent.SPEC, {"drink": "Gimlet"}),
    Command(Intent.AMOUNT, {"drink": "Gimlet", "ingredient": "lime cordial"}),
    Command(Intent.SCALE, {"drink": "Gimlet", "count": 12}),
    Command(Intent.WITHOUT, {"drink": "Clover Club", "ingredient": "egg white"}),
    Command(Intent.COST, {"drink": "Gimlet"}),
    Command(Intent.COST, {"percent": Decimal(20), "text": "over"}),
    Command(Intent.COST, {"text": "mix"}),
    Command(Intent.COST, {"text": "moves"}),
    Command(Intent.PRICE_FOR_TARGET, {"drink": "Gimlet", "percent": Decimal(18)}),
    Command(Intent.WHAT_IF_PRICE, {"ingredient": "gin", "money": Decimal(40)}),
)


def enlarged(book: Book, size: int) -> Book:
    """The book with its drinks repeated under other names, up to that many."""
    drinks = list(book.drinks.values())
    more = (replace(drinks[n % len(drinks)], name=f"{drinks[n % len(drinks)].name} {n}") for n in range(size))
    return replace(book, drinks=MappingProxyType(dict(book.drinks) | {drink.name: drink for drink in more}))


def milliseconds(work: Callable[[], object], times: int = 9) -> float:
    """The median time of one run, by the processor's clock."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append((time.process_time() - start) * 1000)
    return median(spent)


def engine(book: Book) -> dict[str, Callable[[], object]]:
    """The engine's answers."""
    drink = book.drinks["Gimlet"]
    return {
        "spec in ml": lambda: spec_lines(drink, book, "ml"),
        "scale to twelve": lambda: scale_to_count(drink, book, 12),
        "cost of a drink": lambda: cost(drink, book),
        "price for a target": lambda: price_for(drink, book),
        "gin at another price": lambda: what_if(book, "gin", quantity(40, "money")),
        "the whole menu": lambda: menu(book),
        "a new book costed": lambda: menu(replace(book)),
        "after a change of price": lambda: menu(repriced(book)),
    }


def repriced(book: Book) -> Book:
    """The edition after the price of limes changed, which most of the menu feels."""
    edition = book.with_prices({"lime juice": quantity("0.60", "money")})
    go_on_from(book, edition)
    return edition


def answers(book: Book) -> dict[str, Callable[[], object]]:
    """The sentences and cards."""
    scene = Scene(book, frozenset(), Focus(drink="Gimlet"), sold={name: len(name) for name in book.drinks})
    return {
        f"say: {question.intent} {question.slots.get('text', '')}": (
            partial(HANDLERS[question.intent], question, scene)
        )
        for question in QUESTIONS
    }


def main() -> None:
    """Print the table."""
    books = [load_book(), enlarged(load_book(), LARGE)]
    print(f"{'milliseconds, median of 9':<30}" + "".join(f"{len(book.drinks):>8} drinks" for book in books))
    works = [engine(book) | answers(book) for book in books]
    for name in works[0]:
        print(f"{name:<30}" + "".join(f"{milliseconds(work[name]):>15.2f}" for work in works))


if __name__ == "__main__":
    main()
