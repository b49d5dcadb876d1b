"""The drinks of a book come in the order of what was asked, and what nobody can tell is in no order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from types import MappingProxyType

import pytest

from recipes.balance import Balance, balance
from recipes.costing import cost
from recipes.families import drinks_in
from recipes.model import Book, Drink
from recipes.ranking import Measure, measure_of, ranking
from recipes.units import Quantity
from tests.known_book import make_known_book
from tests.made_up import the_book

BOOK = the_book()
SLOWLY: dict[Measure, Callable[[Balance], Quantity | Decimal | None]] = {
    Measure.STRENGTH: lambda found: found.abv,
    Measure.ALCOHOL: lambda found: found.alcohol,
    Measure.SUGAR: lambda found: found.sugar,
    Measure.ACID: lambda found: found.acid,
    Measure.BITTERNESS: lambda found: found.bitterness,
}


def names(drinks: tuple[Drink, ...]) -> list[str]:
    """What they are called."""
    return [drink.name for drink in drinks]


def number(value: Quantity | Decimal | None) -> float:
    """A known value as a plain number."""
    assert value is not None
    return float(value if isinstance(value, Decimal) else value.magnitude)


class TestOrder:
    """'The strongest drink', 'the cheapest to make'."""

    @pytest.mark.parametrize("measure", SLOWLY)
    @pytest.mark.parametrize("most", [True, False], ids=["most", "least"])
    def test_it_is_the_order_of_the_balances(self, measure: Measure, most: bool) -> None:
        """As if each drink of the book were weighed up by itself, exactly; the fast numbers err by a millionth."""
        values = [number(SLOWLY[measure](balance(drink, BOOK))) for drink in ranking(measure, BOOK, most=most).drinks]
        assert len(values) == len(BOOK.drinks)
        steps = [after - before for before, after in pairwise(values)]
        assert all(step <= 1e-4 if most else step >= -1e-4 for step in steps)

    @pytest.mark.parametrize("measure", [Measure.COST, Measure.POUR_COST, Measure.MARGIN, Measure.PRICE])
    def test_money_is_in_the_order_of_the_costings(self, measure: Measure) -> None:
        """Dearest first, drink by drink as they are costed one at a time."""
        found = {name: cost(drink, BOOK) for name, drink in BOOK.drinks.items()}
        by = {
            Measure.COST: lambda name: number(found[name].total),
            Measure.POUR_COST: lambda name: number(found[name].pour_cost),
            Measure.MARGIN: lambda name: number(found[name].margin),
            Measure.PRICE: lambda name: number(found[name].price),
        }[measure]
        values = [by(drink.name) for drink in ranking(measure, BOOK).drinks]
        assert values == sorted(values, reverse=True)
        assert len(values) == len(BOOK.drinks)

    def test_alike_ones_keep_the_books_order(self) -> None:
        """All that cost the same stand as in the book, dearest or cheapest first."""
        for most in (True, False):
            ranked = [drink for drink in ranking(Measure.PRICE, BOOK, most=most).drinks if drink.price is not None]
            same = [drink.name for drink in ranked if drink.price == BOOK.drinks["Daiquiri"].price]
            assert len(same) > 1
            assert same == [drink.name for drink in BOOK.drinks.values() if drink.name in same]

    @pytest.mark.parametrize("measure", Measure)
    def test_what_is_shown_is_what_it_was_put_in_order_by(self, measure: Measure) -> None:
        """The exact measure of the first is the greatest of all."""
        found = [measure_of(drink, measure, BOOK) for drink in ranking(measure, BOOK).drinks]
        assert number(found[0]) == pytest.approx(max(map(number, found)), rel=1e-5)

    def test_among_some(self) -> None:
        """Of the daisies the strongest is a daisy, and the rest are left out."""
        daisies = drinks_in("daisy", BOOK)
        assert sorted(names(ranking(Measure.STRENGTH, BOOK, among=daisies).drinks)) == sorted(names(daisies))


class TestUnknown:
    """What the book does not tell is not taken for none."""

    @pytest.mark.parametrize("measure", SLOWLY)
    @pytest.mark.parametrize("most", [True, False], ids=["most", "least"])
    def test_a_drink_of_unknown_make_is_neither_first_nor_last(self, measure: Measure, most: bool) -> None:
        """The violet liqueur of the Aviation is a riddle, so nobody calls that the weakest."""
        found = ranking(measure, make_known_book(), most=most)
        assert "Aviation" in names(found.unknown)
        assert "Aviation" not in names(found.drinks)

    def test_without_a_price_the_cost_is_unknown(self, tiny_book: Book) -> None:
        """Neither violet liqueur nor raspberry syrup has one."""
        assert names(ranking(Measure.COST, tiny_book).unknown) == ["Clover Club", "Aviation"]

    def test_a_drink_that_is_not_on_the_menu_is_left_out_of_its_prices(self, tiny_book: Book) -> None:
        """The Gin Rickey has no menu price: neither the cheapest, nor unknown; its cost is known."""
        found = ranking(Measure.PRICE, tiny_book)
        assert "Gin Rickey" not in names(found.drinks) + names(found.unknown)
        assert "Gin Rickey" in names(ranking(Measure.COST, tiny_book).drinks)


class TestFamily:
    """'The strongest sour.'"""

    def test_a_branch_counts_with_the_family_it_grew_from(self) -> None:
        """A Margarita is a daisy, and so a sour; a Negroni is none."""
        sours = names(drinks_in("sour", BOOK))
        assert {"Daiquiri", "Margarita"} <= set(sours)
        assert "Negroni" not in sours

    def test_the_houses_own_are_placed_by_their_structure(self) -> None:
        """Nobody wrote down that the Copper Daisy is a daisy."""
        assert BOOK.drinks["Copper Daisy"].family is None
        assert "Copper Daisy" in names(drinks_in("daisy", BOOK))

    def test_another_price_gives_another_order(self, tiny_book: Book) -> None:
        """What is kept with a book is never read of another edition."""
        dearest = ranking(Measure.PRICE, tiny_book).drinks[0]
        cheap = replace(dearest, price=None)
        changed = replace(tiny_book, drinks=MappingProxyType(dict(tiny_book.drinks) | {cheap.name: cheap}))
        assert dearest.name not in names(ranking(Measure.PRICE, changed).drinks)
