"""What an ingredient holds: by its own numbers, or by its recipe."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.composition import Compositions
from recipes.ethanol import ETHANOL_G_ML
from recipes.loader import load_book
from recipes.mixing import Gap, Lack, Liquid
from recipes.model import Book, HouseRecipe, Ingredient, Role
from recipes.units import quantity
from tests.conftest import pours
from tests.known_book import make_known_book, sourced, with_ingredient


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


def one_ml(name: str, book: Book) -> Liquid:
    """One millilitre of an ingredient."""
    return Compositions(book).per_ml(name)


def lacks(liquid: Liquid) -> set[tuple[str, str]]:
    """What a liquid lacks, and whose it is."""
    return {(gap.ingredient, gap.lack.value) for gap in liquid.gaps}


def without_numbers(ingredient: Ingredient) -> Ingredient:
    """The ingredient, stripped of what the book says it holds."""
    return replace(ingredient, abv=None, sugar=None, acid=None, density=None, bitterness=None)


class TestOwnNumbers:
    """An ingredient with its own numbers."""

    def test_a_spirit_is_ethanol_and_water(self, book: Book) -> None:
        """Forty percent by volume, weighing what the book says."""
        gin = one_ml("gin", book)
        assert abs(gin.strength - Decimal("0.4")) < Decimal("1e-9")
        assert gin.mass_g == Decimal("0.948")
        assert gin.gaps == frozenset()

    def test_without_a_density_it_is_reckoned(self, book: Book) -> None:
        """A 40 % spirit weighs 0.948 g/mL by the alcoholometric tables."""
        gin = replace(book.ingredients["gin"], density=None)
        assert abs(one_ml("gin", with_ingredient(book, gin)).mass_g - Decimal("0.948045")) < Decimal("0.00001")

    @pytest.mark.parametrize(
        ("abv", "sugar", "density", "source"),
        [
            ("36", "473", "1.136", "USDA 14034, creme de menthe 72 proof"),
            ("26.5", "546", "1.177", "USDA 14414, coffee liqueur 53 proof"),
        ],
    )
    def test_a_liqueur_weighs_what_usda_lists(
        self, abv: str, sugar: str, density: str, source: str, book: Book
    ) -> None:
        """Ethanol, water and sugar together come within 1 % of the weighed liqueurs."""
        assert source
        liqueur = replace(
            book.ingredients["gin"],
            abv=sourced(abv, "percent"),
            sugar=sourced(sugar, "gram/liter"),
            density=None,
        )
        assert abs(one_ml("gin", with_ingredient(book, liqueur)).mass_g / Decimal(density) - 1) < Decimal("0.01")

    def test_what_the_book_leaves_out_is_a_gap(self, book: Book) -> None:
        """The violet liqueur is unknown in everything, by name."""
        assert lacks(one_ml("violet liqueur", book)) == {
            ("violet liqueur", what) for what in ("abv", "sugar", "acid", "bitterness", "density")
        }

    def test_one_missing_number_is_one_gap(self, book: Book) -> None:
        """A gin whose bitterness nobody tasted is still a gin of forty percent."""
        gin = replace(book.ingredients["gin"], bitterness=None)
        assert lacks(one_ml("gin", with_ingredient(book, gin))) == {("gin", "bitterness")}

    def test_an_unknown_name_is_a_key_error(self, book: Book) -> None:
        """The loader keeps such names out."""
        with pytest.raises(KeyError):
            one_ml("absinthe", book)


class TestMadeInTheHouse:
    """An ingredient with a recipe of its own."""

    def test_a_cordial_holds_what_its_recipe_brings(self, book: Book) -> None:
        """Half a litre of syrup and a quarter of lime in 750 mL: 410 g/L sugar and some, 2 % acid."""
        cordial = one_ml("lime cordial", book)
        assert cordial.gaps == frozenset()
        assert abs(cordial.sugar_g * 1000 - (500 * Decimal("0.615") + 250 * Decimal("0.016")) / Decimal("0.75")) < 1
        assert abs(cordial.acid_g * 100 - 2) < Decimal("0.001")
        assert cordial.strength == 0

    def test_its_own_numbers_come_before_its_recipe(self, book: Book) -> None:
        """A measured acidity is not overruled."""
        cordial = replace(book.ingredients["lime cordial"], acid=sourced("3", "gram/deciliter"))
        found = one_ml("lime cordial", with_ingredient(book, cordial))
        assert found.acid_g == Decimal("0.03")
        assert found.sugar_g > 0

    def test_recipes_within_recipes_are_followed(self, book: Book) -> None:
        """Syrup in a cordial, both without numbers of their own."""
        book = with_ingredient(book, without_numbers(book.ingredients["sugar syrup"]))
        by_recipe = one_ml("sugar syrup", book)
        assert abs(by_recipe.sugar_g * 1000 - 625) < Decimal("0.001")  # 500 g in 800 mL
        assert one_ml("lime cordial", book).sugar_g > Decimal("0.4")

    def test_an_infusion_keeps_its_spirit(self, book: Book) -> None:
        """Herbs strained out take no strength: 700 mL of rum that make 650 mL hold all its ethanol."""
        made = HouseRecipe(pours("700 ml white rum", "20 leaf mint"), quantity(650, "milliliter"), ("Steep.",))
        infusion = Ingredient("mint rum", Role.BASE, made=made)
        found = one_ml("mint rum", with_ingredient(book, infusion))
        assert abs(found.ethanol_g * 650 - 700 * Decimal("0.4") * ETHANOL_G_ML) < Decimal("0.0001")

    def test_what_a_part_lacks_the_whole_lacks_by_the_part_s_name(self, book: Book) -> None:
        """The riddle is the liqueur inside, so that is the label to read."""
        made = HouseRecipe(pours("100 ml violet liqueur", "100 ml gin"), quantity(200, "milliliter"), ("Stir.",))
        mixed = Ingredient("violet gin", Role.LIQUEUR, made=made, sugar=sourced("100", "gram/liter"))
        found = lacks(one_ml("violet gin", with_ingredient(book, mixed)))
        assert ("violet liqueur", "abv") in found
        assert ("violet liqueur", "sugar") not in found
        assert ("violet gin", "density") in found

    def test_a_piece_of_unknown_size_leaves_a_recipe_unknown(self, book: Book) -> None:
        """How much juice three unmeasured fruits give, nobody knows."""
        made = HouseRecipe(pours("3 piece gin", "100 ml sugar syrup"), quantity(200, "milliliter"), ("Stir.",))
        mixed = Ingredient("odd syrup", Role.SWEETENER, made=made)
        found = one_ml("odd syrup", with_ingredient(book, mixed))
        assert Gap("gin", Lack.AMOUNT) in found.gaps
        assert found.sugar_g == 0


@pytest.mark.parametrize("name", ["simple syrup", "rich syrup"])
def test_the_shipped_syrups_hold_what_their_recipes_bring(name: str) -> None:
    """The written sugar of the house's syrups agrees with their recipes within 2 %."""
    book = load_book()
    written = book.ingredients[name].sugar
    assert written is not None
    by_recipe = one_ml(name, with_ingredient(book, without_numbers(book.ingredients[name]))).sugar_g * 1000
    assert abs(by_recipe / written.value.m_as("gram/liter") - 1) < Decimal("0.02")


def test_a_pour_brings_in_proportion(book: Book) -> None:
    """Twice the pour, twice of everything; and what is unknown is named."""
    shelf = Compositions(book)
    one, two = (shelf.of(pours(f"{number} oz gin")[0]) for number in (1, 2))
    assert two == one.times(Decimal(2))
    assert shelf.per_ml("gin") is shelf.per_ml("gin")
    assert shelf.of(pours("8 leaf mint")[0]) == Liquid()
    assert shelf.of(pours("1 piece gin")[0]).gaps == frozenset({Gap("gin", Lack.AMOUNT)})
    assert shelf.of(pours("10 g white sugar")[0]) == Liquid(sugar_g=Decimal(10), mass_g=Decimal(10))
