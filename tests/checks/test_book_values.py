"""The numbers of the book's ingredients against tables and laws."""

from __future__ import annotations

from decimal import Decimal

import pytest

from recipes.loader import load_book
from recipes.model import Role, Sourced
from tests.checks.table import Row, table

BOOK = load_book()
USDA = "USDA National Nutrient Database for Standard Reference, NDB "
C440 = "Bates and others, NBS Circular C440 (1942), Table 114"
CONVENTION = "bar convention, common practice"
YIELD = "common practice; the USDA's laboratory yields are higher"


def number(value: Sourced | None, unit: str) -> Decimal:
    """The number of a value the book must have."""
    assert value is not None
    found: Decimal = value.value.m_as(unit)
    return found


@table(
    Row("lime sugar", ("lime juice",), "17.3", "1", USDA + "09160: 1.69 g per 100 g at 1.023"),
    Row("lemon sugar", ("lemon juice",), "26.0", "1", USDA + "09152: 2.52 g per 100 g at 1.031"),
    Row("orange sugar", ("orange juice",), "88.0", "1", USDA + "09206: 8.40 g per 100 g at 1.048"),
    Row("grapefruit sugar", ("grapefruit juice",), "95.0", "1", USDA + "09128: 9.10 g per 100 g at 1.044"),
    Row("pineapple sugar", ("pineapple juice",), "105.5", "1", USDA + "09273: 9.98 g per 100 g at 1.057"),
    Row("tonic sugar", ("tonic water",), "90.7", "1", USDA + "14155: 8.80 g per 100 g at 30.5 g to the fl oz"),
    Row("ginger ale sugar", ("ginger ale",), "89.7", "1", USDA + "14136: 8.70 g per 100 g at 30.5 g to the fl oz"),
    Row("cola sugar", ("cola",), "111.6", "1", USDA + "14148: 10.75 g per 100 g at 30.7 g to the fl oz"),
    Row("honey sugar", ("honey",), "1176.8", "1", USDA + "19296: 82.12 g per 100 g at 1.433"),
    Row("cream sugar", ("heavy cream",), "28.1", "1", USDA + "01053: 2.79 g per 100 g at 1.006"),
    Row("egg white sugar", ("egg white",), "7.3", "1", USDA + "01124: 0.71 g per 100 g at 1.027"),
    Row("coffee liqueur sugar", ("coffee liqueur",), "546.5", "1", USDA + "14414: 46.43 g per 100 g at 1.177"),
    Row("simple syrup sugar", ("simple syrup",), "614.8", "0.3", C440 + ", 50 degrees Brix"),
    Row("rich syrup sugar", ("rich syrup",), "884.3", "0.3", C440 + ", 66.667 degrees Brix"),
)
def test_sugar_is_that_of_the_tables(row: Row) -> None:
    """Grams per litre."""
    assert row.agrees(number(BOOK.ingredients[row.given[0]].sugar, "gram/liter"))


@table(
    Row("lime", ("lime juice",), "6", "0", CONVENTION, "a third above the citric acid that laboratories measure"),
    Row("lemon", ("lemon juice",), "6", "0", CONVENTION, "a third above the citric acid that laboratories measure"),
    Row("grapefruit", ("grapefruit juice",), "2", "0", CONVENTION),
    Row("orange", ("orange juice",), "0.8", "0", CONVENTION),
    Row("pineapple", ("pineapple juice",), "0.8", "0", CONVENTION),
)
def test_acid_is_the_figure_that_bars_balance_with(row: Row) -> None:
    """Per cent, weight by volume, as citric acid."""
    assert row.agrees(number(BOOK.ingredients[row.given[0]].acid, "gram/deciliter"))


@table(
    Row("lime", ("lime juice",), "27.5", "2.5", YIELD),
    Row("lemon", ("lemon juice",), "42.5", "2.5", YIELD),
    Row("orange", ("orange juice",), "67.5", "7.5", YIELD),
    Row("grapefruit", ("grapefruit juice",), "150", "30", YIELD),
)
def test_a_fruit_yields_what_a_bar_presses_from_it(row: Row) -> None:
    """Millilitres of juice to the fruit."""
    pack = BOOK.ingredients[row.given[0]].pack
    assert pack is not None
    assert row.agrees(pack.usable.value.m_as("milliliter"))


@table(
    Row("whole egg", ("whole egg",), "48.5", "1.5", USDA + "01123: 50 g at 1.03 (from memory)"),
    Row("egg white", ("egg white",), "32.1", "1", USDA + "01124: 33 g at 1.027"),
)
def test_an_egg_holds_what_a_large_egg_holds(row: Row) -> None:
    """Millilitres, shell off."""
    assert row.agrees(number(BOOK.ingredients[row.given[0]].each, "milliliter"))


@table(
    Row("gin", ("gin", "old tom gin", "navy strength gin"), "37.5", "0", "Regulation (EC) 110/2008, category 20"),
    Row("rum", ("white rum", "aged rum", "dark rum", "overproof rum"), "37.5", "0", "2019/787 Annex I (from memory)"),
    Row("vodka", ("vodka",), "40", "0", "27 CFR 5.142: bottled at 40 % vol or more"),
    Row("whisky", ("bourbon", "rye whiskey", "scotch", "irish whiskey"), "40", "0", "27 CFR 5.143 (from memory)"),
    Row("brandy", ("cognac", "apple brandy", "pisco"), "40", "0", "27 CFR 5.145: bottled at 40 % vol or more"),
    Row("agave", ("tequila", "mezcal"), "40", "0", "27 CFR 5.148 (from memory)"),
)
def test_a_spirit_is_no_weaker_than_the_law_lets_it_be(row: Row) -> None:
    """Per cent by volume."""
    strengths = [number(BOOK.ingredients[name].abv, "percent") for name in row.given]
    assert min(strengths) >= Decimal(row.expected)


BOTTLED_LIQUEURS = [i.name for i in BOOK.ingredients.values() if i.role is Role.LIQUEUR and i.made is None]


@pytest.mark.parametrize("name", BOTTLED_LIQUEURS)
def test_a_liqueur_has_the_strength_and_sugar_of_one(name: str) -> None:
    """At least 15 % vol and 100 g/L of sugar: Regulation (EU) 2019/787, Annex I."""
    liqueur = BOOK.ingredients[name]
    assert number(liqueur.abv, "percent") >= 15
    assert number(liqueur.sugar, "gram/liter") >= 100


@table(
    Row("blackcurrant", ("blackcurrant liqueur",), "400", "0", "2019/787 Annex I, creme de cassis (from memory)"),
    Row("cacao", ("dark cacao liqueur",), "250", "0", "2019/787 Annex I, creme de (from memory)"),
    Row("mint", ("white mint liqueur",), "250", "0", "2019/787 Annex I, creme de (from memory)"),
    Row("violet", ("violet liqueur",), "250", "0", "2019/787 Annex I, creme de (from memory)"),
)
def test_a_creme_has_the_sugar_of_one(row: Row) -> None:
    """Grams per litre, at least."""
    assert number(BOOK.ingredients[row.given[0]].sugar, "gram/liter") >= Decimal(row.expected)


@pytest.mark.parametrize(
    ("name", "least", "below"), [("sweet vermouth", 130, 300), ("dry vermouth", 0, 50), ("blanc vermouth", 130, 300)]
)
def test_a_vermouth_is_as_strong_and_as_sweet_as_its_name(name: str, least: int, below: int) -> None:
    """14.5 to under 22 % vol (Regulation (EU) 251/2014, Article 3); dry under 50 g/L, sweet 130 g/L or more."""
    vermouth = BOOK.ingredients[name]
    assert Decimal("14.5") <= number(vermouth.abv, "percent") < 22
    assert least <= number(vermouth.sugar, "gram/liter") < below


@pytest.mark.parametrize(
    ("name", "allergen"),
    [
        ("orgeat", "nuts"),
        ("almond liqueur", "nuts"),
        ("almonds", "nuts"),
        ("heavy cream", "milk"),
        ("whole milk", "milk"),
        ("egg white", "egg"),
        ("sweet vermouth", "sulphites"),
        ("sparkling wine", "sulphites"),
        ("worcestershire-style sauce", "fish"),
        ("worcestershire-style sauce", "gluten"),
        ("celery salt", "celery"),
        ("celery bitters", "celery"),
    ],
)
def test_the_usual_hints_of_allergens_are_written_down(name: str, allergen: str) -> None:
    """Hints of the trade (common practice) on the lists of Regulation (EU) 1169/2011 Annex II and of US law."""
    ingredient = BOOK.ingredients[name]
    parts = [BOOK.ingredients[pour.ingredient] for pour in ingredient.made.pours] if ingredient.made else []
    assert any(allergen in (part.allergens or ()) for part in (ingredient, *parts))


@pytest.mark.parametrize(
    "name",
    [
        "bitter red aperitif",
        "amaro",
        "fernet",
        "green herbal liqueur",
        "yellow herbal liqueur",
        "amber herbal liqueur",
        "aromatic bitters",
        "orange bitters",
        "dried kelp",
    ],
)
def test_where_makers_differ_the_book_does_not_pretend_to_know(name: str) -> None:
    """Secret herb bills have unknown allergens: the label decides."""
    assert BOOK.ingredients[name].allergens is None


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("egg white", "Raw egg"),
        ("whole egg", "Raw egg"),
        ("tonic water", "quinine"),
        ("quinquina", "quinine"),
        ("overproof rum", "flame"),
        ("absinthe", "flame"),
        ("flamed orange twist", "Flame"),
        ("kelp gin", "Infusion"),
        ("falernum", "almonds"),
        ("orgeat", "almonds"),
        ("pilot boat punch mix", "milk"),
        ("grapefruit juice", "medicines"),
        ("rich syrup", "crystallise"),
    ],
)
def test_the_usual_caution_stands_beside_what_needs_one(name: str, word: str) -> None:
    """Raw egg, flame, quinine, infusions, nuts and milk that nobody would see."""
    assert word in BOOK.ingredients[name].caution
