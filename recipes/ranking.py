"""The drinks of a book in the order of one measure: the strongest, the driest, the dearest, what leaves most.

Orders are made on fast numbers (`vectors`, the menu's costs); what is shown of a drink is `measure_of` it, exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import isnan

from recipes.balance import Profile, profile
from recipes.composition import Compositions
from recipes.costing import Costing
from recipes.menu_costs import costs_of
from recipes.model import Book, Drink
from recipes.vectors import ABV, ACID_PCT, BITTERNESS, SUGAR_GL, VOLUME, Vectors


class Measure(StrEnum):
    """What drinks are put in order by, and its unit."""

    STRENGTH = "strength"  # % vol as served
    ALCOHOL = "alcohol"  # g in one glass
    SUGAR = "sugar"  # g/L as served
    ACID = "acid"  # % w/v as citric, as served
    BITTERNESS = "bitterness"  # house scale 0..5
    PRICE = "price"  # money on the menu
    COST = "cost"  # money to make one
    POUR_COST = "pour cost"  # fraction of the price without tax
    MARGIN = "margin"  # money that one leaves after its cost, without tax


@dataclass(frozen=True)
class Ranking:
    """Drinks in order, and those of which nobody can tell the measure."""

    measure: Measure
    drinks: tuple[Drink, ...]
    unknown: tuple[Drink, ...]


def ranking(measure: Measure, book: Book, *, most: bool = True, among: Iterable[Drink] | None = None) -> Ranking:
    """The drinks (all of the book's, if not said) with the most of a measure first, or with the least.

    Drinks that are alike keep the book's order. A drink that has no menu price is left out where that is asked for.
    """
    drinks = tuple(book.drinks.values() if among is None else among)
    known, unknown = [], []
    for drink, value in zip(drinks, _values(measure, drinks, book), strict=True):
        if value is not None:
            known.append((value, drink))
        elif measure not in OF_A_PRICE or drink.price is not None:
            unknown.append(drink)
    known.sort(key=lambda pair: -pair[0] if most else pair[0])
    return Ranking(measure, tuple(drink for _, drink in known), tuple(unknown))


def measure_of(drink: Drink, measure: Measure, book: Book) -> Decimal | None:
    """How much of it the drink has, in the measure's unit; None is unknown."""
    if measure in OF_MONEY:
        return OF_MONEY[measure](costs_of(book).costings[drink.name])
    return OF_A_GLASS[measure][1](profile(drink, Compositions(book)))


def _values(measure: Measure, drinks: Sequence[Drink], book: Book) -> Iterable[Decimal | float | None]:
    if measure in OF_MONEY:
        costings = costs_of(book).costings
        return [OF_MONEY[measure](costings[drink.name]) for drink in drinks]
    rows, of_row = book.once(_Served).by_drink, OF_A_GLASS[measure][0]
    values = (of_row(rows[drink.name]) for drink in drinks)
    return [None if isnan(value) else value for value in values]


class _Served:
    """The measures of every drink of one book as served, as plain numbers; NaN is unknown."""

    def __init__(self, book: Book) -> None:
        rows = Vectors(book).drinks(tuple(book.drinks.values())).tolist()
        self.by_drink: Mapping[str, list[float]] = dict(zip(book.drinks, rows, strict=True))


OF_A_GLASS: Mapping[Measure, tuple[Callable[[Sequence[float]], float], Callable[[Profile], Decimal | None]]] = {
    Measure.STRENGTH: (lambda row: row[ABV], lambda found: found.abv),
    Measure.ALCOHOL: (lambda row: row[ABV] * row[VOLUME], lambda found: found.alcohol_g),
    Measure.SUGAR: (lambda row: row[SUGAR_GL], lambda found: found.sugar),
    Measure.ACID: (lambda row: row[ACID_PCT], lambda found: found.acid),
    Measure.BITTERNESS: (lambda row: row[BITTERNESS], lambda found: found.bitterness),
}  # fast, to put them in order by; and exactly
OF_MONEY: Mapping[Measure, Callable[[Costing], Decimal | None]] = {
    Measure.PRICE: lambda costing: None if costing.price is None else costing.price.magnitude,
    Measure.COST: lambda costing: None if costing.total is None else costing.total.magnitude,
    Measure.POUR_COST: lambda costing: costing.pour_cost,
    Measure.MARGIN: lambda costing: costing.margin_money,
}
OF_A_PRICE = frozenset({Measure.PRICE, Measure.POUR_COST, Measure.MARGIN})
