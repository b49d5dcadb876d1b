"""What a drink costs, and what its price makes of that."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.costing import cost, cost_of, pack_price, price_for
from recipes.model import Book
from recipes.units import Amount, Quantity, Unit, quantity
from tests.conftest import make_tiny_book

BOOK = make_tiny_book()
PRICED = st.sampled_from(["Gimlet", "Daiquiri", "Manhattan", "Southside", "Gin Rickey"])


def money(value: str) -> Quantity:
    """A sum of money."""
    return quantity(value, "money")


def cents(value: Quantity | None) -> Decimal | None:
    """A sum rounded to a hundredth of a cent."""
    return None if value is None else round(value.m_as("money"), 4)


class TestCost:
    """A drink, line by line."""

    def test_a_gimlet_costs_its_gin_its_cordial_its_wheel_and_the_waste(self, tiny_book: Book) -> None:
        """By hand: 24/750 x 59.147; (0.46875 + 4.16667)/750 x 22.180; 0.45/8; five percent of the pours."""
        costing = cost(tiny_book.drinks["Gimlet"], tiny_book)
        assert [cents(line.cost) for line in costing.lines] == [Decimal(n) for n in ("1.8927", "0.1371", "0.0562")]
        assert (cents(costing.waste), cents(costing.total)) == (Decimal("0.1015"), Decimal("2.1875"))

    def test_pour_cost_is_cost_over_the_price_without_tax(self, tiny_book: Book) -> None:
        """Thirteen dollars hold eight percent tax: 2.1875 over 12.037."""
        costing = cost(tiny_book.drinks["Gimlet"], tiny_book)
        assert costing.pour_cost is not None
        assert round(costing.pour_cost, 4) == Decimal("0.1817")
        assert cents(costing.margin) == Decimal("9.8495")

    def test_an_unknown_price_makes_the_drink_unknown_and_names_it(self, tiny_book: Book) -> None:
        """The known part is told, the total is not."""
        costing = cost(tiny_book.drinks["Aviation"], tiny_book)
        assert (costing.total, costing.pour_cost, costing.margin) == (None, None, None)
        assert costing.unknown == ("violet liqueur",)
        assert cents(costing.known) == Decimal("2.4400")

    def test_a_drink_without_a_menu_price_has_a_cost_and_no_pour_cost(self, tiny_book: Book) -> None:
        """The Gin Rickey is on no menu."""
        costing = cost(tiny_book.drinks["Gin Rickey"], tiny_book)
        assert cents(costing.total) == Decimal("2.4266")
        assert (costing.pour_cost, costing.margin) == (None, None)

    def test_a_garnish_bears_no_waste(self, tiny_book: Book) -> None:
        """Spills are poured, wheels are counted."""
        with_wheel = cost(tiny_book.drinks["Gimlet"], tiny_book)
        without = cost(replace(tiny_book.drinks["Gimlet"], garnish=()), tiny_book)
        assert with_wheel.waste == without.waste

    def test_the_cost_of_one_ingredient(self, tiny_book: Book) -> None:
        """An ounce of gin is 95 cents."""
        assert cents(cost_of("gin", Amount(Decimal(1), Unit.OUNCE), tiny_book).cost) == Decimal("0.9464")

    @given(PRICED, st.integers(2, 100))
    def test_so_many_drinks_cost_so_many_times_one(self, name: str, count: int) -> None:
        """Cost is linear in the pours."""
        one = replace(BOOK.drinks[name], garnish=())
        many = replace(one, pours=tuple(replace(p, amount=p.amount.times(count)) for p in one.pours))
        total, times = cost(many, BOOK).total, cost(one, BOOK).total
        assert total is not None
        assert times is not None
        assert abs(total.m_as("money") - times.m_as("money") * count) < Decimal("1e-12")


class TestTax:
    """Which price the cost is held against."""

    @pytest.mark.parametrize(("includes", "net"), [(True, "12.037"), (False, "13")])
    def test_net_of_tax(self, includes: bool, net: str, tiny_book: Book) -> None:
        """Tax comes off only where the menu price holds it."""
        book = replace(tiny_book, house=replace(tiny_book.house, price_includes_tax=includes))
        priced = replace(book.drinks["Gimlet"], price=money("13.00"))
        found = cost(priced, book).net_price
        assert found is not None
        assert round(found.m_as("money"), 3) == Decimal(net)


class TestTarget:
    """The price for a pour cost."""

    def test_a_gimlet_at_twenty_percent(self, tiny_book: Book) -> None:
        """2.1875 over 0.20 and eight percent tax is 11.81, so 12.00 on a menu of half dollars."""
        found = price_for(tiny_book.drinks["Gimlet"], tiny_book)
        assert (cents(found.exact), cents(found.price)) == (Decimal("11.8127"), Decimal("12.00"))

    def test_rounding_up_keeps_the_pour_cost_at_or_under_the_target(self, tiny_book: Book) -> None:
        """At 12.00 a Gimlet runs at 19.7 percent."""
        found = price_for(tiny_book.drinks["Gimlet"], tiny_book, Decimal("0.20"))
        assert found.pour_cost is not None
        assert round(found.pour_cost, 4) == Decimal("0.1969")

    def test_a_price_already_on_the_step_stays(self) -> None:
        """An exact 12.50 is not pushed to 13.00."""
        free = replace(BOOK.house, waste=Decimal(0), price_includes_tax=False)
        drink = replace(BOOK.drinks["Gimlet"], pours=BOOK.drinks["Gimlet"].pours[:1], garnish=())
        book = replace(BOOK, house=free)
        total = cost(drink, book).total
        assert total is not None
        found = price_for(drink, book, total.m_as("money") / Decimal("12.5"))
        assert cents(found.price) == Decimal("12.5000")

    def test_an_unknown_cost_has_no_target_price(self, tiny_book: Book) -> None:
        """No price is made up for an Aviation."""
        found = price_for(tiny_book.drinks["Aviation"], tiny_book)
        assert (found.exact, found.price, found.pour_cost) == (None, None, None)

    @given(PRICED, st.decimals("0.05", "0.9", places=2))
    def test_the_price_never_misses_the_target(self, name: str, target: Decimal) -> None:
        """Whatever the target, the rounded price brings the pour cost to it or under it, by less than a step."""
        found = price_for(BOOK.drinks[name], BOOK, target)
        assert found.price is not None
        assert found.exact is not None
        assert found.pour_cost is not None
        assert found.pour_cost <= target + Decimal("1e-6")
        assert found.price.m_as("money") - found.exact.m_as("money") < BOOK.house.price_step.m_as("money")


class TestPackPrice:
    """A price by the litre, the kilo or the piece."""

    @pytest.mark.parametrize(
        ("ingredient", "unit_price", "unit", "pack"),
        [
            ("gin", "40.00", "liter", "30.00"),
            ("white sugar", "2.00", "kilogram", "2.00"),
            ("lime juice", "0.60", "piece", "0.60"),
            ("egg white", "0.50", "piece", "6.00"),
        ],
    )
    def test_a_price_by_the_litre_is_a_price_by_the_pack(
        self, ingredient: str, unit_price: str, unit: str, pack: str, tiny_book: Book
    ) -> None:
        """Forty a litre is thirty a bottle."""
        assert pack_price(ingredient, money(unit_price) / quantity(1, unit), tiny_book) == money(pack)

    def test_a_unit_it_is_not_bought_by_is_refused(self, tiny_book: Book) -> None:
        """Gin is not sold by the kilo."""
        with pytest.raises(ValueError, match="not bought that way"):
            pack_price("gin", money("40.00") / quantity(1, "kilogram"), tiny_book)
