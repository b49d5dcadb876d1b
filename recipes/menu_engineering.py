"""Menu engineering: each drink by how often it is ordered against what it earns, in four quadrants.

The method of Kasavana and Smith (Menu Engineering: A Practical Guide to Menu Analysis, 1982). A drink is popular when
its share of all that was sold is at least 70 % of an equal share (0.7 over the number of drinks), and earns well when
its contribution margin is at least the average, weighted by what was sold. The worksheet of Dittmer and Keefe
(Principles of Food, Beverage, and Labor Cost Controls, 9th ed. 2009, ch. 11) has the same columns.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.costing import Costing, cost
from recipes.model import Book
from recipes.prices import PriceList
from recipes.units import Quantity, quantity

POPULAR = Decimal("0.7")  # of an equal share


class Quadrant(StrEnum):
    """The four, by the names of the method."""

    STAR = "star"  # popular and earning well
    PLOWHORSE = "plowhorse"  # popular, earning less
    PUZZLE = "puzzle"  # earning well, seldom ordered
    DOG = "dog"  # neither


@dataclass(frozen=True, slots=True)
class Standing:
    """One drink among those that were sold."""

    costing: Costing
    sold: int
    share: Decimal  # of all that was sold, as a fraction: the menu mix
    margin: Quantity  # money that one of it leaves after its cost, without tax
    quadrant: Quadrant

    @property
    def earned(self) -> Quantity:
        """The margin of all that was sold of it."""
        return quantity(self.margin.magnitude * self.sold, "money")


@dataclass(frozen=True, slots=True)
class MenuMix:
    """The drinks of a sales list, those that earned most first."""

    standings: tuple[Standing, ...]
    popular_from: Decimal  # the share from which a drink counts as popular, as a fraction
    average_margin: Quantity  # money, weighted by what was sold
    unknown: tuple[str, ...]  # sold, but the book knows no price or cost: left out

    def of(self, quadrant: Quadrant) -> tuple[Standing, ...]:
        """The drinks of one quadrant."""
        return tuple(standing for standing in self.standings if standing.quadrant is quadrant)


def menu_mix(book: Book, sold: Mapping[str, int]) -> MenuMix | None:
    """The quadrants of the drinks that a sales list names; None when none of them was sold.

    A drink of the list that nobody ordered is on the menu and counts; names that the book lacks are KeyErrors.
    """
    prices = PriceList(book)
    costings = [cost(book.drinks[name], book, prices) for name in sold]
    earning = [(costing, costing.margin.magnitude) for costing in costings if costing.margin is not None]
    total = sum(sold[costing.drink.name] for costing, _ in earning)
    if not total:
        return None
    earned = sum((margin * sold[costing.drink.name] for costing, margin in earning), Decimal(0))
    average, popular_from = earned / total, POPULAR / len(earning)
    standings = [
        _standing(costing, margin, sold[costing.drink.name], total, average, popular_from)
        for costing, margin in earning
    ]
    standings.sort(key=lambda standing: standing.earned.magnitude, reverse=True)
    unknown = tuple(costing.drink.name for costing in costings if costing.margin is None)
    return MenuMix(tuple(standings), popular_from, quantity(average, "money"), unknown)


def _standing(
    costing: Costing, margin: Decimal, sold: int, total: int, average: Decimal, popular_from: Decimal
) -> Standing:
    share = Decimal(sold) / total
    quadrant = _QUADRANTS[share >= popular_from, margin >= average]
    return Standing(costing, sold, share, quantity(margin, "money"), quadrant)


_QUADRANTS = {
    (True, True): Quadrant.STAR,
    (True, False): Quadrant.PLOWHORSE,
    (False, True): Quadrant.PUZZLE,
    (False, False): Quadrant.DOG,
}  # popular, earning well
