"""The book that ships: what it holds, where its values come from, and that each drink can be poured and costed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from recipes.balance import balance
from recipes.composition import Compositions
from recipes.ethanol import ETHANOL_G_ML, grams_per_ml, mass_fraction
from recipes.loader import find_faults, load_book
from recipes.menu_costs import menu
from recipes.mixing import water_beside
from recipes.model import Book, Drink, Ingredient, Role, Sourced
from recipes.units import COUNTED, Unit
from recipes.washline import Fill

BOOK = load_book()
CLASSICS, HOUSE_DRINKS = BOOK.drinks_on("classics"), BOOK.drinks_on("fogbell")
MADE = tuple(ingredient for ingredient in BOOK.ingredients.values() if ingredient.made)
DRY_GOODS = {"herb", "salt", "garnish"}  # these flavour a drink, and are not measured into it
OUNCE_STEPS = 8  # ounces are written in eighths
CLASSICS_OF_NOTE = re.split(
    r",\s+",
    """Daiquiri, Gimlet, Margarita, Whiskey Sour, Pisco Sour, Sidecar, White Lady, Brandy Crusta, Gin Daisy,
Brandy Daisy, Clover Club, Pink Lady, Gin Fizz, Silver Fizz, Tom Collins, John Collins, Gin Rickey,
Whiskey Smash, Mint Julep, Southside, Bee's Knees, Aviation, Jack Rose, Ward Eight, Mary Pickford, Monkey Gland,
Army and Navy, Between the Sheets, Manhattan, Rob Roy, Martini, Martinez, Gibson, Old Fashioned,
Improved Whiskey Cocktail, Negroni, Americano, Boulevardier, Old Pal, Bamboo, Adonis, Sherry Cobbler,
Vieux Carre, Bronx, Hanky Panky, Bijou, Alexander, Brandy Alexander, Stinger, Moscow Mule, Horse's Neck,
Gin Buck, Whiskey Highball, Gin and Tonic, Cuba Libre, Brandy Flip, Sherry Flip, Eggnog, Planter's Punch,
Fish House Punch, Rum Swizzle, Champagne Cocktail, French 75, Wine Spritzer, Hot Toddy, Brandy Milk Punch,
Pink Gin, Bloody Mary, Stone Fence, Mojito""",
)
FOGBELL = re.split(
    r",\s+",
    """Tidewrack, Fogbell Sour, Lantern Room, Slack Water, Kelp and Copper, Ninth Bollard, Salt Ledger, Gannet's Rest,
Dry Dock, Pilot Boat Punch, Breakwater Fizz, Net Mender, Hawser Highball, Lamplighter's Daisy, Copper Daisy,
Bellrope Swizzle, Mooring Flip""",
)


def values(ingredient: Ingredient) -> Iterator[tuple[str, Sourced]]:
    """Every sourced value of an ingredient, by name."""
    for name in ("abv", "sugar", "acid", "density", "each"):
        value: Sourced | None = getattr(ingredient, name)
        if value is not None:
            yield name, value
    if ingredient.pack is not None:
        yield "usable", ingredient.pack.usable


def measured_parts(drink: Drink) -> list[Decimal]:
    """The millilitres of what is measured by jigger."""
    jigger = (Unit.OUNCE, Unit.MILLILITRE)
    return [BOOK.house.measures.physical(p.amount).m_as("milliliter") for p in drink.pours if p.amount.unit in jigger]


class TestWhatItHolds:
    """Enough of everything, and what was promised."""

    def test_the_book_has_no_fault(self) -> None:
        """It would not ship otherwise."""
        assert [str(fault) for fault in find_faults() if fault.severity == "fault"] == []

    def test_the_shelves_are_full(self) -> None:
        """At least 60 classics, 14 house drinks and 95 ingredients."""
        assert len(CLASSICS) >= 60
        assert len(HOUSE_DRINKS) >= 14
        assert len(BOOK.ingredients) >= 95

    def test_the_drinks_every_bar_knows_are_there(self) -> None:
        """None of the trade's usual classics is missing, nor any drink of the house."""
        assert set(CLASSICS_OF_NOTE) - {drink.name for drink in CLASSICS} == set()
        assert {drink.name for drink in HOUSE_DRINKS} == set(FOGBELL)

    @pytest.mark.parametrize("role", list(Role))
    def test_every_role_has_something_on_the_shelf(self, role: Role) -> None:
        """No slot of a formula is without an ingredient."""
        assert any(ingredient.role is role for ingredient in BOOK.ingredients.values())

    def test_the_house_makes_syrups_cordials_and_more(self) -> None:
        """At least a dozen things have a recipe of their own."""
        assert len(MADE) >= 12

    def test_one_drink_has_no_alcohol_and_one_holds_little(self) -> None:
        """Dry Dock has none by our data; Slack Water stays under 15 % in the glass."""
        dry, slack = (balance(BOOK.drinks[name], BOOK).abv for name in ("Dry Dock", "Slack Water"))
        assert dry is not None
        assert slack is not None
        assert dry.magnitude == 0
        assert slack.magnitude < 15


class TestDrinks:
    """Each drink as a bar would want it written."""

    @pytest.mark.parametrize("drink", CLASSICS, ids=lambda drink: drink.name)
    def test_a_classic_was_in_print_before_1950_and_has_its_family(self, drink: Drink) -> None:
        """The year of print, the family and the source are written down."""
        years = [int(year) for year in re.findall(r"\b1[6-9]\d\d\b", drink.first_print)]
        assert years
        assert max(years) < 1950
        assert drink.family in BOOK.families
        assert drink.source in BOOK.sources

    @pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
    def test_a_drink_is_complete(self, drink: Drink) -> None:
        """Steps in order, a price, and a line about its taste."""
        assert len(drink.steps) >= 3
        assert drink.price is not None
        assert drink.taste.endswith(".")
        assert all(step.endswith(".") for step in drink.steps)

    @pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
    def test_the_steps_reach_for_the_drink_s_own_glass(self, drink: Drink) -> None:
        """A glass named in the steps is the one that the drink is served in."""
        steps = " ".join(drink.steps).casefold()
        names = {name: glass.name for glass in BOOK.glasses.values() for name in (glass.name, *glass.spoken)}
        named = [name for name in names if name in steps]
        longest = [name for name in named if not any(name != other and name in other for other in named)]
        assert {names[name] for name in longest} <= {drink.glass}

    @pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
    def test_amounts_are_such_as_a_bar_writes(self, drink: Drink) -> None:
        """Ounces in eighths; millilitres in halves; everything else is counted in whole numbers."""
        for pour in drink.pours:
            steps = {Unit.OUNCE: OUNCE_STEPS, Unit.MILLILITRE: 2}.get(pour.amount.unit, 1)
            assert (pour.amount.number * steps) % 1 == 0, pour

    @pytest.mark.parametrize("drink", CLASSICS, ids=lambda drink: drink.name)
    def test_no_classic_has_four_equal_parts(self, drink: Drink) -> None:
        """Four equal parts is the house's own trick."""
        parts = measured_parts(drink)
        assert not (len(parts) == 4 and len(set(parts)) == 1)

    def test_the_house_has_a_drink_of_four_equal_parts(self) -> None:
        """Tidewrack."""
        parts = measured_parts(BOOK.drinks["Tidewrack"])
        assert (len(parts), len(set(parts))) == (4, 1)

    @pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
    def test_a_drink_can_be_weighed_up_and_fits_its_glass(self, drink: Drink) -> None:
        """Nothing measured into it is unknown, and it does not run over."""
        found = balance(drink, BOOK)
        assert found.unknown == ()
        assert found.wash is not None
        assert found.wash.fill is not Fill.OVER

    @pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
    def test_nothing_is_counted_that_has_no_size_to_count(self, drink: Drink) -> None:
        """What is poured by the piece is an egg, a sugar cube, a leaf or a slice."""
        counted = [p for p in drink.pours if p.amount.unit in COUNTED]
        roles = {BOOK.ingredients[p.ingredient].role for p in counted}
        assert roles <= {Role.EGG, Role.SWEETENER, Role.HERB, Role.GARNISH}

    def test_every_drink_has_a_known_cost_and_a_pour_cost_of_14_to_27_per_cent(self) -> None:
        """No price is missing; the menu earns its keep, and no drink is a trap for the guest or the house."""
        priced = menu(BOOK)
        assert priced.unknown == ()
        assert len(priced.costings) == len(BOOK.drinks)
        shares = [costing.pour_cost for costing in priced.costings if costing.pour_cost is not None]
        assert Decimal("0.14") < min(shares)
        assert max(shares) < Decimal("0.27")


class TestIngredients:
    """Each ingredient with what an answer may need of it."""

    @pytest.mark.parametrize("ingredient", BOOK.ingredients.values(), ids=lambda ingredient: ingredient.name)
    def test_every_value_names_a_source_of_the_book(self, ingredient: Ingredient) -> None:
        """Strength, sugar, acid, density, size and yield all say where they come from."""
        assert {name for name, value in values(ingredient) if value.source not in BOOK.sources} == set()

    @pytest.mark.parametrize("ingredient", BOOK.ingredients.values(), ids=lambda ingredient: ingredient.name)
    def test_an_ingredient_is_complete(self, ingredient: Ingredient) -> None:
        """Kind, flavour, storage, shelf life, and a price or a recipe of its own."""
        assert ingredient.kind
        assert ingredient.flavour
        assert ingredient.storage
        assert ingredient.shelf_life is not None
        assert ingredient.pack is not None or ingredient.made is not None

    @pytest.mark.parametrize(
        "ingredient",
        [i for i in BOOK.ingredients.values() if i.role.value not in DRY_GOODS],
        ids=lambda ingredient: ingredient.name,
    )
    def test_what_is_measured_has_strength_sugar_acid_and_density(self, ingredient: Ingredient) -> None:
        """A drink made of it can be weighed up, by volume and by weight."""
        known = {name for name, _ in values(ingredient)}
        assert {"abv", "sugar", "acid", "density"} <= known
        assert ingredient.bitterness is not None

    @pytest.mark.parametrize("name", [i.name for i in BOOK.ingredients.values() if i.role is Role.BASE and not i.made])
    def test_the_density_of_a_spirit_is_that_of_its_strength(self, name: str) -> None:
        """Each agrees with OIML R 22 to 0.0005 g/mL."""
        spirit = BOOK.ingredients[name]
        assert spirit.abv is not None
        assert spirit.density is not None
        expected = grams_per_ml(mass_fraction(spirit.abv.value.m_as("dimensionless")))
        assert abs(spirit.density.value.m_as("gram/milliliter") - expected) < Decimal("0.0005")

    @pytest.mark.parametrize(
        "name", [i.name for i in BOOK.ingredients.values() if i.density and i.density.source == "reckoned"]
    )
    def test_a_reckoned_density_follows_from_strength_and_sugar(self, name: str) -> None:
        """A change of strength or sugar must bring a change of density with it; to 0.005 g/mL."""
        liquid = BOOK.ingredients[name]
        assert liquid.abv is not None
        assert liquid.sugar is not None
        assert liquid.density is not None
        strength, sugar = liquid.abv.value.m_as("dimensionless"), liquid.sugar.value.m_as("gram/milliliter")
        expected = strength * ETHANOL_G_ML + water_beside(strength, sugar) + sugar
        assert abs(liquid.density.value.m_as("gram/milliliter") - expected) < Decimal("0.005")


class TestHouseMade:
    """What is written of a house-made thing is what its recipe comes to."""

    @pytest.mark.parametrize("name", [ingredient.name for ingredient in MADE])
    def test_strength_sugar_and_acid_follow_from_the_recipe(self, name: str) -> None:
        """Within 3 % of what goes in over what it makes, or within what strained fruit may add."""
        told = Compositions(BOOK).per_ml(name)
        reckoned = Compositions(without_values(BOOK, name)).per_ml(name)
        assert not reckoned.gaps
        assert float(told.sugar_g) == pytest.approx(float(reckoned.sugar_g), rel=0.03, abs=0.004)
        assert float(told.acid_g) == pytest.approx(float(reckoned.acid_g), rel=0.05, abs=0.0035)
        assert float(told.ethanol_g) == pytest.approx(float(reckoned.ethanol_g), rel=0.03, abs=0.0005)

    @pytest.mark.parametrize("ingredient", MADE, ids=lambda ingredient: ingredient.name)
    def test_it_makes_no_more_than_goes_in(self, ingredient: Ingredient) -> None:
        """The yield is within the volume of the liquids and sugar, and a millilitre for each gram of fruit and salt."""
        assert ingredient.made is not None
        whole = sum((Compositions(BOOK).of(pour).ml for pour in ingredient.made.pours), Decimal(0))
        dry = sum((p.amount.number for p in ingredient.made.pours if p.role in (Role.HERB, Role.SALT)), Decimal(0))
        assert ingredient.made.makes.m_as("milliliter") <= (whole + dry) * Decimal("1.01")


def without_values(book: Book, name: str) -> Book:
    """The book, with only the recipe of one house-made thing to tell what it holds."""
    bare = replace(book.ingredients[name], abv=None, sugar=None, acid=None, bitterness=None, density=None)
    return replace(book, ingredients=MappingProxyType(dict(book.ingredients) | {name: bare}))
