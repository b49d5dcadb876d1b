"""What runs out, what that stops, and what can stand in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from recipes.loader import load_book
from recipes.model import Book, Ingredient, Role, Sourced
from recipes.stock import blocked, can_make, cannot_be_remade, stand_ins
from recipes.units import quantity


def names(found: tuple[object, ...]) -> list[str]:
    """The names of drinks or stand-ins, in order."""
    return [getattr(item, "name", None) or item.ingredient.name for item in found]  # type: ignore[attr-defined]


class TestBlocked:
    """'We're out of limes': what stops?"""

    def test_a_drink_that_pours_it_stops(self, tiny_book: Book) -> None:
        """Out of lime juice, every drink that pours it is named with what it lacks."""
        stopped = blocked(tiny_book, ["lime juice"])
        assert [b.drink.name for b in stopped] == ["Daiquiri", "Southside", "Gin Rickey"]
        assert {b.missing for b in stopped} == {("lime juice",)}

    def test_a_lost_garnish_alone_stops_nothing(self, tiny_book: Book) -> None:
        """Out of lime wheels, the Gimlet is marked as lacking its garnish only."""
        assert [b.garnish_only for b in blocked(tiny_book, ["lime wheel"])] == [True, True]

    def test_what_is_made_of_it_cannot_be_made_again(self, tiny_book: Book) -> None:
        """Out of sugar, the syrup and the cordial made of it cannot be made again."""
        assert cannot_be_remade(tiny_book, ["white sugar"]) == ("lime cordial", "sugar syrup")


class TestCanMake:
    """'What can I make with gin and no citrus?'"""

    def test_without_a_kind_looks_into_house_recipes(self, tiny_book: Book) -> None:
        """The Gimlet's cordial is made with lime juice, so it is no drink without citrus."""
        assert names(can_make(tiny_book, without=["citrus"])) == ["Manhattan"]

    def test_with_an_ingredient_and_without_a_role(self, tiny_book: Book) -> None:
        """Gin and no egg leaves out the Clover Club."""
        assert names(can_make(tiny_book, using=["gin"], without=["egg"])) == [
            "Gimlet",
            "Aviation",
            "Southside",
            "Gin Rickey",
        ]

    def test_without_a_thing_means_without_it_as_a_garnish_too(self, tiny_book: Book) -> None:
        """'No lime wheel' leaves out what wears one; 'no citrus' leaves out what pours some."""
        wearing = [drink.name for drink in tiny_book.drinks.values() if "lime wheel" in drink.garnish]
        assert wearing
        assert not set(wearing) & set(names(can_make(tiny_book, without=["lime wheel"])))

    def test_what_is_out_is_not_offered(self, tiny_book: Book) -> None:
        """Out of gin, only the rest is offered."""
        assert names(can_make(tiny_book, out=["gin"])) == ["Daiquiri", "Manhattan"]


class TestStandIns:
    """'What can I use instead?'"""

    @pytest.fixture
    def book(self, tiny_book: Book) -> Book:
        """The small book, where lemon stands in for lime, and a nut syrup for sugar syrup."""
        lime = replace(tiny_book.ingredients["lime juice"], stand_ins=("lemon juice",))
        nuts = Ingredient(
            "nut syrup",
            Role.SWEETENER,
            sugar=Sourced(quantity(600, "gram/liter"), "bar"),
            allergens=frozenset({"nuts"}),
        )
        return replace(tiny_book, ingredients={**tiny_book.ingredients, lime.name: lime, nuts.name: nuts})

    def test_the_books_own_come_first(self, book: Book) -> None:
        """Lemon for lime, because the book says so."""
        first = stand_ins("lime juice", book)[0]
        assert (first.ingredient.name, first.listed) == ("lemon juice", True)

    def test_without_a_thing_means_without_it_as_a_garnish_too(self, tiny_book: Book) -> None:
        """'No lime wheel' leaves out what wears one; 'no citrus' leaves out what pours some."""
        wearing = [drink.name for drink in tiny_book.drinks.values() if "lime wheel" in drink.garnish]
        assert wearing
        assert not set(wearing) & set(names(can_make(tiny_book, without=["lime wheel"])))

    def test_what_is_out_is_not_offered(self, book: Book) -> None:
        """With lemon out as well, it is not named."""
        assert "lemon juice" not in names(stand_ins("lime juice", book, out=["lemon juice"]))

    def test_what_is_made_of_it_cannot_stand_in_for_it(self, book: Book) -> None:
        """Lime cordial is made of sugar syrup, so it cannot replace it."""
        assert "lime cordial" not in names(stand_ins("sugar syrup", book))

    def test_allergens_that_come_in_are_named(self, book: Book) -> None:
        """A nut syrup brings nuts, and says so."""
        offer = next(s for s in stand_ins("sugar syrup", book) if s.ingredient.name == "nut syrup")
        assert offer.brings_allergens == ("nuts",)

    def test_a_yolk_is_no_egg_white(self) -> None:
        """Out of egg white, nothing else of the egg foams; a flip takes the yolk for the whole, as the book says."""
        book = load_book()
        assert stand_ins("egg white", book) == ()
        assert names(stand_ins("whole egg", book)) == ["egg yolk"]

    def test_a_change_from_unknown_is_unknown(self, book: Book) -> None:
        """The small book does not say how sweet its syrup is, so the change in sugar is unknown."""
        offer = next(s for s in stand_ins("sugar syrup", book) if s.ingredient.name == "nut syrup")
        assert offer.sugar_change is None
