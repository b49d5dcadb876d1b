"""What an amount of an ingredient costs, from its pack and its yield, or through the recipe the house makes it by.

A price that is not in the book makes a cost unknown, with the name of what lacks it. It is never taken for zero.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from recipes.model import Book, HouseRecipe, Ingredient, Pack
from recipes.portions import WEDGES, bottle_of
from recipes.units import Amount, Kind, Quantity, Unit, measured

_CUTS = frozenset({Unit.WEDGE})  # of a fruit bought whole


@dataclass(frozen=True, slots=True)
class Cost:
    """A sum of money, or None with the names of what has no price (or no size to price it by)."""

    money: Decimal | None
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rates:
    """The money for one mL, one g and one piece of an ingredient, as far as the book tells; else what it lacks."""

    by_kind: dict[Kind, Decimal]
    unknown: tuple[str, ...] = ()


@dataclass
class PriceList:
    """The prices of one book, each worked out once, however many drinks ask."""

    book: Book
    _rates: dict[str, Rates] = field(default_factory=dict)

    def cost(self, name: str, amount: Amount) -> Cost:
        """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
        rates = self.rates(name)
        if rates.unknown:
            return Cost(None, rates.unknown)
        ingredient = self.book.ingredients[name]
        size, kind = self._size(amount, ingredient)
        rate = rates.by_kind.get(kind)
        if rate is None:
            rate = _linked(rates.by_kind, ingredient).get(kind)
        return Cost(None, (name,)) if rate is None else Cost(rate * size)

    def rates(self, name: str) -> Rates:
        """What a millilitre, a gram or a piece of an ingredient costs, by the way it is bought or made."""
        if name not in self._rates:
            self._rates[name] = Rates({}, (name,))  # what needs itself has no price
            self._rates[name] = self._worked_out(self.book.ingredients[name])
        return self._rates[name]

    def _worked_out(self, ingredient: Ingredient) -> Rates:
        if ingredient.made is not None:
            return self._of_recipe(ingredient.made)
        if ingredient.pack is None:
            return Rates({}, (ingredient.name,))
        return Rates(_of_pack(ingredient.pack))

    def _of_recipe(self, made: HouseRecipe) -> Rates:
        costs = [self.cost(pour.ingredient, pour.amount) for pour in made.pours]
        unknown = tuple(dict.fromkeys(name for cost in costs for name in cost.unknown))
        if unknown:
            return Rates({}, unknown)
        total = sum((cost.money for cost in costs if cost.money is not None), Decimal(0))
        return Rates(_per(made.makes, total))

    def _size(self, amount: Amount, ingredient: Ingredient) -> tuple[Decimal, Kind]:
        """An amount as a plain number of mL, g or pieces."""
        if amount.unit is Unit.BOTTLE:
            return amount.number * measured(bottle_of(ingredient, self.book))[0], "milliliter"
        if amount.unit in _CUTS and _bought_for_juice(ingredient):
            return amount.number / WEDGES, "piece"
        return self.book.house.measures.size(amount)


def _bought_for_juice(ingredient: Ingredient) -> bool:
    pack = ingredient.pack
    return pack is not None and measured(pack.size)[1] == "piece" and measured(pack.usable.value)[1] != "piece"


def _of_pack(pack: Pack) -> dict[Kind, Decimal]:
    """By what can be poured of it; and by the piece where it is bought by the piece."""
    price = pack.price.magnitude
    return _per(pack.size, price) | _per(pack.usable.value, price)


def _per(size: Quantity, price: Decimal) -> dict[Kind, Decimal]:
    much, kind = measured(size)
    return {kind: price / much}


def _linked(known: dict[Kind, Decimal], ingredient: Ingredient) -> dict[Kind, Decimal]:
    """The rates, and those that follow by density and by the size of one piece."""
    if ingredient.density is not None:
        known = _add(known, "milliliter", "gram", ingredient.density.value.m_as("gram/milliliter"))
    if ingredient.each is not None:
        held, kind = measured(ingredient.each.value)
        known = _add(known, "piece", kind, held)
    return known


def _add(known: dict[Kind, Decimal], kind: Kind, other: Kind, of_other: Decimal) -> dict[Kind, Decimal]:
    """One unit of `kind` is so much of `other`: whichever rate is missing follows from the other."""
    if other in known and kind not in known:
        return known | {kind: known[other] * of_other}
    if kind in known and other not in known:
        return known | {other: known[kind] / of_other}
    return known
