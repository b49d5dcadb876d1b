"""What a drink costs to make, line by line, and what its menu price makes of that.

Pour cost is cost over the price net of tax, and the price for a target is cost over target (Dittmer and Keefe,
Principles of Food, Beverage, and Labor Cost Controls, 9th ed., ch. 15). Nothing is rounded here but a menu price to its
step.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from recipes.model import Book, Drink, House
from recipes.prices import PriceList
from recipes.safety import ingredients_within, names_in
from recipes.units import Amount, Quantity, Unit, registry

MONEY = registry.Unit("money")
ONE_PIECE = Amount(Decimal(1), Unit.PIECE)


@dataclass(frozen=True, slots=True)
class CostLine:
    """What one pour or one garnish costs; None is unknown, and then `unknown` names what has no price."""

    ingredient: str
    amount: Amount
    money: Decimal | None
    unknown: tuple[str, ...] = ()
    garnish: bool = False

    @property
    def cost(self) -> Quantity | None:
        """The cost, as money."""
        return None if self.money is None else _money(self.money)


@dataclass(frozen=True, slots=True)
class Costing:
    """The cost of one drink and what the menu price makes of it. What cannot be known is None."""

    drink: Drink
    lines: tuple[CostLine, ...]
    waste_money: Decimal  # lost to spills, on the pours whose cost is known
    known_money: Decimal  # the sum of what is known, with waste
    unknown: tuple[str, ...]  # ingredients without a price
    net_money: Decimal | None  # the menu price without tax

    @property
    def waste(self) -> Quantity:
        """Money lost to spills."""
        return _money(self.waste_money)

    @property
    def known(self) -> Quantity:
        """What the lines of known cost and their waste come to."""
        return _money(self.known_money)

    @property
    def total(self) -> Quantity | None:
        """The cost of the drink, or None while any line is unknown."""
        return None if self.unknown else self.known

    @property
    def price(self) -> Quantity | None:
        """As the menu prints it."""
        return self.drink.price

    @property
    def net_price(self) -> Quantity | None:
        """The menu price without tax."""
        return None if self.net_money is None else _money(self.net_money)

    @property
    def pour_cost(self) -> Decimal | None:
        """Cost over net price, as a fraction."""
        return None if self.unknown or not self.net_money else self.known_money / self.net_money

    @property
    def margin(self) -> Quantity | None:
        """Gross margin: net price less cost."""
        if self.unknown or self.net_money is None:
            return None
        return _money(self.net_money - self.known_money)


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
        return _money(self.after.known_money - self.before.known_money)


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
        waste_money=waste,
        known_money=_known(pours) + _known(garnish) + waste,
        unknown=tuple(dict.fromkeys(name for line in (*pours, *garnish) for name in line.unknown)),
        net_money=None if drink.price is None else drink.price.magnitude / _held_tax(book.house),
    )


def cost_of(ingredient: str, amount: Amount, book: Book) -> CostLine:
    """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
    return _line(PriceList(book), ingredient, amount)


def net_of_tax(price: Quantity, house: House) -> Quantity:
    """A menu price without the tax it holds, if it holds any."""
    return _money(price.magnitude / _held_tax(house))


def price_for(drink: Drink, book: Book, target: Decimal | None = None) -> TargetPrice:
    """The menu price for a target pour cost (a fraction; the house's own when None), up to the menu's step."""
    house = book.house
    target = house.target_pour_cost if target is None else target
    costing = cost(drink, book)
    if costing.unknown:
        return TargetPrice(costing, target, None, None, None)
    exact = costing.known_money / target * _held_tax(house)
    price = _up_to_step(exact, house.price_step.magnitude)
    pour_cost = costing.known_money * _held_tax(house) / price if price else None
    return TargetPrice(costing, target, _money(exact), _money(price), pour_cost)


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
    """What the drinks that need an ingredient would cost if its pack cost `price`; KeyError if it is in no pack."""
    changed = book.with_prices({ingredient: price})
    before, after = PriceList(book), PriceList(changed)
    touched = _made_with(ingredient, book)
    drinks = [drink for drink in book.drinks.values() if touched.intersection(names_in(drink))]
    shifts = [Shift(cost(drink, book, before), cost(drink, changed, after)) for drink in drinks]
    moved = [shift for shift in shifts if shift.change.magnitude]
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


def _made_with(ingredient: str, book: Book) -> set[str]:
    """The ingredient and all that the house makes of it, however deep."""
    return {name for name in book.ingredients if any(i.name == ingredient for i in ingredients_within([name], book))}


def _line(prices: PriceList, name: str, amount: Amount, garnish: bool = False) -> CostLine:
    found = prices.cost(name, amount)
    return CostLine(name, amount, found.money, found.unknown, garnish)


def _known(lines: list[CostLine]) -> Decimal:
    return sum((line.money for line in lines if line.money is not None), Decimal(0))


def _held_tax(house: House) -> Decimal:
    """What a menu price is divided by to be without tax."""
    return 1 + house.sales_tax if house.price_includes_tax else Decimal(1)


def _money(value: Decimal) -> Quantity:
    return registry.Quantity(value, MONEY)


def _up_to_step(price: Decimal, step: Decimal) -> Decimal:
    """Up to the menu's step; a price a millionth of a step above one counts as on it."""
    return round(price / step, 6).to_integral_value(ROUND_CEILING) * step
