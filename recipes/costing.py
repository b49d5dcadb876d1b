"""What a drink costs to make, line by line, and what its menu price makes of that.

Pour cost is cost over the price net of tax, and the price for a target is cost over target (Dittmer and Keefe,
Principles of Food, Beverage, and Labor Cost Controls, 9th ed., ch. 15). Nothing is rounded here but a menu price to its
step.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from recipes.model import Book, Drink, House
from recipes.prices import PriceList
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
        return None if self.money is None else as_money(self.money)


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
        return as_money(self.waste_money)

    @property
    def known(self) -> Quantity:
        """What the lines of known cost and their waste come to."""
        return as_money(self.known_money)

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
        return None if self.net_money is None else as_money(self.net_money)

    @property
    def pour_cost(self) -> Decimal | None:
        """Cost over net price, as a fraction."""
        return None if self.unknown or not self.net_money else self.known_money / self.net_money

    @property
    def margin_money(self) -> Decimal | None:
        """Net price less cost."""
        return None if self.unknown or self.net_money is None else self.net_money - self.known_money

    @property
    def margin(self) -> Quantity | None:
        """Gross margin, as money."""
        return None if self.margin_money is None else as_money(self.margin_money)


@dataclass(frozen=True, slots=True)
class TargetPrice:
    """The menu price that brings a drink to a target pour cost; all None when its cost is unknown."""

    costing: Costing
    target: Decimal  # fraction
    exact: Quantity | None  # as the menu would print it, unrounded
    price: Quantity | None  # rounded up to the menu's step
    pour_cost: Decimal | None  # at that price


def as_money(value: Decimal) -> Quantity:
    """A sum of money; quicker than `quantity`, for menus of thousands."""
    return registry.Quantity(value, MONEY)


def cost(drink: Drink, book: Book, prices: PriceList | None = None) -> Costing:
    """The cost of a drink line by line; pass one `prices` of the same book when asking for many drinks."""
    prices = prices or PriceList(book)
    pours = [_line(prices, pour.ingredient, pour.amount) for pour in drink.pours]
    garnish = [_line(prices, name, ONE_PIECE, garnish=True) for name in drink.garnish]
    net = None if drink.price is None else drink.price.magnitude / _held_tax(book.house)
    return _summed(drink, (*pours, *garnish), book.house.waste, net)


def with_lines_again(costing: Costing, names: Container[str], prices: PriceList) -> Costing:
    """The same drink with the lines of some ingredients priced by another list of the same house."""
    lines = tuple(
        _line(prices, line.ingredient, line.amount, line.garnish) if line.ingredient in names else line
        for line in costing.lines
    )
    return _summed(costing.drink, lines, prices.book.house.waste, costing.net_money)


def cost_of(ingredient: str, amount: Amount, book: Book) -> CostLine:
    """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
    return _line(PriceList(book), ingredient, amount)


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
    return TargetPrice(costing, target, as_money(exact), as_money(price), pour_cost)


def pack_price(ingredient: str, unit_price: Quantity, book: Book) -> Quantity:
    """The price of a pack at so much money a litre, a kilogram or a piece.

    Raises ValueError when it is not bought that way.
    """
    pack = book.ingredients[ingredient].pack
    price = None if pack is None else unit_price * pack.size
    if price is None or not price.check("[currency]"):
        raise ValueError(f"{ingredient} is not bought that way")
    return as_money(price.m_as(MONEY))


def _line(prices: PriceList, name: str, amount: Amount, garnish: bool = False) -> CostLine:
    found = prices.cost(name, amount)
    return CostLine(name, amount, found.money, found.unknown, garnish)


def _summed(drink: Drink, lines: tuple[CostLine, ...], waste: Decimal, net: Decimal | None) -> Costing:
    pours = garnish = Decimal(0)
    for line in lines:
        if line.money is not None:
            pours, garnish = (pours, garnish + line.money) if line.garnish else (pours + line.money, garnish)
    missing = [name for line in lines if line.unknown for name in line.unknown]
    unknown = tuple(dict.fromkeys(missing)) if missing else ()
    return Costing(drink, lines, pours * waste, pours + garnish + pours * waste, unknown, net)


def _held_tax(house: House) -> Decimal:
    """What a menu price is divided by to be without tax."""
    return 1 + house.sales_tax if house.price_includes_tax else Decimal(1)


def _up_to_step(price: Decimal, step: Decimal) -> Decimal:
    """Up to the menu's step; a price a millionth of a step above one counts as on it."""
    return round(price / step, 6).to_integral_value(ROUND_CEILING) * step
