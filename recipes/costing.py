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
ZERO = Decimal(0)
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


class CostLines:
    """The cost lines of one book: what many drinks pour alike is priced once, and is one line to all of them."""

    def __init__(self, book: Book) -> None:
        self.prices = PriceList(book)
        self.waste = book.house.waste
        self._priced: dict[tuple[str, Decimal, Unit, bool], CostLine] = {}
        self._again: dict[int, tuple[CostLine, CostLine]] = {}  # by the identity of the old line, which is kept with it

    def of(self, name: str, amount: Amount, garnish: bool = False) -> CostLine:
        """The line of so much of an ingredient. Raises KeyError for a name the book lacks."""
        key = (name, amount.number, amount.unit, garnish)
        line = self._priced.get(key)
        if line is None:
            found = self.prices.cost(name, amount)
            line = self._priced[key] = CostLine(name, amount, found.money, found.unknown, garnish)
        return line

    def again(self, old: CostLine) -> CostLine:
        """The line for what a line of another book's was for."""
        known = self._again.get(id(old))
        if known is None:
            known = self._again[id(old)] = (old, self.of(old.ingredient, old.amount, old.garnish))
        return known[1]


def cost(drink: Drink, book: Book) -> Costing:
    """The cost of a drink line by line."""
    lines = book.once(CostLines)
    pours = [lines.of(pour.ingredient, pour.amount) for pour in drink.pours]
    garnish = [lines.of(name, ONE_PIECE, garnish=True) for name in drink.garnish]
    net = None if drink.price is None else drink.price.magnitude / _held_tax(book.house)
    return _summed(drink, (*pours, *garnish), lines.waste, net)


def with_lines_again(costing: Costing, names: Container[str], lines: CostLines) -> Costing:
    """The same drink with the lines of some ingredients priced by another book of the same house."""
    found = tuple([lines.again(line) if line.ingredient in names else line for line in costing.lines])
    return _summed(costing.drink, found, lines.waste, costing.net_money)


def cost_of(ingredient: str, amount: Amount, book: Book) -> CostLine:
    """The cost of an amount of one ingredient, without waste. Raises KeyError for a name the book lacks."""
    return book.once(CostLines).of(ingredient, amount)


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


def _summed(drink: Drink, lines: tuple[CostLine, ...], waste: Decimal, net: Decimal | None) -> Costing:
    pours = garnish = ZERO
    missing: list[str] = []
    for line in lines:
        if line.money is None:
            missing += line.unknown
        elif line.garnish:
            garnish += line.money
        else:
            pours += line.money
    lost = pours * waste
    return Costing(drink, lines, lost, pours + garnish + lost, tuple(dict.fromkeys(missing)) if missing else (), net)


def _held_tax(house: House) -> Decimal:
    """What a menu price is divided by to be without tax."""
    return 1 + house.sales_tax if house.price_includes_tax else Decimal(1)


def _up_to_step(price: Decimal, step: Decimal) -> Decimal:
    """Up to the menu's step; a price a millionth of a step above one counts as on it."""
    return round(price / step, 6).to_integral_value(ROUND_CEILING) * step
