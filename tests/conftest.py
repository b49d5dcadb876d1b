"""One small book that every test may use: a few drinks, with the oddities a real book has."""

from __future__ import annotations

from decimal import Decimal
from types import MappingProxyType

import pytest

from recipes.model import (
    Book,
    Drink,
    Glass,
    House,
    HouseRecipe,
    Ice,
    Ingredient,
    Method,
    Pack,
    Pour,
    Role,
    Source,
    Sourced,
)
from recipes.units import Amount, Measures, Unit, quantity

ROLES = {
    "gin": Role.BASE,
    "white rum": Role.BASE,
    "rye whiskey": Role.BASE,
    "sweet vermouth": Role.FORTIFIED,
    "maraschino liqueur": Role.LIQUEUR,
    "violet liqueur": Role.LIQUEUR,
    "lime juice": Role.ACID,
    "lemon juice": Role.ACID,
    "lime cordial": Role.SWEETENER,
    "sugar syrup": Role.SWEETENER,
    "raspberry syrup": Role.SWEETENER,
    "white sugar": Role.SWEETENER,
    "water": Role.LENGTHENER,
    "soda water": Role.LENGTHENER,
    "aromatic bitters": Role.BITTERS,
    "egg white": Role.EGG,
    "mint": Role.HERB,
    "lime wheel": Role.GARNISH,
    "cherry": Role.GARNISH,
}
KINDS = {
    "gin": "gin",
    "white rum": "rum",
    "rye whiskey": "whiskey",
    "lime juice": "citrus",
    "lemon juice": "citrus",
    "egg white": "egg",
    "sweet vermouth": "vermouth",
}


def pours(*lines: str) -> tuple[Pour, ...]:
    """Recipe lines as '2 oz gin' or '2 oz soda water, to top'."""
    return tuple(_pour(line) for line in lines)


def _pour(line: str) -> Pour:
    body, _, note = line.partition(", ")
    number, unit, name = body.split(" ", 2)
    return Pour(name, Amount(Decimal(number), Unit(unit)), ROLES[name], note)


def pack(size: str, price: str, usable: str | None = None) -> Pack:
    """A pack as '750 milliliter', its price, and what of it can be poured."""
    whole = quantity(*_split(size))
    return Pack(whole, quantity(price, "money"), Sourced(quantity(*_split(usable)) if usable else whole, "bar"))


def _split(text: str) -> tuple[str, str]:
    number, unit = text.split(" ")
    return number, unit


PACKS = {
    "gin": pack("750 milliliter", "24.00"),
    "white rum": pack("750 milliliter", "21.00"),
    "rye whiskey": pack("750 milliliter", "30.00"),
    "sweet vermouth": pack("1000 milliliter", "15.00"),
    "maraschino liqueur": pack("700 milliliter", "28.00"),
    "lime juice": pack("1 piece", "0.45", "27 milliliter"),
    "lemon juice": pack("1 piece", "0.60", "42 milliliter"),
    "white sugar": pack("1000 gram", "1.50"),
    "water": pack("1000 milliliter", "0.00"),
    "soda water": pack("1000 milliliter", "1.00"),
    "aromatic bitters": pack("200 milliliter", "18.00"),
    "egg white": pack("12 piece", "4.80"),
    "mint": pack("1 piece", "2.00", "80 piece"),
    "lime wheel": pack("1 piece", "0.45", "8 piece"),
    "cherry": pack("400 gram", "12.00", "100 piece"),
}
MADE = {
    "sugar syrup": HouseRecipe(pours("500 g white sugar", "500 g water"), quantity(800, "milliliter"), ("Stir warm.",)),
    "lime cordial": HouseRecipe(
        pours("500 ml sugar syrup", "250 ml lime juice"), quantity(750, "milliliter"), ("Stir.", "Chill.")
    ),
}
ALLERGENS = {"egg white": frozenset({"egg"}), "sweet vermouth": frozenset({"sulphites"}), "violet liqueur": None}
NO_SUCH = frozenset[str]()


def _ingredient(name: str) -> Ingredient:
    return Ingredient(
        name,
        ROLES[name],
        kind=KINDS.get(name, name),
        density=Sourced(quantity(1, "gram/milliliter"), "bar") if name == "water" else None,
        allergens=ALLERGENS.get(name, NO_SUCH),
        pack=PACKS.get(name),
        made=MADE.get(name),
    )


def _drink(
    name: str, lines: tuple[Pour, ...], price: str | None = "13.00", garnish: tuple[str, ...] = (), glass: str = "coupe"
) -> Drink:
    stirred = any(pour.role is Role.FORTIFIED for pour in lines)
    method = Method.STIRRED if stirred else Method.BUILT if glass == "highball" else Method.SHAKEN
    steps = ("Measure into the tin.", "Shake hard with ice.", "Fine strain into the glass.")
    ice = Ice.CUBED if glass == "highball" else Ice.NONE
    money = quantity(price, "money") if price else None
    return Drink(name, "classics", lines, method, glass, ice, garnish, steps, price=money)


HOUSE = House(
    name="The Test Bar",
    currency="USD",
    symbol="$",
    measures=Measures(
        ounce=quantity("29.5735295625", "milliliter"),
        barspoon=quantity(5, "milliliter"),
        dash=quantity("0.9", "milliliter"),
        drop=quantity("0.05", "milliliter"),
        pinch=quantity("0.3", "gram"),
    ),
    jigger_step=Amount(Decimal("0.25"), Unit.OUNCE),
    metric_step=Amount(Decimal("2.5"), Unit.MILLILITRE),
    bottle=quantity(750, "milliliter"),
    sales_tax=Decimal("0.08"),
    price_includes_tax=True,
    waste=Decimal("0.05"),
    target_pour_cost=Decimal("0.20"),
    price_step=quantity("0.50", "money"),
    covers=60,
    drinks_per_cover=Decimal("1.5"),
)


def make_tiny_book() -> Book:
    """A book of seven drinks: a syrup in a cordial, an egg, leaves, dashes, a top-up and a price nobody knows."""
    drinks = (
        _drink("Gimlet", pours("2 oz gin", "0.75 oz lime cordial"), garnish=("lime wheel",)),
        _drink("Daiquiri", pours("2 oz white rum", "0.75 oz lime juice", "0.75 oz sugar syrup"), "12.00"),
        _drink("Manhattan", pours("2 oz rye whiskey", "1 oz sweet vermouth", "2 dash aromatic bitters"), "14.00"),
        _drink(
            "Clover Club", pours("1.5 oz gin", "0.75 oz lemon juice", "0.5 oz raspberry syrup", "1 piece egg white")
        ),
        _drink("Aviation", pours("2 oz gin", "0.75 oz lemon juice", "0.25 oz violet liqueur"), garnish=("cherry",)),
        _drink("Southside", pours("2 oz gin", "0.75 oz lime juice", "0.75 oz sugar syrup", "8 leaf mint"), "13.50"),
        _drink(
            "Gin Rickey",
            pours("2 oz gin", "0.5 oz lime juice", "4 oz soda water, to top"),
            None,
            garnish=("lime wheel",),
            glass="highball",
        ),
    )
    return Book(
        house=HOUSE,
        ingredients=MappingProxyType({name: _ingredient(name) for name in ROLES}),
        drinks=MappingProxyType({drink.name: drink for drink in drinks}),
        glasses=MappingProxyType(
            {
                "coupe": Glass("coupe", quantity(180, "milliliter")),
                "highball": Glass("highball", quantity(350, "milliliter")),
            }
        ),
        sources=MappingProxyType({"bar": Source("bar", "House experience", "common practice")}),
        shelves=MappingProxyType({"classics": "Classics"}),
    )


@pytest.fixture
def tiny_book() -> Book:
    """The small book."""
    return make_tiny_book()
