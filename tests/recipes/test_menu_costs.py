"""The costs of a whole book: the menu ranked, a price changed across it, and each worked out once."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from recipes.costing import cost
from recipes.menu_costs import costs_of, menu, what_if
from recipes.model import Book
from recipes.units import Quantity, quantity


def money(value: str) -> Quantity:
    """A sum of money."""
    return quantity(value, "money")


def cents(value: Quantity | None) -> Decimal | None:
    """A sum rounded to a hundredth of a cent."""
    return None if value is None else round(value.m_as("money"), 4)


class TestWhatIf:
    """A changed price across the menu."""

    def test_gin_at_thirty_moves_every_gin_drink_and_no_other(self, tiny_book: Book) -> None:
        """Two ounces rise by 2 x 29.57/750 x 6.00 and waste: 50 cents; an ounce and a half by 37."""
        found = what_if(tiny_book, "gin", money("30.00"))
        moved = {shift.after.drink.name: cents(shift.change) for shift in found.shifts}
        assert moved == {
            "Gimlet": Decimal("0.4968"),
            "Aviation": Decimal("0.4968"),
            "Southside": Decimal("0.4968"),
            "Gin Rickey": Decimal("0.4968"),
            "Clover Club": Decimal("0.3726"),
        }
        assert (found.old, found.new) == (money("24.00"), money("30.00"))

    def test_a_price_reaches_through_house_made_things(self, tiny_book: Book) -> None:
        """Dearer limes move the Gimlet by its cordial and its wheel stays."""
        found = what_if(tiny_book, "lime juice", money("0.90"))
        assert "Gimlet" in {shift.after.drink.name for shift in found.shifts}

    def test_what_is_made_in_the_house_has_no_pack_price(self, tiny_book: Book) -> None:
        """Its parts have."""
        with pytest.raises(KeyError, match="sugar syrup"):
            what_if(tiny_book, "sugar syrup", money("3.00"))

    @pytest.mark.parametrize("ingredient", ["gin", "lime juice", "white sugar", "mint", "lime wheel", "water"])
    def test_a_drink_that_moves_costs_what_it_would_cost_anew(self, ingredient: str, tiny_book: Book) -> None:
        """Only the lines that change are worked out again; the sum is as if all were."""
        changed = tiny_book.with_prices({ingredient: money("7.77")})
        afters = {shift.after.drink.name: shift.after for shift in what_if(tiny_book, ingredient, money("7.77")).shifts}
        anew = {name: cost(drink, changed) for name, drink in tiny_book.drinks.items()}
        before = {name: cost(drink, tiny_book) for name, drink in tiny_book.drinks.items()}
        assert afters == {name: after for name, after in anew.items() if after.known_money != before[name].known_money}


class TestMenu:
    """All drinks side by side."""

    def test_the_dearest_pour_cost_comes_first_and_the_unknown_stand_apart(self, tiny_book: Book) -> None:
        """Four can be told, two cannot, one has no price to tell against."""
        found = menu(tiny_book)
        assert [c.drink.name for c in found.costings] == ["Manhattan", "Southside", "Daiquiri", "Gimlet"]
        assert [c.drink.name for c in found.unknown] == ["Clover Club", "Aviation"]

    @pytest.mark.parametrize(
        ("over", "under", "names"),
        [
            ("0.20", None, ["Manhattan", "Southside"]),
            (None, "0.20", ["Daiquiri", "Gimlet"]),
            ("0.19", "0.21", ["Southside", "Daiquiri"]),
            ("0.50", None, []),
        ],
    )
    def test_over_and_under_narrow_it(
        self, over: str | None, under: str | None, names: list[str], tiny_book: Book
    ) -> None:
        """Only the drinks within; the unknown are told in any case."""
        found = menu(tiny_book, Decimal(over) if over else None, Decimal(under) if under else None)
        assert [c.drink.name for c in found.costings] == names
        assert len(found.unknown) == 2

    def test_a_book_without_priced_drinks_has_an_empty_menu(self, tiny_book: Book) -> None:
        """Nothing to list, nothing unknown."""
        bare = replace(tiny_book, drinks=MappingProxyType({"Gin Rickey": tiny_book.drinks["Gin Rickey"]}))
        assert (menu(bare).costings, menu(bare).unknown) == ((), ())


class TestKept:
    """What is worked out stays with its book, and with no other."""

    def test_a_book_is_costed_once(self, tiny_book: Book) -> None:
        """The second question finds the first one's work."""
        assert costs_of(tiny_book).costings is costs_of(tiny_book).costings

    def test_a_book_with_another_price_is_another_book(self, tiny_book: Book) -> None:
        """Nothing kept for the old prices is taken for the new ones."""
        before = menu(tiny_book)
        dearer = tiny_book.with_prices({"gin": money("60.00")})
        assert menu(dearer) != before
        assert menu(dearer).costings[0].drink.name == "Southside"
        assert menu(tiny_book) == before

    def test_what_is_kept_does_not_make_books_different(self, tiny_book: Book) -> None:
        """A book that was asked equals one that was not."""
        fresh = replace(tiny_book)
        menu(tiny_book)
        assert fresh == tiny_book
        assert "worked_out" not in repr(tiny_book)
