"""Which prices hurt most when they move: how much of what the menu costs is spent on each thing that is bought.

A drink's cost is linear in the prices of the packs behind it, through syrups and cordials too; so a pack that gets a
tenth dearer makes the menu dearer by a tenth of what is spent on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from recipes.costing import ZERO, CostLine, CostLines, as_money
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
    by_drink: Mapping[str, Decimal]  # money, by the drinks that it goes into

    @property
    def drinks(self) -> tuple[str, ...]:
        """The drinks that it goes into, those with the most of it first."""
        return tuple(sorted(self.by_drink, key=self.by_drink.__getitem__, reverse=True))

    @property
    def most_in(self) -> str:
        """The drink that takes the most of it."""
        return max(self.by_drink, key=self.by_drink.__getitem__)

    def rise(self, by: Decimal) -> Quantity:
        """How much dearer all of it becomes when its pack gets dearer by a fraction."""
        return as_money(self.spent.magnitude * by)


def spending(book: Book, sold: Mapping[str, int] | None = None) -> tuple[Spending, ...]:
    """What goes into each bought ingredient, the most first: for `sold` drinks, else for one of each on the menu.

    Lines without a price are left out; they cannot be known. Names of `sold` that the book lacks are KeyErrors.
    """
    counts = sold or dict.fromkeys((name for name, drink in book.drinks.items() if drink.price is not None), 1)
    kept, parts = costs_of(book), _Parts(book, book.once(CostLines).prices)
    if unknown := counts.keys() - kept.costings.keys():
        raise KeyError(min(unknown))
    by_drink: dict[str, dict[str, Decimal]] = defaultdict(dict)
    spent: dict[str, Decimal] = defaultdict(Decimal)
    for line, drinks in kept.lines:
        for ingredient, money in parts.of_line(line):
            spent[ingredient] += _add(by_drink[ingredient], money, drinks, counts)
    total = sum(spent.values(), ZERO)
    found = [
        Spending(ingredient, as_money(money), money / total, by_drink[ingredient])
        for ingredient, money in spent.items()
        if money
    ]
    return tuple(sorted(found, key=lambda one: one.spent.magnitude, reverse=True))


def _add(sums: dict[str, Decimal], money: Decimal, drinks: Iterable[str], counts: Mapping[str, int]) -> Decimal:
    """Add what one line costs to each of these drinks, as often as it was sold; all of that together."""
    times = 0
    worth: dict[int, Decimal] = {}  # by how often: many drinks were sold as often as each other
    for name in drinks:
        count = counts.get(name)
        if count is None:
            continue
        if count not in worth:
            worth[count] = money * count
        sums[name] = sums[name] + worth[count] if name in sums else worth[count]
        times += count
    return money * times


@dataclass
class _Parts:
    """What part of an ingredient's cost is which bought ingredient's, each worked out once."""

    book: Book
    prices: PriceList
    _known: dict[str, Mapping[str, Decimal]] = field(default_factory=dict)

    def of_line(self, line: CostLine) -> list[tuple[str, Decimal]]:
        """What is spent on each bought ingredient for one cost line, with waste."""
        money = (line.money or ZERO) * (1 if line.garnish else 1 + self.book.house.waste)
        return [(name, money * part) for name, part in self.of(line.ingredient).items()]

    def of(self, name: str) -> Mapping[str, Decimal]:
        """Fractions by bought ingredient; they come to one, unless it costs nothing or nobody knows."""
        if name not in self._known:
            made = self.book.ingredients[name].made
            self._known[name] = {name: Decimal(1)} if made is None else self._of_recipe(made)
        return self._known[name]

    def _of_recipe(self, made: HouseRecipe) -> Mapping[str, Decimal]:
        costs = [(pour.ingredient, self.prices.cost(pour.ingredient, pour.amount).money) for pour in made.pours]
        total = sum((money for _, money in costs if money is not None), ZERO)
        parts: dict[str, Decimal] = defaultdict(Decimal)
        for ingredient, money in costs:
            for name, part in self.of(ingredient).items() if money else ():
                parts[name] += (money or 0) / total * part
        return parts
