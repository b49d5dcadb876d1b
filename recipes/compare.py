"""Two drinks side by side: what the second has more or less of than the first."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.balance import Profile, profile
from recipes.composition import Compositions
from recipes.costing import cost
from recipes.model import Book, Drink
from recipes.safety import contents, names_in
from recipes.units import Quantity

# The least difference in what is served that a guest would notice (house choice).
NOTICED_SERVED = Decimal(10)  # mL
NOTICED_ABV = Decimal(1)  # % vol
NOTICED_SUGAR = Decimal(5)  # g/L
NOTICED_ACID = Decimal("0.05")  # % w/v
NOTICED_BITTERNESS = Decimal("0.4")  # house scale


@dataclass(frozen=True)
class Change:
    """What is different in the second drink, second less first. None: unknown in one of them."""

    abv: Decimal | None  # % vol as served
    sugar: Decimal | None  # g/L as served
    acid: Decimal | None  # % w/v as citric, as served
    bitterness: Decimal | None  # house scale 0..5
    served: Decimal | None  # mL in the glass
    cost: Quantity | None  # money to pour it
    brings: tuple[str, ...]  # allergens that only the second is known to hold
    drops: tuple[str, ...]  # allergens that only the first is known to hold
    allergens_unknown: tuple[str, ...]  # ingredients of the second alone whose allergens are not written down


@dataclass(frozen=True)
class Comparison:
    """Two drinks, their numbers as served, and the difference."""

    first: Drink
    second: Drink
    before: Profile
    after: Profile
    costs: tuple[Quantity | None, Quantity | None]  # money to pour each
    change: Change
    shared: tuple[str, ...]  # ingredients poured in both
    only: tuple[tuple[str, ...], tuple[str, ...]]  # ingredients poured in one alone


def compare(first: Drink, second: Drink, book: Book) -> Comparison:
    """Both drinks measured, and the second less the first; raises KeyError for an ingredient the book does not have."""
    holds = Compositions(book)
    before, after = profile(first, holds), profile(second, holds)
    costs = (cost(first, book).total, cost(second, book).total)
    mine, theirs = _poured(first), _poured(second)
    return Comparison(
        first,
        second,
        before,
        after,
        costs,
        _change(first, second, before, after, costs, book),
        shared=tuple(name for name in mine if name in theirs),
        only=(tuple(n for n in mine if n not in theirs), tuple(n for n in theirs if n not in mine)),
    )


def _change(
    first: Drink,
    second: Drink,
    before: Profile,
    after: Profile,
    costs: tuple[Quantity | None, Quantity | None],
    book: Book,
) -> Change:
    old, new = contents(names_in(first), book), contents(names_in(second), book)
    return Change(
        abv=_less(after.abv, before.abv),
        sugar=_less(after.sugar, before.sugar),
        acid=_less(after.acid, before.acid),
        bitterness=_less(after.bitterness, before.bitterness),
        served=_less(after.served_ml, before.served_ml),
        cost=None if costs[0] is None or costs[1] is None else costs[1] - costs[0],
        brings=tuple(name for name in new.by_allergen if name not in old.by_allergen),
        drops=tuple(name for name in old.by_allergen if name not in new.by_allergen),
        allergens_unknown=tuple(name for name in new.unknown if name not in old.unknown),
    )


def _less(after: Decimal | None, before: Decimal | None) -> Decimal | None:
    return None if after is None or before is None else after - before


def _poured(drink: Drink) -> tuple[str, ...]:
    return tuple(dict.fromkeys(pour.ingredient for pour in drink.pours))
