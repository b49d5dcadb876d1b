"""The costs of a whole book, worked out once and kept with it, so that a menu of thousands is asked again at once.

A book never changes, and a book with another price is another book; so what is kept is never stale. Its costs may begin
with those of the edition before it: only drinks that are other ones, or pour what costs otherwise, are reckoned again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from recipes.costing import Costing, CostLine, CostLines, as_money, cost, with_lines_again
from recipes.model import Book, Drink
from recipes.safety import ingredients_within, names_in
from recipes.units import Quantity


@dataclass(frozen=True, slots=True)
class Shift:
    """One drink before and after a change of price."""

    before: Costing
    after: Costing

    @property
    def change(self) -> Quantity:
        """How much dearer the drink becomes; below zero, cheaper."""
        return as_money(self.after.known_money - self.before.known_money)


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A changed pack price and the drinks it moves, the most moved first."""

    ingredient: str
    old: Quantity
    new: Quantity
    shifts: tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Menu:
    """Priced drinks, dearest pour cost first, and those whose pour cost nobody can tell."""

    costings: tuple[Costing, ...]
    unknown: tuple[Costing, ...]


class MenuCosts:
    """All that the menu's questions ask of one book, each part worked out when it is first asked for."""

    def __init__(self, book: Book, before: MenuCosts | None = None) -> None:
        """With `before`, the costs of an edition of the same house to begin with."""
        self._book = book
        self._before = before

    @cached_property
    def costings(self) -> Mapping[str, Costing]:
        """Every drink's costing, by its name."""
        begun, self._before = self._before, None
        if begun is None or begun._book.house != self._book.house:
            return {name: cost(drink, self._book) for name, drink in self._book.drinks.items()}
        touched, lines = self._touched_since(begun._book), self._book.once(CostLines)
        return {
            name: cost(drink, self._book)
            if (old := begun.costings.get(name)) is None or old.drink is not drink
            else old
            if touched.isdisjoint([line.ingredient for line in old.lines])
            else with_lines_again(old, touched, lines)
            for name, drink in self._book.drinks.items()
        }

    def latest(self) -> MenuCosts | None:
        """These costs where they were worked out, else those that they would begin with."""
        return self if "costings" in self.__dict__ else self._before

    def _touched_since(self, before: Book) -> frozenset[str]:
        """What is not as it was in another edition, and all that the house makes of it."""
        old = before.ingredients
        changed = [n for n, now in self._book.ingredients.items() if (was := old.get(n)) is not now and was != now]
        return frozenset().union(*(self.made_with[name] for name in changed))

    @cached_property
    def ranked(self) -> tuple[tuple[Decimal, Costing], ...]:
        """Drinks with a menu price and a known pour cost, dearest first, each with its pour cost."""
        known = [(share, costing) for costing in self.costings.values() if (share := costing.pour_cost) is not None]
        return tuple(sorted(known, key=lambda pair: pair[0], reverse=True))

    @cached_property
    def unknown(self) -> tuple[Costing, ...]:
        """Drinks with a menu price whose pour cost nobody can tell."""
        return tuple(c for c in self.costings.values() if c.price is not None and c.pour_cost is None)

    @cached_property
    def margins(self) -> Mapping[str, Decimal | None]:
        """What each drink leaves after its cost, as money without tax; None is unknown."""
        return {name: costing.margin_money for name, costing in self.costings.items()}

    @cached_property
    def lines(self) -> tuple[tuple[CostLine, tuple[str, ...]], ...]:
        """Each cost line, and the drinks that have it, once for each time: many drinks have the same line."""
        found: dict[int, tuple[CostLine, list[str]]] = {}
        for name, costing in self.costings.items():
            for line in costing.lines:
                at = id(line)
                if at in found:
                    found[at][1].append(name)
                else:
                    found[at] = (line, [name])
        return tuple((line, tuple(names)) for line, names in found.values())

    @cached_property
    def poured_in(self) -> Mapping[str, tuple[Drink, ...]]:
        """The drinks that pour an ingredient or are garnished with it."""
        found: dict[str, list[Drink]] = defaultdict(list)
        for drink in self._book.drinks.values():
            for name in names_in(drink):
                found[name].append(drink)
        return {name: tuple(drinks) for name, drinks in found.items()}

    @cached_property
    def made_with(self) -> Mapping[str, frozenset[str]]:
        """An ingredient and all that the house makes of it, however deep."""
        known: dict[str, frozenset[str]] = self._book.notes("what is made of an ingredient")
        if not known:
            found: dict[str, set[str]] = defaultdict(set)
            for name in self._book.ingredients:
                for within in ingredients_within([name], self._book):
                    found[within.name].add(name)
            known.update({name: frozenset(names) for name, names in found.items()})
        return known


def costs_of(book: Book) -> MenuCosts:
    """The costs of a book, kept with it."""
    return book.once(MenuCosts)


def go_on_from(before: Book, book: Book) -> None:
    """Let the costs of an edition begin with those of the one before it."""
    book.worked_out[MenuCosts] = MenuCosts(book, costs_of(before).latest())


def menu(book: Book, over: Decimal | None = None, under: Decimal | None = None) -> Menu:
    """Every drink with a menu price by pour cost, dearest first; `over` and `under` (fractions) narrow it."""
    kept = costs_of(book)
    return Menu(tuple(costing for share, costing in kept.ranked if _within(share, over, under)), kept.unknown)


def what_if(book: Book, ingredient: str, price: Quantity) -> WhatIf:
    """What the drinks that need an ingredient would cost if its pack cost `price`; KeyError if it is in no pack."""
    kept, changed = costs_of(book), book.with_prices({ingredient: price})
    touched, lines = kept.made_with[ingredient], changed.once(CostLines)
    names = dict.fromkeys(drink.name for name in sorted(touched) for drink in kept.poured_in.get(name, ()))
    befores = [kept.costings[name] for name in names]
    shifts = [Shift(before, with_lines_again(before, touched, lines)) for before in befores]
    moved = [shift for shift in shifts if shift.after.known_money != shift.before.known_money]
    moved.sort(key=lambda shift: abs(shift.after.known_money - shift.before.known_money), reverse=True)
    pack = book.ingredients[ingredient].pack
    return WhatIf(ingredient, pack.price if pack else price, price, tuple(moved))


def _within(share: Decimal, over: Decimal | None, under: Decimal | None) -> bool:
    return (over is None or share > over) and (under is None or share < under)
