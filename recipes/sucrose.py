"""Sugar in water at 20 degrees Celsius: degrees Brix (grams of sugar in 100 g), density, and what a syrup holds.

Density is a fit made here to whole tens of degrees Brix of Bates et al., Polarimetry, Saccharimetry and the Sugars, NBS
Circular C440 (1942), table 114, brought from apparent to true density; it meets them within 0.00002 g/mL.
Solubility is from Mohos, Confectionery and Chocolate Engineering (2010), tables A2.2-A2.3.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.errors import BrixError
from recipes.units import Quantity, quantity

MOST = Decimal(95)  # degrees Brix: the end of the table
DISPLACED_ML_PER_G = Decimal("0.62")  # room a gram of sugar takes once dissolved (0.617-0.637, CRC Handbook)
BULK_G_ML = Decimal("0.8454")  # granulated sugar as it is scooped: 200 g a US cup (USDA 19335); packing varies by 2 %
FRIDGE = Decimal(4)  # degrees Celsius
ROOM = Decimal(20)

_FIT = tuple(Decimal(c) for c in ["0.998228712", "3.85876281e-3", "1.26100379e-5", "6.83459596e-8", "-2.67045455e-10"])
_SOLUBLE = {Decimal(c): Decimal(p) for c, p in ((0, "64.18"), (10, "65.58"), (20, "67.09"), (30, "68.7"))}


@dataclass(frozen=True)
class Syrup:
    """Sugar dissolved in water."""

    brix: Decimal  # degrees: percent of sugar by mass
    density: Quantity  # g/mL
    sugar: Quantity  # g/L
    makes: Quantity  # mL


def density(brix: Decimal) -> Quantity:
    """The true density (g/mL) of a sugar solution; raises BrixError outside 0..95."""
    if not 0 <= brix <= MOST:
        raise BrixError(brix)
    value = Decimal(0)
    for coefficient in reversed(_FIT):
        value = value * brix + coefficient
    return quantity(value, "gram/milliliter")


def sugar(brix: Decimal) -> Quantity:
    """The sugar (g/L) in a solution of that strength; raises BrixError outside 0..95."""
    return quantity(brix / 100 * density(brix).m_as("gram/liter"), "gram/liter")


def brix_of(sugar_per_litre: Quantity) -> Decimal:
    """The degrees Brix of a solution with that much sugar (g/L), to 0.0001; raises BrixError above 95."""
    wanted = sugar_per_litre.m_as("gram/liter")
    low, high = Decimal(0), MOST
    if not sugar(low).m_as("gram/liter") <= wanted <= sugar(high).m_as("gram/liter"):
        raise BrixError(wanted / 10)
    while high - low > Decimal("0.0001"):
        middle = (low + high) / 2
        low, high = (middle, high) if sugar(middle).m_as("gram/liter") < wanted else (low, middle)
    return (low + high) / 2


def syrup(sugar_mass: Quantity, water_mass: Quantity) -> Syrup:
    """The syrup made of so much sugar and water by weight; raises BrixError above 95 degrees."""
    total = sugar_mass + water_mass
    brix = sugar_mass.m_as("gram") / total.m_as("gram") * 100
    return Syrup(brix, density(brix), sugar(brix), (total / density(brix)).to("milliliter"))


def syrup_by_volume(sugar_volume: Quantity, water_volume: Quantity) -> Syrup:
    """The syrup made of scooped granulated sugar and water by volume; within 2 %, as packing varies."""
    return syrup(
        quantity(sugar_volume.m_as("milliliter") * BULK_G_ML, "gram"),
        quantity(water_volume.m_as("milliliter") * density(Decimal(0)).magnitude, "gram"),
    )


def soluble(celsius: Decimal) -> Decimal:
    """The most sugar (degrees Brix) that stays dissolved, from 0 to 30 degrees Celsius, by straight lines between."""
    celsius = min(max(celsius, Decimal(0)), Decimal(30))
    below = min(Decimal(20), celsius // 10 * 10)
    low, high = _SOLUBLE[below], _SOLUBLE[below + 10]
    return low + (high - low) * (celsius - below) / 10


def may_crystallise(brix: Decimal, celsius: Decimal = FRIDGE) -> bool:
    """Whether a syrup holds more sugar than stays dissolved at that temperature."""
    return brix > soluble(celsius)
