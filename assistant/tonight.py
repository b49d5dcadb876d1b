"""The book as it stands tonight: the files, with the prices and drinks that the memory lays over them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Protocol

from assistant.answers.base import Counted
from assistant.memory import Remembered
from grammar.command import Intent, Meaning
from recipes.faults import Fault
from recipes.model import Book, Drink


class Matcher(Protocol):
    """What the dialogue asks of the grammar: text in, meaning out. `grammar.matcher.Matcher` is the real one."""

    def understand(self, text: str) -> Meaning:
        """What was meant by a text, or why that is not clear."""


@dataclass(frozen=True)
class Trouble:
    """Why the book is not quite what people think it is; told once in each conversation."""

    kind: str  # 'files', 'memory', 'mended', 'drinks' or 'prices'
    faults: tuple[Fault, ...] = ()  # of the files, when the last edit cannot be read
    names: tuple[str, ...] = ()  # of kept drinks or priced ingredients that no longer fit the book; of a mended
    # database, when its backup was made and what the damaged file is called now


@dataclass(frozen=True)
class Tonight:
    """All that an answer can be worked out from, as of one moment."""

    book: Book
    matcher: Matcher
    out: frozenset[str] = frozenset()
    sold: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))  # by drink, in the last period
    examples: Mapping[Intent, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))  # what to say
    troubles: tuple[Trouble, ...] = ()
    counted: Mapping[str, Counted] = field(default_factory=lambda: MappingProxyType({}))  # on hand, by ingredient
    people: tuple[str, ...] = ()  # of the house, who have said who they are
    pars: frozenset[str] = frozenset()  # ingredients whose par is this bar's own
    has_pin: bool = False  # the manager has one, or that cannot be read


TonightNow = Callable[[], Tonight]


def effective(book: Book, remembered: Remembered) -> tuple[Book, tuple[Trouble, ...]]:
    """The book with this bar's prices and pars, and kept drinks; what no longer fits the book is left out and told.

    A kept drink whose name the files have by now gives way to theirs.
    """
    written = {name.casefold() for name in book.drinks}
    prices = {name: price for name, price in remembered.prices.items() if _is_bought(name, book)}
    drinks = [drink for drink in remembered.drinks if _can_be_poured(drink, book)]
    lost = {
        "prices": tuple(name for name in remembered.prices if name not in prices),
        "drinks": (*remembered.unreadable, *(d.name for d in remembered.drinks if d not in drinks)),
    }
    troubles = tuple(Trouble(kind, names=names) for kind, names in lost.items() if names)
    kept = [drink for drink in drinks if drink.name.casefold() not in written]
    pars = {name: par for name, par in remembered.pars.items() if name in book.ingredients}
    return book.with_prices(prices).with_pars(pars).with_drinks(kept), troubles


def _is_bought(name: str, book: Book) -> bool:
    return name in book.ingredients and book.ingredients[name].pack is not None


def _can_be_poured(drink: Drink, book: Book) -> bool:
    needed = {*(pour.ingredient for pour in drink.pours), *drink.garnish}
    return needed <= set(book.ingredients) and drink.glass in book.glasses
