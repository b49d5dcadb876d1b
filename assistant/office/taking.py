"""A list given at either door: read, and shown with what it would do; or taken, all of it or none, in a name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, Protocol

from assistant.answers import list_lines, price_list, recipe_list, sales_list
from assistant.answers.list_lines import TERMINAL, Door
from assistant.errors import ListRefused
from assistant.memory import Memory
from assistant.messages import Reply
from assistant.office.recipe_import import read_recipes
from assistant.office.sales import read_sales
from assistant.office.supplier import Asked, NearLine, preview
from recipes.model import Book

Kind = Literal["prices", "sales", "recipes"]


class Bar(Protocol):
    """What a list is held against, and where it goes."""

    memory: Memory

    @property
    def book(self) -> Book:
        """The book as it stands tonight."""


@dataclass(frozen=True)
class Given:
    """A list, and what is said about it."""

    data: bytes
    asked: Asked
    who: str = ""  # in whose name it is taken; empty: it is only shown
    door: Door = TERMINAL


@dataclass(frozen=True)
class Outcome:
    """What came of a list."""

    reply: Reply
    near: tuple[NearLine, ...] = ()  # names that are only near to ours
    can_be_taken: bool = False


def take(kind: Kind, given: Given, bar: Bar) -> Outcome:
    """Show or take a list. A list that cannot be read is refused in the reply; nothing is changed then."""
    try:
        return READERS[kind](given, bar)
    except ListRefused as error:
        return Outcome(list_lines.refused(error, given.door))


def _prices(given: Given, bar: Bar) -> Outcome:
    book, door = bar.book, given.door
    found = preview(given.data, book, bar.memory.recall().supplied, given.asked)
    changes = found.as_changes()
    can = bool(changes) and not found.faults
    if not given.who:
        reply = price_list.previewed(found, book, door)
    elif can:
        reply = price_list.applied(found, book, bar.memory.apply_together(changes, given.who), door)
    else:
        reply = price_list.not_applied(found, book, door)
    return Outcome(reply, found.near, can)


def _sales(given: Given, bar: Bar) -> Outcome:
    named = {name: drinks[0] for name, drinks in given.asked.matches.items()}
    found = read_sales(given.data, bar.book, given.asked.columns, named)
    changes = found.as_changes(bar.memory.recall().sold)
    can = bool(found.sold and changes) and not found.faults
    if not given.who:
        reply = sales_list.sales_shown(found, given.door)
    elif can:
        reply = sales_list.sales_taken(found, bar.memory.apply_together(changes, given.who))
    else:
        reply = sales_list.sales_not_taken(found)
    return Outcome(reply, found.near, can)


def _recipes(given: Given, bar: Bar) -> Outcome:
    found = read_recipes(given.data, bar.book)
    changes = [change for one in found if (change := one.as_change()) is not None]
    if not given.who:
        reply = recipe_list.recipes_shown(found, given.door)
    elif changes:
        reply = recipe_list.recipes_taken(found, bar.memory.apply_together(changes, given.who))
    else:
        reply = recipe_list.recipes_not_taken(found)
    return Outcome(reply, can_be_taken=bool(changes))


READERS: Mapping[Kind, Callable[[Given, Bar], Outcome]] = MappingProxyType(
    {"prices": _prices, "sales": _sales, "recipes": _recipes}
)
