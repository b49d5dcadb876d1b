"""Which prices hurt most when they move: how much of what the menu costs is spent on each thing that is bought.

A drink's cost is linear in the prices of the packs behind it, through syrups and cordials too; so a pack that gets a
tenth dearer makes the menu dearer by a tenth of what is spent on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from recipes.costing import Costing, as_money
from recipes.menu_costs import costs_of
from recipes.model import Book, HouseRecipe
from recipes.prices import PriceList
from recipes.units import Quantity


@dataclass(frozen=True, slots=True)
class Spending:
    """What is spent on one bought ingredient, with waste."""

    ingredient: str
    spent: Quantity  # money: on all that was sold, or on one of each drink
    share: Decimal  # of all that is spent, as a fraction
    drinks: tuple[str, ...]  # that it goes into, those with the most of it first

    def rise(self, by: Decimal) -> Quantity:
        """How much dearer all of it becomes when its pack gets dearer by a fraction."""
        return as_money(self.spent.magnitude * by)


def spending(book: Book, sold: Mapping[str, int] | None = None) -> tuple[Spending, ...]:
    """What goes into each bought ingredient, the most first: for `sold` drinks, else for one of each on the menu.

    Lines without a price are left out; they cannot be known. Names of `sold` that the book lacks are KeyErrors.
    """
    counts = sold or {name: 1 for name, drink in book.drinks.items() if drink.price is not None}
    costings, parts = costs_of(book).costings, _Parts(book, PriceList(book))
    by_drink: dict[str, dict[str, Decimal]] = defaultdict(dict)
    for name, count in counts.items():
        for ingredient, money in parts.of_drink(costings[name]).items():
            by_drink[ingredient][name] = money * count
    total = sum((money for drinks in by_drink.values() for money in drinks.values()), Decimal(0))
    found = [_spending(ingredient, drinks, total) for ingredient, drinks in by_drink.items() if any(drinks.values())]
    return tuple(sorted(found, key=lambda one: one.spent.magnitude, reverse=True))


def _spending(ingredient: str, drinks: Mapping[str, Decimal], total: Decimal) -> Spending:
    spent = sum(drinks.values(), Decimal(0))
    ranked = tuple(sorted(drinks, key=lambda name: drinks[name], reverse=True))
    return Spending(ingredient, as_money(spent), spent / total, ranked)


@dataclass
class _Parts:
    """What part of an ingredient's cost is which bought ingredient's, each worked out once."""

    book: Book
    prices: PriceList
    _known: dict[str, Mapping[str, Decimal]] = field(default_factory=dict)

    def of_drink(self, costing: Costing) -> Mapping[str, Decimal]:
        """Money by bought ingredient."""
        spent: dict[str, Decimal] = defaultdict(Decimal)
        for line in costing.lines:
            factor = Decimal(1) if line.garnish else 1 + self.book.house.waste
            for name, part in self.of(line.ingredient).items():
                spent[name] += (line.money or Decimal(0)) * factor * part
        return spent

    def of(self, name: str) -> Mapping[str, Decimal]:
        """Fractions by bought ingredient; they come to one, unless it costs nothing or nobody knows."""
        if name not in self._known:
            made = self.book.ingredients[name].made
            self._known[name] = {name: Decimal(1)} if made is None else self._of_recipe(made)
        return self._known[name]

    def _of_recipe(self, made: HouseRecipe) -> Mapping[str, Decimal]:
        costs = [(pour.ingredient, self.prices.cost(pour.ingredient, pour.amount).money) for pour in made.pours]
        total = sum((money for _, money in costs if money is not None), Decimal(0))
        parts: dict[str, Decimal] = defaultdict(Decimal)
        for ingredient, money in costs:
            for name, part in self.of(ingredient).items() if money else ():
                parts[name] += (money or 0) / total * part
        return parts
