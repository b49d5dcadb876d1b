"""What a guest with an allergy is told."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import get_args

import pytest

from recipes import safety
from recipes.model import Book, Drink, HouseRecipe, Ingredient, Pour, Role
from recipes.safety import Finding, Hazard
from recipes.schema import Allergen
from recipes.units import Amount, Unit, quantity
from tests.made_up import the_book


def pour(ingredient: str, role: Role = Role.BASE) -> Pour:
    """Two ounces of something."""
    return Pour(ingredient, Amount(Decimal(2), Unit.OUNCE), role)


@pytest.fixture
def book(tiny_book: Book) -> Book:
    """A shelf where one thing holds almonds, one is unknown, and a cordial is made of both kinds."""
    more = [
        Ingredient("almond milk", Role.DAIRY, allergens=frozenset({"nuts"})),
        Ingredient("plain water", Role.LENGTHENER, allergens=frozenset()),
        Ingredient("cellar bitters", Role.BITTERS),
        Ingredient("whole egg", Role.EGG, allergens=frozenset({"egg"}), caution="Keep it cold."),
        Ingredient(
            "almond cordial",
            Role.SWEETENER,
            made=HouseRecipe((pour("almond milk"), pour("plain water")), quantity(500, "milliliter"), ()),
        ),
        Ingredient(
            "secret cordial",
            Role.SWEETENER,
            made=HouseRecipe((pour("cellar bitters"), pour("plain water")), quantity(500, "milliliter"), ()),
        ),
    ]
    return replace(tiny_book, ingredients={**tiny_book.ingredients, **{i.name: i for i in more}})


def drink_of(book: Book, *names: str) -> Drink:
    """A drink of just these."""
    some = next(iter(book.drinks.values()))
    return replace(some, name="Test", pours=tuple(pour(n) for n in names), garnish=())


class TestFromAnimals:
    """'Is it vegan?'"""

    @pytest.mark.parametrize(
        ("names", "finding", "holders"),
        [
            (["whole egg"], Finding.YES, ("whole egg",)),
            (["honey water"], Finding.YES, ("honey",)),
            (["plain water"], Finding.NO, ()),
            (["cellar bitters", "plain water"], Finding.UNKNOWN, ()),
            (["cellar bitters", "whole egg"], Finding.YES, ("whole egg",)),
            (["almond milk"], Finding.UNKNOWN, ()),
        ],
        ids=["egg", "honey in a syrup", "marked", "an unread label", "known in spite of it", "what stands in for milk"],
    )
    def test_only_what_the_book_tells(
        self, names: list[str], finding: Finding, holders: tuple[str, ...], book: Book
    ) -> None:
        """By the mark or by an allergen from animals, through house recipes; silence is unknown, never yes."""
        marked = {
            "plain water": replace(book.ingredients["plain water"], vegan=True),
            "honey": Ingredient("honey", Role.SWEETENER, allergens=frozenset(), vegan=False),
            "honey water": Ingredient(
                "honey water",
                Role.SWEETENER,
                made=HouseRecipe((pour("honey"), pour("plain water")), quantity(500, "milliliter"), ()),
            ),
        }
        verdict = safety.from_animals(names, replace(book, ingredients={**book.ingredients, **marked}))
        assert (verdict.finding, verdict.holders) == (finding, holders)

    def test_no_bought_bottle_of_the_shipped_book_is_called_vegan(self) -> None:
        """Labels differ: only what the house presses, picks or draws itself is marked as free of animals."""
        marked = {i.name for i in the_book().ingredients.values() if i.vegan}
        assert not marked & {i.name for i in the_book().ingredients.values() if i.abv and i.abv.value.magnitude > 0}

    def test_whatever_is_of_animals_in_the_shipped_book_is_told(self) -> None:
        """Eggs, cream, milk, honey and the sauce with anchovies."""
        found = {n for n in the_book().ingredients if safety.from_animals([n], the_book()).finding is Finding.YES}
        bought = {
            "egg white",
            "whole egg",
            "egg yolk",
            "heavy cream",
            "whole milk",
            "honey",
            "worcestershire-style sauce",
        }
        assert bought <= found
        assert found - bought == {"honey syrup", "pilot boat punch mix"}

    def test_the_drinks_agree_with_each_by_itself(self) -> None:
        """The quick list of the whole book, and one drink at a time."""
        book = the_book()
        for drink, verdict in safety.drinks_by_content(safety.VEGAN, book):
            alone = safety.from_animals(safety.names_in(drink), book)
            assert verdict.finding is alone.finding, drink.name


class TestContainsAllergen:
    """'Is there nuts in it?'"""

    def test_yes_names_what_holds_it_through_a_house_recipe(self, book: Book) -> None:
        """Almond milk inside a cordial is a yes, and the almond milk is named."""
        verdict = safety.contains_allergen(["almond cordial"], "nuts", book)
        assert (verdict.finding, verdict.holders) == (Finding.YES, ("almond milk",))

    def test_a_missing_entry_is_unknown_never_no(self, book: Book) -> None:
        """Bitters with no allergens written down make the answer unknown, even inside a house recipe."""
        verdict = safety.contains_allergen(["plain water", "secret cordial"], "nuts", book)
        assert (verdict.finding, verdict.unknown) == (Finding.UNKNOWN, ("cellar bitters",))

    def test_no_needs_every_part_written_down(self, book: Book) -> None:
        """No, by our data, only when nothing is missing."""
        assert safety.contains_allergen(["plain water"], "nuts", book).finding is Finding.NO

    def test_yes_wins_over_unknown(self, book: Book) -> None:
        """One known holder is enough for a yes."""
        assert safety.contains_allergen(["cellar bitters", "almond milk"], "nuts", book).finding is Finding.YES

    @pytest.mark.parametrize("word", sorted(safety.ALLERGENS))
    def test_every_allergen_of_the_law_can_be_asked_for(self, book: Book, word: str) -> None:
        """Each name of the EU 14 and the US 9 is understood and covers itself."""
        assert word in safety.ASKED_FOR[word]
        assert safety.contains_allergen(["cellar bitters"], word, book).finding is Finding.UNKNOWN


def test_the_book_can_write_down_every_allergen_of_the_law_and_no_other() -> None:
    """What the files accept is what can be asked for."""
    assert set(get_args(Allergen)) == safety.ALLERGENS


class TestDrinksByContent:
    """'Which drinks have nuts?'"""

    @pytest.mark.parametrize("asked", ["nuts", "egg", "milk", "sulphites", "gluten"])
    def test_each_drink_is_told_as_it_would_be_by_itself(self, asked: str) -> None:
        """Every drink of the real book, one by one and all at once."""
        book = the_book()
        found = {drink.name: verdict.finding for drink, verdict in safety.drinks_by_content(asked, book)}
        assert found == {
            drink.name: safety.contains_allergen(safety.names_in(drink), asked, book).finding
            for drink in book.drinks.values()
        }

    def test_alcohol_as_well(self) -> None:
        """The same of strength."""
        book = the_book()
        found = {drink.name: verdict.finding for drink, verdict in safety.drinks_by_content("alcohol", book)}
        assert found == {
            drink.name: safety.contains_alcohol(safety.names_in(drink), book).finding for drink in book.drinks.values()
        }


class TestContainsIngredient:
    """'Is there almond milk in it?'"""

    def test_it_is_found_through_a_house_recipe(self, book: Book) -> None:
        """What brings it in is named."""
        verdict = safety.contains_ingredient(["plain water", "almond cordial"], "almond milk", book)
        assert (verdict.finding, verdict.holders) == (Finding.YES, ("almond cordial",))

    def test_it_is_not_there(self, book: Book) -> None:
        """A recipe without it is a no."""
        assert safety.contains_ingredient(["plain water"], "almond milk", book).finding is Finding.NO

    def test_a_food_with_allergens_may_be_in_what_nobody_read_the_label_of(self, book: Book) -> None:
        """Almond milk in a bottle of unknown allergens is unknown; plain water in it is not asked for an allergy."""
        verdict = safety.contains_ingredient(["cellar bitters"], "almond milk", book)
        assert (verdict.finding, verdict.unknown) == (Finding.UNKNOWN, ("cellar bitters",))
        assert safety.contains_ingredient(["cellar bitters"], "plain water", book).finding is Finding.NO


class TestContainsAlcohol:
    """'Is there alcohol in it?'"""

    def test_unknown_strength_is_unknown(self, book: Book) -> None:
        """Bitters without a strength may hold alcohol: unknown."""
        assert safety.contains_alcohol(["cellar bitters"], book).finding is Finding.UNKNOWN

    def test_fresh_garnish_has_none(self, book: Book) -> None:
        """A lime wheel needs no strength in the book to be without alcohol."""
        assert safety.contains_alcohol(["lime wheel"], book).finding is Finding.NO

    def test_what_comes_in_a_jar_may_lie_in_spirit(self, book: Book) -> None:
        """A cherry whose label nobody read: unknown."""
        jar = replace(book.ingredients["cherry"], allergens=None)
        with_jar = replace(book, ingredients={**book.ingredients, jar.name: jar})
        assert safety.contains_alcohol(["cherry"], with_jar).finding is Finding.UNKNOWN


class TestDrinkCautions:
    """What is said with a drink unasked."""

    def test_raw_egg_comes_first(self, book: Book) -> None:
        """Egg is raw egg, and its allergen is named as well."""
        kinds = [c.hazard for c in safety.drink_cautions(drink_of(book, "almond milk", "whole egg"), book)]
        assert kinds == [Hazard.RAW_EGG, Hazard.ALLERGENS]

    def test_unknown_allergens_are_named(self, book: Book) -> None:
        """The guest hears which bottle to ask about."""
        caution = safety.drink_cautions(drink_of(book, "cellar bitters"), book)[0]
        assert (caution.hazard, caution.names) == (Hazard.UNKNOWN_ALLERGENS, ("cellar bitters",))
