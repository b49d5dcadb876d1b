"""Mixtures of ethanol and water: density, strength by volume and by mass, and how much they shrink.

The formula is the general one of the International Alcoholometric Tables (OIML R 22, edition 1975, part I; the same in
the Annex of Council Directive 76/766/EEC), valid from -20 to +40 degrees Celsius. Strengths are fractions from 0 to 1.
These functions stand in the innermost loop of every balance, so the ones named after a unit give a plain Decimal in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise

from recipes.errors import StrengthError
from recipes.units import Quantity, quantity

ROOM = Decimal(20)  # degrees Celsius: every strength by volume in the book is at this temperature
COLDEST, WARMEST = Decimal(-20), Decimal(40)  # degrees Celsius: where the formula holds

FREEZES_AT = ((0, 0), (20, -9), (30, -15), (40, -23))  # % vol, degrees Celsius; Engineering ToolBox, within 2 degrees
NEWTON_STEPS = 6  # each doubles the digits that are right

_A = tuple(
    Decimal(a)
    for row in (
        "9.982012300e2 -1.929769495e2 3.891238958e2 -1.668103923e3 1.352215441e4 -8.829278388e4",
        "3.062874042e5 -6.138381234e5 7.470172998e5 -5.478461354e5 2.234460334e5 -3.903285426e4",
    )
    for a in row.split()
)
_SLOPE = tuple(k * a for k, a in enumerate(_A))[1:]
_B = tuple(
    Decimal(b)
    for b in ["-2.0618513e-1", "-5.2682542e-3", "3.6130013e-5", "-3.8957702e-7", "7.1693540e-9", "-9.9739231e-11"]
)
_C = tuple(
    tuple(Decimal(c) for c in row.split())
    for row in (
        "1.693443461530087e-1 -1.046914743455169e1 7.196353469546523e1 -7.047478054272792e2 3.924090430035045e3 "
        "-1.210164659068747e4 2.248646550400788e4 -2.605562982188164e4 1.852373922069467e4 -7.420201433430137e3 "
        "1.285617841998974e3",
        "-1.193013005057010e-2 2.517399633803461e-1 -2.170575700536993 1.353034988843029e1 -5.029988758547014e1 "
        "1.096355666577570e2 -1.422753946421155e2 1.080435942856230e2 -4.414153236817392e1 7.442971530188783",
        "-6.802995733503803e-4 1.876837790289664e-2 -2.002561813734156e-1 1.022992966719220 -2.895696483903638 "
        "4.810060584300675 -4.672147440794683 2.458043105903461 -5.411227436621812e-1",
        "4.075376675622027e-6 -8.763058573471110e-6 6.515031360099368e-6 -1.515784836987210e-6",
        "-2.788074354782409e-8 1.345612883493354e-8",
    )
)


def density(mass_fraction: Decimal, celsius: Decimal = ROOM) -> Quantity:
    """The density (kg/m3) of ethanol and water at a mass fraction of ethanol; OIML R 22.

    Raises StrengthError outside 0..1 or outside -20..40 degrees Celsius.
    """
    if not (0 <= mass_fraction <= 1 and COLDEST <= celsius <= WARMEST):
        raise StrengthError(mass_fraction, celsius)
    warmer = celsius - ROOM
    value = _polynomial(_A, mass_fraction) + warmer * _polynomial(_B, warmer)
    value += sum(
        mass_fraction * _polynomial(row, mass_fraction) * warmer ** (i + 1) for i, row in enumerate(_C) if warmer
    )
    return quantity(value, "kilogram/meter**3")


@lru_cache(maxsize=8192)
def grams_per_ml(mass_fraction: Decimal) -> Decimal:
    """The density (g/mL) at 20 degrees Celsius; raises StrengthError outside 0..1."""
    if not 0 <= mass_fraction <= 1:
        raise StrengthError(mass_fraction, ROOM)
    return _polynomial(_A, mass_fraction) / 1000


def _polynomial(coefficients: Sequence[Decimal], x: Decimal) -> Decimal:
    value = Decimal(0)
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value


ETHANOL_G_ML = grams_per_ml(Decimal(1))  # 0.789239 by the formula; published as 789.24 kg/m3
WATER_G_ML = grams_per_ml(Decimal(0))  # 0.9982012


def volume_fraction(mass_fraction: Decimal) -> Decimal:
    """Strength by volume (at 20 degrees Celsius) of a strength by mass: q = p rho(p) / rho(1)."""
    return mass_fraction * grams_per_ml(mass_fraction) / ETHANOL_G_ML


@lru_cache(maxsize=8192)
def mass_fraction(strength: Decimal) -> Decimal:
    """Strength by mass of a strength by volume (at 20 degrees Celsius), to within 1e-12.

    Newton's method on `volume_fraction`; raises StrengthError outside 0..1.
    """
    if not 0 <= strength <= 1:
        raise StrengthError(strength, ROOM)
    target = strength * ETHANOL_G_ML * 1000
    p = strength * ETHANOL_G_ML
    for _ in range(NEWTON_STEPS):
        rho = _polynomial(_A, p)
        p -= (p * rho - target) / (rho + p * _polynomial(_SLOPE, p))
    return min(p, Decimal(1))


def mixed_ml(ethanol_g: Decimal, water_g: Decimal) -> Decimal:
    """The volume (mL, at 20 degrees Celsius) of ethanol and water (g each) once mixed: less than the two apart."""
    mass = ethanol_g + water_g
    return mass / grams_per_ml(ethanol_g / mass) if mass else Decimal(0)


def freezing_point(strength: Decimal) -> Decimal:
    """About where ethanol and water (strength by volume) begin to freeze, in degrees Celsius; sugar lowers it further.

    Straight lines between coarse published points; at 40 % vol and above, the last of them.
    """
    percent = strength * 100
    for (low, warm), (high, cold) in pairwise(FREEZES_AT):
        if percent <= high:
            return warm + (cold - warm) * (percent - low) / (high - low)
    return Decimal(FREEZES_AT[-1][1])
