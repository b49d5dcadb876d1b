"""What an amount of an ingredient costs, from its pack and its yield, or through the recipe the house makes it by.

A price that is not in the book makes a cost unknown, with the name of what lacks it. It is never taken for zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from recipes.model import Book, HouseRecipe, Ingredient, Pack
from recipes.portions import WEDGES
from recipes.scaling import bottle_of
from recipes.units import COUNTED, WEIGHED, Amount, Quantity, Unit

_BASE = MappingProxyType({"[volume]": "milliliter", "[mass]": "gram", "[count]": "piece"})
_CUTS = frozenset({Unit.WEDGE})  # of a fruit bought whole


@dataclass(frozen=True, slots=True)
class Cost:
    """A sum of money, or None with the names of what has no price (or no size to price it by)."""

    money: Decimal | None
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rates:
    """The price of one mL, one g and one piece of an ingredient, where the book tells; else what it does not tell."""

    by_kind: Mapping[str, Decimal]  # '[volume]', '[mass]', '[count]'
    unknown: tuple[str, ...] = ()


@dataclass
class PriceList:
    """The prices of one book, each worked out once, however many drinks ask."""

    book: Book
    _rates: dict[str, Rates] = field(default_factory=dict)
    _sizes: dict[Unit, tuple[str, Decimal]] = field(default_factory=dict)

    def cost(self, name: str, amount: Amount) -> Cost:
        """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
        rates = self.rates(name)
        if rates.unknown:
            return Cost(None, rates.unknown)
        kind, size = self._size(amount, self.book.ingredients[name])
        if kind not in rates.by_kind:
            return Cost(None, (name,))
        return Cost(rates.by_kind[kind] * size)

    def rates(self, name: str) -> Rates:
        """What a millilitre, a gram and a piece of an ingredient cost, as far as the book tells."""
        if name not in self._rates:
            self._rates[name] = Rates({}, (name,))  # what needs itself has no price
            self._rates[name] = self._worked_out(self.book.ingredients[name])
        return self._rates[name]

    def _worked_out(self, ingredient: Ingredient) -> Rates:
        if ingredient.made is not None:
            return self._of_recipe(ingredient, ingredient.made)
        if ingredient.pack is None:
            return Rates({}, (ingredient.name,))
        return Rates(_linked(_of_pack(ingredient.pack), ingredient))

    def _of_recipe(self, ingredient: Ingredient, made: HouseRecipe) -> Rates:
        costs = [self.cost(pour.ingredient, pour.amount) for pour in made.pours]
        unknown = tuple(dict.fromkeys(name for cost in costs for name in cost.unknown))
        if unknown:
            return Rates({}, unknown)
        total = sum((cost.money for cost in costs if cost.money is not None), Decimal(0))
        return Rates(_linked(_per(made.makes, total), ingredient))

    def _size(self, amount: Amount, ingredient: Ingredient) -> tuple[str, Decimal]:
        """The kind of size an amount has, and how much: mL, g or pieces."""
        if amount.unit is Unit.BOTTLE:
            return "[volume]", amount.number * bottle_of(ingredient.name, self.book).m_as("milliliter")
        if amount.unit in _CUTS and _bought_for_juice(ingredient):
            return "[count]", amount.number / WEDGES
        if amount.unit not in self._sizes:
            kind = "[count]" if amount.unit in COUNTED else "[mass]" if amount.unit in WEIGHED else "[volume]"
            one = self.book.house.measures.physical(Amount(Decimal(1), amount.unit))
            self._sizes[amount.unit] = kind, one.m_as(_BASE[kind])
        kind, one_of_it = self._sizes[amount.unit]
        return kind, one_of_it * amount.number


def _bought_for_juice(ingredient: Ingredient) -> bool:
    pack = ingredient.pack
    return pack is not None and pack.size.check("[count]") and not pack.usable.value.check("[count]")


def _of_pack(pack: Pack) -> dict[str, Decimal]:
    """By what can be poured of it; and by the piece where it is bought by the piece."""
    price = pack.price.m_as("money")
    return _per(pack.size, price) | _per(pack.usable.value, price)


def _per(size: Quantity, price: Decimal) -> dict[str, Decimal]:
    kind = next(kind for kind in _BASE if size.check(kind))
    return {kind: price / size.m_as(_BASE[kind])}


def _linked(known: dict[str, Decimal], ingredient: Ingredient) -> dict[str, Decimal]:
    """The rates, and those that follow by density and by the size of one piece."""
    if ingredient.density is not None:
        density = ingredient.density.value.m_as("gram/milliliter")
        known = _add(known, "[volume]", "[mass]", density)
    if ingredient.each is not None:
        kind = "[mass]" if ingredient.each.value.check("[mass]") else "[volume]"
        known = _add(known, "[count]", kind, ingredient.each.value.m_as(_BASE[kind]))
    return known


def _add(known: dict[str, Decimal], kind: str, other: str, of_other: Decimal) -> dict[str, Decimal]:
    """One unit of `kind` is so much of `other`: whichever rate is missing follows from the other."""
    if other in known and kind not in known:
        return known | {kind: known[other] * of_other}
    if kind in known and other not in known:
        return known | {other: known[kind] / of_other}
    return known
