"""The balance of a drink: how strong, sweet, sour and bitter it is as served, its water from ice, its wash line.

Ice meets everything but what is topped up with or floated afterwards. What the book does not tell of an ingredient
makes the numbers that need it None, and `gaps` names it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from recipes.composition import Compositions
from recipes.dilution import dilution
from recipes.mixing import Gap, Lack, Liquid, mix, water
from recipes.model import Book, Drink, Ice, Method, Pour, Role
from recipes.standard_drinks import StandardDrinks, standard_drinks
from recipes.units import Quantity, quantity
from recipes.washline import WashLine, wash_line

AFTER_ICE = ("to top", "float")  # how a pour's note begins when it goes in after the ice

IN_THE_GLASS = frozenset({Method.BUILT, Method.SWIZZLED})  # the ice that dilutes it is the ice it is served on


@dataclass(frozen=True, slots=True)
class Profile:
    """The numbers of a balance as plain Decimals, for weighing up many drinks at once; None is unknown."""

    poured_ml: Decimal | None  # before ice
    water_ml: Decimal | None  # from ice
    served_ml: Decimal | None
    start_abv: Decimal | None  # % vol of what meets the ice
    abv: Decimal | None  # % vol as served
    sugar: Decimal | None  # g/L as served
    acid: Decimal | None  # % w/v as citric, as served
    bitterness: Decimal | None  # 0..5, house scale, weighted by volume
    alcohol_g: Decimal | None
    gaps: frozenset[Gap]


@dataclass(frozen=True)
class Balance:
    """The balance of one serve. None is unknown; `unknown` names the ingredients that the book tells too little of."""

    volume: Quantity | None  # mL poured, before ice
    water: Quantity | None  # mL from ice
    served: Quantity | None  # mL of liquid in the glass
    dilution: Decimal | None  # water over the volume poured
    start_abv: Quantity | None  # % vol of what meets the ice
    abv: Quantity | None  # % vol as served
    sugar: Quantity | None  # g/L as served
    acid: Quantity | None  # g/dL (% w/v as citric) as served
    ratio: Decimal | None  # grams of sugar to a gram of acid; None also when there is no acid
    bitterness: Decimal | None  # 0..5, house scale, weighted by volume
    alcohol: Quantity | None  # g
    standard: StandardDrinks | None
    wash: WashLine | None
    gaps: tuple[Gap, ...]

    @property
    def unknown(self) -> tuple[str, ...]:
        """The ingredients that the book tells too little of, by name."""
        return tuple(dict.fromkeys(gap.ingredient for gap in self.gaps))


def balance(drink: Drink, book: Book) -> Balance:
    """The balance of one serve of a drink as the book writes it.

    Raises KeyError when the drink names an ingredient or a glass that the book does not have.
    """
    found = profile(drink, Compositions(book))
    served = _with_unit(found.served_ml, "milliliter")
    abv = _with_unit(found.abv, "percent")
    return Balance(
        volume=_with_unit(found.poured_ml, "milliliter"),
        water=_with_unit(found.water_ml, "milliliter"),
        served=served,
        dilution=found.water_ml / found.poured_ml if found.water_ml is not None and found.poured_ml else None,
        start_abv=_with_unit(found.start_abv, "percent"),
        abv=abv,
        sugar=_with_unit(found.sugar, "gram/liter"),
        acid=_with_unit(found.acid, "gram/deciliter"),
        ratio=found.sugar / 10 / found.acid if found.sugar is not None and found.acid else None,
        bitterness=found.bitterness,
        alcohol=_with_unit(found.alcohol_g, "gram"),
        standard=standard_drinks(served, abv) if served is not None and abv is not None else None,
        wash=_wash_line(drink, found, book),
        gaps=tuple(sorted(found.gaps, key=lambda gap: (gap.ingredient, gap.lack))),
    )


def _wash_line(drink: Drink, found: Profile, book: Book) -> WashLine | None:
    if found.served_ml is None or found.water_ml is None:
        return None
    melted = found.water_ml if drink.method in IN_THE_GLASS else Decimal(0)
    served = quantity(found.served_ml, "milliliter")
    return wash_line(served, book.glasses[drink.glass], drink.ice, quantity(melted, "milliliter"))


def profile(drink: Drink, compositions: Compositions) -> Profile:
    """The numbers of a drink's balance, quickly; share one `Compositions` between many drinks of one book."""
    iced = mix(compositions.of(pour) for pour in drink.pours if meets_ice(pour))
    later = mix(compositions.of(pour) for pour in drink.pours if not meets_ice(pour))
    return weigh_up(iced, later, drink.method, drink.ice)


def meets_ice(pour: Pour) -> bool:
    """Whether a pour is mixed with the ice, rather than added on top afterwards."""
    return pour.role is not Role.LENGTHENER and not pour.note.startswith(AFTER_ICE)


def weigh_up(iced: Liquid, later: Liquid, method: Method, ice: Ice) -> Profile:
    """The numbers of a drink from the liquid that meets the ice and the liquid that comes after it."""
    poured = mix((iced, later))
    sized = not poured.lacks(Lack.AMOUNT)
    diluted = sized and not iced.lacks(Lack.ABV)
    water_ml = iced.ml * dilution(method, iced.strength, ice) if diluted else None
    served = mix((poured, water(water_ml))) if water_ml is not None else None
    strong = served is not None and not poured.lacks(Lack.ABV)
    ml = served.ml if served else None

    def per_ml(total: Decimal, lack: Lack) -> Decimal | None:
        return total / ml if ml and not poured.lacks(lack) else None

    return Profile(
        poured_ml=poured.ml if sized else None,
        water_ml=water_ml,
        served_ml=ml,
        start_abv=iced.strength * 100 if diluted else None,
        abv=served.strength * 100 if served and strong else None,
        sugar=_times(1000, per_ml(poured.sugar_g, Lack.SUGAR)),
        acid=_times(100, per_ml(poured.acid_g, Lack.ACID)),
        bitterness=per_ml(poured.bitter_ml, Lack.BITTERNESS),
        alcohol_g=poured.ethanol_g if sized and not poured.lacks(Lack.ABV) else None,
        gaps=poured.gaps,
    )


def _times(factor: int, value: Decimal | None) -> Decimal | None:
    return None if value is None else value * factor


def _with_unit(value: Decimal | None, unit: str) -> Quantity | None:
    return None if value is None else quantity(value, unit)
