"""How long the engine takes, with the house's book and with one of 5,000 drinks. Prints a table, with what is allowed.

What is worked out once is kept with the book: the rows 'asked first' begin with a book that keeps nothing yet.

Run: python -m tests.benchmarks.engine
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import partial

from assistant.answers import compare as comparing
from assistant.answers import costs, safety, tastes
from assistant.answers import families as kin
from assistant.answers import riffs as riffing
from assistant.answers.base import Scene
from assistant.messages import Focus
from grammar.command import Command, Intent
from recipes.balance import balance
from recipes.batches import Serves, batch
from recipes.compare import compare
from recipes.costing import cost
from recipes.families import classify, formula
from recipes.loader import load_book
from recipes.model import Book
from recipes.rebalance import band
from recipes.riffs import best_swaps, riff
from recipes.safety import drink_cautions
from recipes.scaling import scale_to_count
from recipes.spec import spec_lines
from recipes.stock import blocked, can_make, stand_ins
from recipes.tasting import taste
from recipes.vectors import Vectors
from tests.benchmarks.measures_and_money import LARGE, enlarged, milliseconds

ALLOWED = 20.0  # ms, any answer
WHOLE_SHELF = 150.0  # ms, every ingredient in every slot, re-balanced
LONGEST = "Vieux Carre"  # six slots: the most that a classic of the book has
HANDLERS = {
    intent: handler
    for module in (kin, riffing, comparing, tastes, safety, costs)
    for intent, handler in module.HANDLERS.items()
}
QUESTIONS = (
    Command(Intent.FAMILY, {"drink": "Margarita"}),
    Command(Intent.FAMILY, {"family": "sour"}),
    Command(Intent.FAMILY, {"family": "equal-part sour"}),
    Command(Intent.COMPARE, {"drink": "Negroni", "drink_2": "Boulevardier"}),
    Command(Intent.COMPARE, {"family": "daisy", "family_2": "sour"}),
    Command(Intent.TASTE, {"drink": "Negroni"}),
    Command(Intent.RIFF, {"drink": "Margarita", "ingredient": "mezcal"}),
    Command(Intent.CONTAINS, {"part": "which", "text": "nuts"}),
    Command(Intent.COST, {"text": "mix"}),
    Command(Intent.COST, {"text": "moves"}),
)
ASKED_FIRST = (
    Command(Intent.COMPARE, {"family": "daisy", "family_2": "sour"}),
    Command(Intent.CONTAINS, {"part": "which", "text": "nuts"}),
    Command(Intent.CONTAINS, {"part": "free", "text": "nuts"}),
)

Works = dict[str, Callable[[], object]]


def engine(book: Book) -> Works:
    """One question of each kind."""
    drink, base = book.drinks["Margarita"], book.drinks["Margarita"].pours[0]
    return {
        "spec in millilitres": lambda: spec_lines(drink, book, "ml"),
        "scaled to twelve": lambda: scale_to_count(drink, book, 12),
        "cost": lambda: cost(drink, book),
        "balance": lambda: balance(drink, book),
        "batch of forty": lambda: batch(drink, Serves(Decimal(40)), book),
        "cautions": lambda: drink_cautions(drink, book),
        "stand-ins": lambda: stand_ins("tequila", book),
        "what an empty bottle stops": lambda: blocked(book, ["gin"]),
        "what can be made": lambda: can_make(book, ["gin"], ["lime juice"]),
        "family": lambda: classify(drink, book),
        "formula of a family": lambda: formula("sour", book),
        "band of a family": lambda: band("sour", Vectors(book)),
        "comparison": lambda: compare(drink, book.drinks["Negroni"], book),
        "taste": lambda: taste(drink, book),
        "riff, re-balanced": lambda: riff(drink, base, "mezcal", book),
    }


def answers(book: Book) -> Works:
    """The same with words and a card."""
    scene = Scene(book, frozenset(), Focus(), sold={name: len(name) for name in book.drinks})
    works: Works = {f"say: {_words(command)}": partial(say, command, scene) for command in QUESTIONS}
    return works | {f"asked first: {_words(command)}": partial(say_anew, command, scene) for command in ASKED_FIRST}


def say(command: Command, scene: Scene) -> object:
    """The answer."""
    return HANDLERS[command.intent](command, scene)


def say_anew(command: Command, scene: Scene) -> object:
    """The answer from a book of which nothing has been worked out."""
    return say(command, replace(scene, book=replace(scene.book)))


def _words(command: Command) -> str:
    return " ".join([command.intent.value, *map(str, command.slots.values())])


def whole_shelf(book: Book) -> Works:
    """Every ingredient of the shelf in every slot."""
    scene = Scene(book, frozenset(), Focus())
    ideas = Command(Intent.RIFF, {"drink": LONGEST})
    return {
        f"the shelf in every slot, {name}": lambda name=name: best_swaps(book.drinks[name], book)
        for name in ("Margarita", LONGEST)
    } | {f"say: riff {LONGEST}, three ideas": lambda: HANDLERS[Intent.RIFF](ideas, scene)}


def main() -> None:
    """Print the table."""
    house = load_book()
    large = enlarged(house, LARGE)
    print(f"{len(house.ingredients)} ingredients; milliseconds, median of nine")
    print(f"{'':44}{f'{len(house.drinks)} drinks':>14}{f'{len(large.drinks)} drinks':>14}{'allowed':>9}")
    for rows, allowed in ((engine, ALLOWED), (answers, ALLOWED), (whole_shelf, WHOLE_SHELF)):
        beside = rows(large)
        for name, work in rows(house).items():
            small, big = milliseconds(work), milliseconds(beside[name])
            over = "" if max(small, big) <= allowed else "  over"
            print(f"{name:44}{small:14.2f}{big:14.2f}{allowed:9.0f}{over}")


if __name__ == "__main__":
    main()
