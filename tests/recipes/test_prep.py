"""What the afternoon's prep comes to."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.model import Book
from recipes.prep import Sheet, Stage, prep, sold_mix
from recipes.stocktake import OnHand
from recipes.units import Amount, Unit, quantity

HUNDRED = Decimal(100)
LITRE = OnHand(ready=quantity(1000, "milliliter"))


@pytest.fixture
def book(tiny_book: Book) -> Book:
    """The small book with no waste, so that sums can be done by hand."""
    return replace(tiny_book, house=replace(tiny_book.house, waste=Decimal(0)))


def order(sheet: Sheet) -> list[str]:
    """The names of what is prepared, in order."""
    return [task.ingredient.name for task in sheet.tasks]


class TestPrep:
    """'Prep for tonight.'"""

    def test_fruit_is_counted_by_what_one_yields(self, book: Book) -> None:
        """100 Daiquiris need 75 oz of lime juice: 2,218 mL, which is 83 limes at 27 mL each."""
        juice = next(t for t in prep(book, {"Daiquiri": Decimal(1)}, HUNDRED).tasks if t.stage is Stage.JUICE)
        assert (juice.make.m_as("milliliter").quantize(Decimal(1)), juice.packs) == (Decimal(2218), Decimal(83))

    def test_a_cordial_comes_with_its_own_ingredients_made_first(self, book: Book) -> None:
        """The cordial of the Gimlets needs syrup and juice, and both come before it."""
        assert order(prep(book, {"Gimlet": Decimal(1)}, HUNDRED)) == [
            "sugar syrup",
            "lime juice",
            "lime cordial",
            "lime wheel",
        ]

    def test_what_is_on_hand_is_taken_off(self, book: Book) -> None:
        """With a litre of juice on hand, a litre less is pressed."""
        sheet = prep(book, {"Daiquiri": Decimal(1)}, HUNDRED, on_hand={"lime juice": LITRE})
        juice = next(t for t in sheet.tasks if t.stage is Stage.JUICE)
        assert juice.need - juice.make == juice.on_hand == quantity(1000, "milliliter")

    def test_nothing_is_made_when_there_is_enough(self, book: Book) -> None:
        """Enough syrup on hand leaves only the juice to do, and says that there is enough."""
        hand = {"sugar syrup": OnHand(ready=quantity(5000, "milliliter"))}
        sheet = prep(book, {"Daiquiri": Decimal(1)}, HUNDRED, on_hand=hand)
        assert (order(sheet), [task.ingredient.name for task in sheet.enough]) == (["lime juice"], ["sugar syrup"])

    def test_what_is_not_made_takes_nothing(self, book: Book) -> None:
        """With enough cordial there is no syrup and no juice to make for it."""
        hand = {"lime cordial": OnHand(ready=quantity(10_000, "milliliter"))}
        assert order(prep(book, {"Gimlet": Decimal(1)}, HUNDRED, on_hand=hand)) == ["lime wheel"]

    def test_fruit_in_the_house_is_still_to_be_pressed(self, book: Book) -> None:
        """Twelve limes take no juice off what is to be pressed; they are told beside the 83 that it takes."""
        hand = {"lime juice": OnHand(fruit=Decimal(12))}
        sheet = prep(book, {"Daiquiri": Decimal(1)}, HUNDRED, on_hand=hand)
        juice = next(t for t in sheet.tasks if t.stage is Stage.JUICE)
        assert (juice.packs, juice.fruit, juice.on_hand) == (Decimal(83), Decimal(12), None)

    def test_what_was_counted_in_another_measure_is_named_not_taken_off(self, book: Book) -> None:
        """A kilo of juice, with no density to tell how much that pours."""
        hand = {"lime juice": OnHand(ready=quantity(1000, "gram"))}
        sheet = prep(book, {"Daiquiri": Decimal(1)}, HUNDRED, on_hand=hand)
        juice = next(t for t in sheet.tasks if t.stage is Stage.JUICE)
        assert (sheet.unclear, juice.make) == (("lime juice",), juice.need)

    def test_a_par_is_the_least_prepared(self, book: Book) -> None:
        """A par of three litres of juice is kept on a quiet night too."""
        lime = replace(book.ingredients["lime juice"], par=quantity(3000, "milliliter"))
        with_par = replace(book, ingredients={**book.ingredients, lime.name: lime})
        juice = next(t for t in prep(with_par, {"Daiquiri": Decimal(1)}, Decimal(4)).tasks if t.stage is Stage.JUICE)
        assert juice.make == quantity(3000, "milliliter")
        assert juice.is_by_par

    def test_garnishes_are_whole_and_packs_are_packs(self, book: Book) -> None:
        """A fifth of a wheel is a wheel, from one lime; 110 cherries take two jars of a hundred."""
        mix = {"Gimlet": Decimal("0.2"), "Aviation": Decimal(110)}
        found = {t.ingredient.name: t for t in prep(book, mix, Decimal("110.2")).tasks if t.stage is Stage.GARNISH}
        assert {name: (task.make, task.packs) for name, task in found.items()} == {
            "lime wheel": (quantity(1, "piece"), Decimal(1)),
            "cherry": (quantity(110, "piece"), Decimal(2)),
        }

    def test_shares_of_the_mix_are_scaled_to_one(self, book: Book) -> None:
        """Shares of 3 and 1 are three quarters and one quarter of the drinks."""
        mix = {"Daiquiri": Decimal(3), "Manhattan": Decimal(1)}
        juice = next(t for t in prep(book, mix, HUNDRED).tasks if t.stage is Stage.JUICE)
        only = next(t for t in prep(book, {"Daiquiri": Decimal(1)}, Decimal(75)).tasks if t.stage is Stage.JUICE)
        assert juice.make == only.make

    def test_last_sales_are_the_mix_of_what_sold(self, book: Book) -> None:
        """Three Daiquiris to one Manhattan; what did not sell, or is not on the list, has no share."""
        sold = {"Daiquiri": 30, "Manhattan": 10, "Gimlet": 0}
        assert sold_mix(book.drinks.values(), sold) == {"Daiquiri": Decimal(30), "Manhattan": Decimal(10)}
        assert sold_mix(book.drinks.values(), {}) == {}

    def test_an_empty_mix_is_refused(self, book: Book) -> None:
        """No drinks, no prep."""
        with pytest.raises(ValueError, match="mix"):
            prep(book, {}, HUNDRED)

    def test_what_cannot_be_added_up_is_named(self, book: Book) -> None:
        """Juice that is poured here and weighed there, with no density: count it by hand."""
        cordial = book.ingredients["lime cordial"]
        assert cordial.made is not None
        weighed = replace(cordial.made.pours[1], amount=Amount(Decimal(250), Unit.GRAM))
        made = replace(cordial.made, pours=(cordial.made.pours[0], weighed))
        odd = replace(book, ingredients={**book.ingredients, cordial.name: replace(cordial, made=made)})
        mix = {"Daiquiri": Decimal(1), "Gimlet": Decimal(1)}
        assert prep(odd, mix, HUNDRED).unclear == ("lime juice",)
