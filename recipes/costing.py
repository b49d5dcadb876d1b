"""What a drink costs to make, line by line, and what its menu price makes of that.

Pour cost is cost over the price net of tax, and the price for a target is cost over target (Dittmer and Keefe,
Principles of Food, Beverage, and Labor Cost Controls, 9th ed., ch. 15). Nothing is rounded here but a menu price to its
step.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from recipes.model import Book, Drink, House
from recipes.prices import Cost, PriceList
from recipes.units import Amount, Quantity, Unit, registry

MONEY = registry.Unit("money")
ONE_PIECE = Amount(Decimal(1), Unit.PIECE)


@dataclass(frozen=True, slots=True)
class CostLine:
    """What one pour or one garnish costs; None is unknown, and then `unknown` names what has no price."""

    ingredient: str
    amount: Amount
    cost: Quantity | None
    unknown: tuple[str, ...] = ()
    garnish: bool = False


@dataclass(frozen=True, slots=True)
class Costing:
    """The cost of one drink and what the menu price makes of it. What cannot be known is None."""

    drink: Drink
    lines: tuple[CostLine, ...]
    waste: Quantity  # money lost to spills, on the pours whose cost is known
    known: Quantity  # the sum of what is known, with waste
    unknown: tuple[str, ...]  # ingredients without a price
    price: Quantity | None  # as the menu prints it
    net_price: Quantity | None  # without tax

    @property
    def total(self) -> Quantity | None:
        """The cost of the drink, or None while any line is unknown."""
        return None if self.unknown else self.known

    @property
    def pour_cost(self) -> Decimal | None:
        """Cost over net price, as a fraction."""
        if self.total is None or self.net_price is None or self.net_price.magnitude == 0:
            return None
        return self.total.magnitude / self.net_price.magnitude

    @property
    def margin(self) -> Quantity | None:
        """Gross margin: net price less cost."""
        if self.total is None or self.net_price is None:
            return None
        return _money(self.net_price.magnitude - self.total.magnitude)


@dataclass(frozen=True, slots=True)
class TargetPrice:
    """The menu price that brings a drink to a target pour cost; all None when its cost is unknown."""

    costing: Costing
    target: Decimal  # fraction
    exact: Quantity | None  # as the menu would print it, unrounded
    price: Quantity | None  # rounded up to the menu's step
    pour_cost: Decimal | None  # at that price


@dataclass(frozen=True, slots=True)
class Shift:
    """One drink before and after a change of price."""

    before: Costing
    after: Costing

    @property
    def change(self) -> Quantity:
        """How much dearer the drink becomes; below zero, cheaper."""
        return _money(self.after.known.magnitude - self.before.known.magnitude)


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A changed pack price and the drinks it moves, the most moved first."""

    ingredient: str
    old: Quantity
    new: Quantity
    shifts: tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Menu:
    """Priced drinks, dearest pour cost first, and those whose pour cost nobody can tell."""

    costings: tuple[Costing, ...]
    unknown: tuple[Costing, ...]


def cost(drink: Drink, book: Book, prices: PriceList | None = None) -> Costing:
    """The cost of a drink line by line; pass one `prices` of the same book when asking for many drinks."""
    prices = prices or PriceList(book)
    pours = [_line(prices, pour.ingredient, pour.amount) for pour in drink.pours]
    garnish = [_line(prices, name, ONE_PIECE, garnish=True) for name in drink.garnish]
    waste = _known(pours) * book.house.waste
    return Costing(
        drink=drink,
        lines=(*pours, *garnish),
        waste=_money(waste),
        known=_money(_known(pours) + _known(garnish) + waste),
        unknown=tuple(dict.fromkeys(name for line in (*pours, *garnish) for name in line.unknown)),
        price=drink.price,
        net_price=None if drink.price is None else net_of_tax(drink.price, book.house),
    )


def cost_of(ingredient: str, amount: Amount, book: Book) -> CostLine:
    """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
    return _line(PriceList(book), ingredient, amount)


def net_of_tax(price: Quantity, house: House) -> Quantity:
    """A menu price without the tax it holds, if it holds any."""
    return _money(price.magnitude / (1 + house.sales_tax)) if house.price_includes_tax else price


def price_for(drink: Drink, book: Book, target: Decimal | None = None) -> TargetPrice:
    """The menu price for a target pour cost (a fraction; the house's own when None), up to the menu's step."""
    house = book.house
    target = house.target_pour_cost if target is None else target
    costing = cost(drink, book)
    if costing.total is None:
        return TargetPrice(costing, target, None, None, None)
    held_tax = 1 + house.sales_tax if house.price_includes_tax else Decimal(1)
    exact = costing.total / target * held_tax
    price = _up_to_step(exact, house.price_step)
    pour_cost = costing.total.magnitude / net_of_tax(price, house).magnitude if price.magnitude else None
    return TargetPrice(costing, target, exact, price, pour_cost)


def pack_price(ingredient: str, unit_price: Quantity, book: Book) -> Quantity:
    """The price of a pack at so much money a litre, a kilogram or a piece.

    Raises ValueError when it is not bought that way.
    """
    pack = book.ingredients[ingredient].pack
    price = None if pack is None else unit_price * pack.size
    if price is None or not price.check("[currency]"):
        raise ValueError(f"{ingredient} is not bought that way")
    return _money(price.m_as(MONEY))


def what_if(book: Book, ingredient: str, price: Quantity) -> WhatIf:
    """What every drink would cost if the pack of one ingredient cost `price`; KeyError if it is not bought in packs."""
    changed = book.with_prices({ingredient: price})
    before, after = PriceList(book), PriceList(changed)
    shifts = [Shift(cost(drink, book, before), cost(drink, changed, after)) for drink in book.drinks.values()]
    moved = [shift for shift in shifts if shift.change.magnitude != 0]
    pack = book.ingredients[ingredient].pack
    old = pack.price if pack else price
    return WhatIf(ingredient, old, price, tuple(sorted(moved, key=lambda s: abs(s.change.magnitude), reverse=True)))


def menu(book: Book, over: Decimal | None = None, under: Decimal | None = None) -> Menu:
    """Every drink with a menu price by pour cost, dearest first; `over` and `under` (fractions) narrow it."""
    prices = PriceList(book)
    costings = [cost(drink, book, prices) for drink in book.drinks.values() if drink.price is not None]
    ranked = [(costing.pour_cost, costing) for costing in costings]
    known = [(share, costing) for share, costing in ranked if share is not None and _within(share, over, under)]
    known.sort(key=lambda pair: pair[0], reverse=True)
    return Menu(tuple(c for _, c in known), tuple(c for share, c in ranked if share is None))


def _within(share: Decimal, over: Decimal | None, under: Decimal | None) -> bool:
    return (over is None or share > over) and (under is None or share < under)


def _line(prices: PriceList, name: str, amount: Amount, garnish: bool = False) -> CostLine:
    found: Cost = prices.cost(name, amount)
    money = None if found.money is None else _money(found.money)
    return CostLine(name, amount, money, found.unknown, garnish)


def _known(lines: list[CostLine]) -> Decimal:
    return sum((line.cost.magnitude for line in lines if line.cost is not None), Decimal(0))


def _money(value: Decimal) -> Quantity:
    return registry.Quantity(value, MONEY)


def _up_to_step(price: Quantity, step: Quantity) -> Quantity:
    """Up to the menu's step; a price a millionth of a step above one counts as on it."""
    steps = round(price.magnitude / step.magnitude, 6).to_integral_value(ROUND_CEILING)
    return _money(step.magnitude * steps)
