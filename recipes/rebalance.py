"""Re-balancing: a few jigger steps up or down, until a changed drink comes as near as it can to what it should be.

Only the changed slot, the acid and the sweetener move, each at most `REACH` steps, and always onto the house's jigger
grid. The search tries every combination, so the outcome is never further off than where it began.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import product

import numpy as np

from recipes.balance import meets_ice
from recipes.compare import NOTICED_ABV, NOTICED_ACID, NOTICED_BITTERNESS, NOTICED_SERVED, NOTICED_SUGAR
from recipes.model import Drink, House, Pour, Role
from recipes.units import Amount, Unit
from recipes.vectors import COLUMNS, Array, Vectors, served

MOVED_ROLES = frozenset({Role.ACID, Role.SWEETENER, Role.LIQUEUR})  # that may move beside the changed slot
REACH = 2  # jigger steps that a pour may move
NOTICED = np.array([float(n) for n in (NOTICED_SERVED, NOTICED_ABV, NOTICED_SUGAR, NOTICED_ACID, NOTICED_BITTERNESS)])
UNKNOWN = 6.0  # a measure that is not known counts as so many noticeable steps off
PER_STEP = 0.25  # a move of one jigger step must gain at least this much of a noticeable step


@dataclass(frozen=True)
class Aim:
    """What a drink should come to: the range of each measure. NaN is not aimed at."""

    low: Array
    high: Array


@dataclass(frozen=True)
class Moved:
    """A pour that re-balancing changed."""

    ingredient: str
    before: Amount
    after: Amount


@dataclass(frozen=True)
class Settled:
    """Where a search ended: the amounts of the pours that may move, and how far off the drink then is."""

    amounts: tuple[Amount, ...]
    distance: float  # noticeable steps
    before: float  # the same with nothing moved


def as_before(drink: Drink, vectors: Vectors) -> Aim:
    """Aim at the balance that the drink has."""
    measures = vectors.drink(drink)
    return Aim(measures, measures)


def band(family: str, vectors: Vectors) -> Aim:
    """Aim at the range of the drinks that handbooks put in a family; raises KeyError for a family without any."""
    members = [drink for drink in vectors.book.drinks.values() if drink.family == family]
    if not members:
        raise KeyError(family)
    rows = vectors.drinks(members)
    known = ~np.isnan(rows)
    low = np.where(known, rows, np.inf).min(axis=0)
    high = np.where(known, rows, -np.inf).max(axis=0)
    return Aim(np.where(known.any(axis=0), low, np.nan), np.where(known.any(axis=0), high, np.nan))


def distance(measures: Array, aim: Aim) -> Array:
    """How far measures are off an aim, in steps that a guest would just notice; 0 is within it."""
    outside = np.maximum(np.maximum(aim.low - measures, measures - aim.high), 0.0)
    apart = np.where(np.isnan(outside), UNKNOWN, outside / NOTICED)
    total: Array = np.sqrt((apart**2).sum(axis=-1))
    return total


def rebalance(drink: Drink, slot: int, aim: Aim, vectors: Vectors) -> tuple[Drink, Settled]:
    """The drink with its slot, acid and sweetener moved to come nearest to the aim, and how near it is."""
    settled = search(drink, slot, [drink.pours[slot].ingredient], aim, vectors)[0]
    pours = list(drink.pours)
    for index, amount in zip(may_move(drink, slot), settled.amounts, strict=True):
        pours[index] = replace(pours[index], amount=amount)
    return replace(drink, pours=tuple(pours)), settled


def moves(before: Drink, after: Drink) -> tuple[Moved, ...]:
    """The pours of a drink whose amounts are others than they were, line by line."""
    return tuple(
        Moved(old.ingredient, old.amount, new.amount)
        for old, new in zip(before.pours, after.pours, strict=True)
        if old.amount != new.amount
    )


def may_move(drink: Drink, slot: int) -> tuple[int, ...]:
    """The pours that may move, by index: the slot, the acid, and the sweetener (or the liqueur that does its work)."""
    sweet = _largest(drink, Role.SWEETENER)
    found = (slot, _largest(drink, Role.ACID), _largest(drink, Role.LIQUEUR) if sweet is None else sweet)
    return tuple(dict.fromkeys(index for index in found if index is not None))


def steps_near(amount: Amount, house: House) -> tuple[Amount, ...]:
    """The amount itself and the jigger steps within reach of it; what no jigger measures stays."""
    step = grid(amount.unit, house)
    if step is None:
        return (amount,)
    middle = int((amount.number / step).quantize(Decimal(1), ROUND_HALF_UP))
    near = (step * count for count in range(max(1, middle - REACH), middle + REACH + 1))
    return (amount, *(Amount(number, amount.unit) for number in near if number != amount.number))


def grid(unit: Unit, house: House) -> Decimal | None:
    """The jigger step of a unit, or None when no jigger measures it."""
    if unit is Unit.OUNCE:
        return house.jigger_step.number
    return house.metric_step.number if unit is Unit.MILLILITRE else None


def search(drink: Drink, slot: int, coming: Sequence[str], aim: Aim, vectors: Vectors) -> list[Settled]:
    """For each ingredient that may come into the slot, the amounts that bring the drink nearest to the aim.

    The slot's own pour tells the amount and unit that each of them begins with.
    """
    movers = may_move(drink, slot)
    amounts = list(product(*(steps_near(drink.pours[index].amount, vectors.book.house) for index in movers)))
    numbers = np.array([[float(amount.number) for amount in row] for row in amounts])
    one = replace(drink.pours[slot], amount=_one(drink.pours[slot]))
    offers = np.array([vectors.of(replace(one, ingredient=name)) for name in coming])
    iced, later = _mixes(drink, movers, numbers, offers, vectors)
    off = distance(served(iced, later, drink.method, drink.ice), aim)
    best = np.argmin(off + PER_STEP * _steps_moved(drink, movers, numbers, vectors.book.house), axis=1)
    return [Settled(amounts[i], float(off[row, i]), float(off[row, 0])) for row, i in enumerate(best)]


def _mixes(
    drink: Drink, movers: tuple[int, ...], numbers: Array, offers: Array, vectors: Vectors
) -> tuple[Array, Array]:
    """What meets the ice and what comes after it, for every offer (first axis) and every row of amounts (second)."""
    still = (pour for index, pour in enumerate(drink.pours) if index not in movers)
    shape = (len(offers), len(numbers), COLUMNS)
    sums = tuple(np.broadcast_to(start, shape).copy() for start in vectors.mixed(still))
    for column, index in enumerate(movers):
        pour = drink.pours[index]
        rows = offers if column == 0 else vectors.of(replace(pour, amount=_one(pour)))[None, :]
        sums[0 if meets_ice(pour) else 1][:] += numbers[None, :, column, None] * rows[:, None, :]
    return sums[0], sums[1]


def _steps_moved(drink: Drink, movers: tuple[int, ...], numbers: Array, house: House) -> Array:
    steps = [float(grid(drink.pours[index].amount.unit, house) or 1) for index in movers]
    total: Array = (np.abs(numbers - numbers[0]) / np.array(steps)).sum(axis=1)
    return total


def _one(pour: Pour) -> Amount:
    return Amount(Decimal(1), pour.amount.unit)


def _largest(drink: Drink, role: Role) -> int | None:
    """The index of the pour of that role that takes most of the jigger; None when there is none."""
    found = [i for i, pour in enumerate(drink.pours) if pour.role is role]
    return max(found, key=lambda i: drink.pours[i].amount.number, default=None)
