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
from functools import cached_property

from recipes.costing import Costing, as_money
from recipes.menu_costs import costs_of
from recipes.model import Book
from recipes.units import Quantity

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
    margin_money: Decimal  # what one of it leaves after its cost, without tax
    quadrant: Quadrant

    @property
    def margin(self) -> Quantity:
        """What one of it leaves after its cost, as money."""
        return as_money(self.margin_money)

    @property
    def earned_money(self) -> Decimal:
        """The margin of all that was sold of it."""
        return self.margin_money * self.sold

    @property
    def earned(self) -> Quantity:
        """The margin of all that was sold of it, as money."""
        return as_money(self.earned_money)


@dataclass(frozen=True)
class MenuMix:
    """The drinks of a sales list, those that earned most first."""

    standings: tuple[Standing, ...]
    popular_from: Decimal  # the share from which a drink counts as popular, as a fraction
    average_margin: Quantity  # money, weighted by what was sold
    unknown: tuple[str, ...]  # sold, but the book knows no price or cost: left out

    def of(self, quadrant: Quadrant) -> tuple[Standing, ...]:
        """The drinks of one quadrant."""
        return self._by_quadrant[quadrant]

    @cached_property
    def _by_quadrant(self) -> Mapping[Quadrant, tuple[Standing, ...]]:
        found: dict[Quadrant, list[Standing]] = {quadrant: [] for quadrant in Quadrant}
        for standing in self.standings:
            found[standing.quadrant].append(standing)
        return {quadrant: tuple(standings) for quadrant, standings in found.items()}


def menu_mix(book: Book, sold: Mapping[str, int]) -> MenuMix | None:
    """The quadrants of the drinks that a sales list names; None when none of them was sold.

    A drink of the list that nobody ordered is on the menu and counts; names that the book lacks are KeyErrors.
    """
    kept = costs_of(book)
    earning, unknown = [], []
    for name, count in sold.items():
        margin = kept.margins[name]
        if margin is None:
            unknown.append(name)
        else:
            earning.append((kept.costings[name], margin, count))
    total = sum(count for _, _, count in earning)
    if not total:
        return None
    shares = {count: Decimal(count) / total for count in {count for _, _, count in earning}}
    average = sum((margin * count for _, margin, count in earning), Decimal(0)) / total
    popular_from = POPULAR / len(earning)
    standings = [
        Standing(costing, count, share, margin, _QUADRANTS[share >= popular_from, margin >= average])
        for costing, margin, count in earning
        for share in [shares[count]]
    ]
    standings.sort(key=lambda standing: standing.earned_money, reverse=True)
    return MenuMix(tuple(standings), popular_from, as_money(average), tuple(unknown))


_QUADRANTS = {
    (True, True): Quadrant.STAR,
    (True, False): Quadrant.PLOWHORSE,
    (False, True): Quadrant.PUZZLE,
    (False, False): Quadrant.DOG,
}  # popular, earning well
