"""Grams of alcohol, and the standard drinks of three countries.

United States: 14 g (NIAAA, What Is a Standard Drink?). United Kingdom: 10 mL of pure alcohol (NHS, Alcohol units).
Australia: 10 g, reckoned as litres x % vol x 0.789 (Department of Health).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.ethanol import ETHANOL_G_ML
from recipes.units import Quantity, quantity

US_GRAMS = Decimal(14)
UK_MILLILITRES = Decimal(10)
AU_GRAMS = Decimal(10)
AU_DENSITY = Decimal("0.789")  # g/mL, as the Australian formula rounds it


@dataclass(frozen=True)
class StandardDrinks:
    """How many standard drinks (counts, unrounded) one serve holds."""

    us: Decimal
    uk: Decimal  # called units there
    au: Decimal


def alcohol(volume: Quantity, abv: Quantity) -> Quantity:
    """The mass (g) of pure alcohol in a volume of a strength (% vol)."""
    return quantity(_pure_ml(volume, abv) * ETHANOL_G_ML, "gram")


def standard_drinks(volume: Quantity, abv: Quantity) -> StandardDrinks:
    """The standard drinks in a volume of a strength (% vol)."""
    pure = _pure_ml(volume, abv)
    return StandardDrinks(
        us=alcohol(volume, abv).m_as("gram") / US_GRAMS,
        uk=pure / UK_MILLILITRES,
        au=pure * AU_DENSITY / AU_GRAMS,
    )


def _pure_ml(volume: Quantity, abv: Quantity) -> Decimal:
    millilitres: Decimal = volume.m_as("milliliter") * abv.m_as("percent") / 100
    return millilitres
