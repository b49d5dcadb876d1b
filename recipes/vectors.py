"""Drinks as plain numbers, to weigh up thousands of mixes at once: the sums of `recipes.balance` on arrays.

Everything here is a float array, and only the modules that search among many mixes use it; what people are shown is
reckoned again by `recipes.balance`. The formulas are not repeated: densities and dilution are read off tables that
`recipes.ethanol` and `recipes.dilution` fill.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from recipes.balance import meets_ice
from recipes.composition import Compositions
from recipes.dilution import dilution
from recipes.ethanol import ETHANOL_G_ML, WATER_G_ML, grams_per_ml
from recipes.mixing import Lack, Liquid
from recipes.model import Book, Drink, Ice, Method, Pour
from recipes.sucrose import DISPLACED_ML_PER_G
from recipes.units import Amount, Unit

Array = npt.NDArray[np.float64]

# The columns of a mix: what is in it (g, g, g, g, mL), then how much of it is of unknown make, 0 for none of it.
ETHANOL, WATER, SUGAR, ACID, BITTER = range(5)
NO_SIZE, NO_ABV, NO_SUGAR, NO_ACID, NO_BITTERNESS = range(5, 10)
COLUMNS = 10

# The measures of a served drink, in this order: mL, % vol, g/L, % w/v as citric, house scale 0..5.
VOLUME, ABV, SUGAR_GL, ACID_PCT, BITTERNESS = range(5)
MEASURES = 5
_FLAGS = ((NO_ABV, ABV), (NO_SUGAR, SUGAR_GL), (NO_ACID, ACID_PCT), (NO_BITTERNESS, BITTERNESS))

_FINE = 400  # steps of the tables: linear between them, within 1e-5 of the formulas
_STRENGTHS = np.linspace(0.0, 1.0, _FINE + 1)
_ETHANOL_G_ML, _WATER_G_ML, _ROOM = float(ETHANOL_G_ML), float(WATER_G_ML), float(DISPLACED_ML_PER_G)


class Vectors:
    """The pours of one book as rows of numbers; reckoned once, and kept with the book's shelf."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._holds = Compositions(book)
        self._of_one: dict[tuple[str, Unit], Array] = book.notes("one unit as a row")

    def of(self, pour: Pour) -> Array:
        """What one pour brings; raises KeyError for an ingredient that the book does not have."""
        key = (pour.ingredient, pour.amount.unit)
        row = self._of_one.get(key)
        if row is None:
            row = self._of_one[key] = _row(self._holds.of(replace(pour, amount=Amount(Decimal(1), pour.amount.unit))))
        poured: Array = row * float(pour.amount.number)
        return poured

    def drink(self, drink: Drink) -> Array:
        """The measures of one drink as served; NaN is unknown."""
        return served(*self.mixed(drink.pours), drink.method, drink.ice)

    def drinks(self, drinks: Sequence[Drink]) -> Array:
        """The measures of many drinks as served, one row each; NaN is unknown."""
        found = np.empty((len(drinks), MEASURES))
        alike: dict[tuple[Method, Ice], list[int]] = {}
        for row, drink in enumerate(drinks):
            alike.setdefault((drink.method, drink.ice), []).append(row)
        for (method, ice), rows in alike.items():
            mixes = np.array([self.mixed(drinks[row].pours) for row in rows])
            found[rows] = served(mixes[:, 0], mixes[:, 1], method, ice)
        return found

    def mixed(self, pours: Iterable[Pour]) -> tuple[Array, Array]:
        """What meets the ice, and what is added after it."""
        sums = (np.zeros(COLUMNS), np.zeros(COLUMNS))
        for pour in pours:
            sums[0 if meets_ice(pour) else 1][:] += self.of(pour)
        return sums


def served(iced: Array, later: Array, method: Method, ice: Ice) -> Array:
    """The measures of mixes as served; the last axis holds a mix's columns, and then its measures. NaN is unknown."""
    water_ml = _ml(iced) * np.interp(_strength(iced), _STRENGTHS, _dilution(method, ice))
    whole = iced + later
    whole[..., WATER] += water_ml * _WATER_G_ML
    ml = _ml(whole)
    with np.errstate(invalid="ignore", divide="ignore"):
        found = np.stack(
            [
                ml,
                _strength(whole) * 100,
                whole[..., SUGAR] / ml * 1000,
                whole[..., ACID] / ml * 100,
                whole[..., BITTER] / ml,
            ],
            axis=-1,
        )
    for flag, measure in _FLAGS:
        found[..., measure][whole[..., flag] > 0] = np.nan
    found[(whole[..., NO_SIZE] > 0) | (iced[..., NO_ABV] > 0)] = np.nan
    return found


def _row(liquid: Liquid) -> Array:
    lacks = map(liquid.lacks, (Lack.AMOUNT, Lack.ABV, Lack.SUGAR, Lack.ACID, Lack.BITTERNESS))
    held = (liquid.ethanol_g, liquid.water_g, liquid.sugar_g, liquid.acid_g, liquid.bitter_ml)
    return np.array([*map(float, held), *map(float, lacks)])


def _ml(mix: Array) -> Array:
    ethanol, watery = mix[..., ETHANOL], mix[..., ETHANOL] + mix[..., WATER]
    by_mass = np.divide(ethanol, watery, out=np.zeros_like(watery), where=watery > 0)
    return watery / np.interp(by_mass, _STRENGTHS, _densities()) + mix[..., SUGAR] * _ROOM


def _strength(mix: Array) -> Array:
    ml = _ml(mix)
    return np.divide(mix[..., ETHANOL] / _ETHANOL_G_ML, ml, out=np.zeros_like(ml), where=ml > 0)


@lru_cache(maxsize=1)
def _densities() -> Array:
    return np.array([float(grams_per_ml(Decimal(i) / _FINE)) for i in range(_FINE + 1)])


@lru_cache(maxsize=len(Method) * len(Ice))
def _dilution(method: Method, ice: Ice) -> Array:
    return np.array([float(dilution(method, Decimal(i) / _FINE, ice)) for i in range(_FINE + 1)])
