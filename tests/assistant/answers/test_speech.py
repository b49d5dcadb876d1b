"""What the ear gets."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.answers import speech
from recipes.units import Amount, Unit, quantity


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("0", "zero"),
        ("1", "one"),
        ("13", "thirteen"),
        ("20", "twenty"),
        ("42", "forty-two"),
        ("100", "one hundred"),
        ("125", "one hundred and twenty-five"),
        ("700", "seven hundred"),
        ("1005", "one thousand and five"),
        ("1500", "one thousand five hundred"),
        ("2000000", "two million"),
        ("0.5", "a half"),
        ("0.25", "a quarter"),
        ("0.75", "three quarters"),
        ("1.5", "one and a half"),
        ("2.25", "two and a quarter"),
        ("0.375", "three eighths"),
        ("22.5", "twenty-two and a half"),
        ("22.4", "twenty-two point four"),
        ("0.9", "point nine"),
        ("3.05", "three point zero five"),
        ("-2", "minus two"),
        ("-1.3", "minus one point three"),
        ("-0.5", "minus a half"),
    ],
)
def test_a_number_is_said_as_a_person_says_it(value: str, expected: str) -> None:
    """Whole numbers, the bar's fractions, and digits after the point for the rest."""
    assert expected == speech.number(Decimal(value))


def test_a_third_is_said_as_a_third() -> None:
    """The book's 2/3 has no end of digits; the ear hears two thirds."""
    assert speech.number(Decimal(2) / 3) == "two thirds"


@pytest.mark.parametrize(
    ("number", "unit", "expected"),
    [
        ("0.75", Unit.OUNCE, "three quarters of an ounce"),
        ("0.5", Unit.OUNCE, "half an ounce"),
        ("0.25", Unit.OUNCE, "a quarter of an ounce"),
        ("0.125", Unit.OUNCE, "an eighth of an ounce"),
        ("1", Unit.OUNCE, "one ounce"),
        ("1.5", Unit.OUNCE, "one and a half ounces"),
        ("2", Unit.OUNCE, "two ounces"),
        ("1.3", Unit.OUNCE, "one point three ounces"),
        ("22.5", Unit.MILLILITRE, "twenty-two and a half mil"),
        ("1", Unit.MILLILITRE, "one mil"),
        ("0.9", Unit.MILLILITRE, "point nine mil"),
        ("1500", Unit.MILLILITRE, "one and a half litres"),
        ("1", Unit.LITRE, "one litre"),
        ("1125", Unit.MILLILITRE, "one point one three litres"),
        ("1.25", Unit.LITRE, "one and a quarter litres"),
        ("2", Unit.DASH, "two dashes"),
        ("1", Unit.DASH, "one dash"),
        ("0.5", Unit.BARSPOON, "half a barspoon"),
        ("3", Unit.PINCH, "three pinches"),
        ("2", Unit.KILOGRAM, "two kilos"),
        ("1500", Unit.GRAM, "one and a half kilos"),
        ("8", Unit.PART, "eight parts"),
        ("2", Unit.BOTTLE, "two bottles"),
    ],
)
def test_an_amount_is_said_with_its_unit(number: str, unit: Unit, expected: str) -> None:
    """No symbol is left for a voice to stumble over."""
    assert expected == speech.amount(Amount(Decimal(number), unit))


@pytest.mark.parametrize(
    ("number", "unit", "ingredient", "of", "expected"),
    [
        ("2", Unit.OUNCE, "gin", False, "two ounces gin"),
        ("2", Unit.OUNCE, "gin", True, "two ounces of gin"),
        ("2", Unit.DASH, "aromatic bitters", True, "two dashes of aromatic bitters"),
        ("8", Unit.LEAF, "mint", True, "eight mint leaves"),
        ("1", Unit.SPRIG, "mint", False, "one mint sprig"),
        ("1", Unit.PIECE, "egg white", False, "one egg white"),
        ("3", Unit.PIECE, "egg white", False, "three egg whites"),
        ("0.5", Unit.PIECE, "egg white", False, "half an egg white"),
        ("1", Unit.CUBE, "sugar cube", False, "one sugar cube"),
        ("2", Unit.WEDGE, "lime wedge", False, "two lime wedges"),
        ("2", Unit.BOTTLE, "gin", True, "two bottles of gin"),
    ],
)
def test_a_pour_names_what_is_poured(number: str, unit: Unit, ingredient: str, of: bool, expected: str) -> None:
    """What is counted carries its name before its unit, as a bartender says it."""
    assert expected == speech.pour(Amount(Decimal(number), unit), ingredient, of)


@pytest.mark.parametrize(
    ("value", "currency", "expected"),
    [
        ("3.40", "USD", "three dollars forty"),
        ("13", "USD", "thirteen dollars"),
        ("1", "USD", "one dollar"),
        ("1.01", "USD", "one dollar and one cent"),
        ("3.05", "USD", "three dollars and five cents"),
        ("0.45", "USD", "forty-five cents"),
        ("0.01", "USD", "one cent"),
        ("0.004", "USD", "less than a cent"),
        ("0", "USD", "nothing"),
        ("2.675", "USD", "two dollars sixty-eight"),
        ("-0.4", "USD", "minus forty cents"),
        ("1250", "USD", "one thousand two hundred and fifty dollars"),
        ("9.80", "GBP", "nine pounds eighty"),
        ("0.40", "GBP", "forty pence"),
        ("0.01", "GBP", "one penny"),
        ("7.20", "EUR", "seven euros twenty"),
        ("7.20", "SEK", "seven point two SEK"),
    ],
)
def test_money_is_said_in_full_units_and_hundredths(value: str, currency: str, expected: str) -> None:
    """Half-up to the cent, and never a bare symbol."""
    assert expected == speech.money(quantity(value, "money"), currency)


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        ("22", "twenty-two percent"),
        ("22.4", "twenty-two point four percent"),
        ("22.449", "twenty-two point four percent"),
        ("22.45", "twenty-two point five percent"),
        ("0.3", "point three percent"),
    ],
)
def test_a_share_is_said_to_a_tenth(points: str, expected: str) -> None:
    """A percentage has one digit after the point at most."""
    assert expected == speech.percent(Decimal(points))


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        ("94.4", "milliliter", "ninety-four mil"),
        ("7.39", "milliliter", "seven point four mil"),
        ("1620", "milliliter", "one point six two litres"),
        ("1", "liter", "one litre"),
        ("2", "liter", "two litres"),
    ],
)
def test_a_volume_is_said_as_finely_as_it_is_poured(value: str, unit: str, expected: str) -> None:
    """Whole millilitres, and litres from one litre up."""
    assert expected == speech.volume(quantity(value, unit))


@pytest.mark.parametrize(
    ("value", "expected"),
    [("8.44", "eight point four grams"), ("614.8", "six hundred and fifteen grams"), ("1200", "one point two kilos")],
)
def test_a_mass_is_said_as_finely_as_it_is_weighed(value: str, expected: str) -> None:
    """Whole grams, and kilos from one kilo up."""
    assert expected == speech.mass(quantity(value, "gram"))


@pytest.mark.parametrize(
    ("items", "expected"),
    [([], ""), (["gin"], "gin"), (["gin", "lime"], "gin and lime"), (["gin", "lime", "sugar"], "gin, lime and sugar")],
)
def test_a_list_ends_in_and(items: list[str], expected: str) -> None:
    """No comma before the last."""
    assert expected == speech.joined(items)


@pytest.mark.parametrize(
    ("noun", "expected"),
    [
        ("Gimlet", "Gimlets"),
        ("Gin Daisy", "Gin Daisies"),
        ("Gin Fizz", "Gin Fizzes"),
        ("Whiskey Smash", "Whiskey Smashes"),
        ("Planter's Punch", "Planter's Punches"),
        ("Bee's Knees", "Bee's Knees"),
        ("Bloody Mary", "Bloody Marys"),
        ("Old Fashioned", "Old Fashioneds"),
        ("French 75", "French 75s"),
        ("cherry", "cherries"),
        ("raspberry on a pick", "raspberries on a pick"),
        ("leaf", "leaves"),
        ("glass", "glasses"),
        ("day", "days"),
    ],
)
def test_more_than_one(noun: str, expected: str) -> None:
    """Drinks and garnishes have the plural a bartender calls."""
    assert expected == speech.plural(noun)


@pytest.mark.parametrize(
    ("text", "expected"),
    [("two ounces of gin", "Two ounces of gin."), ("which one?", "Which one?"), ("Done.", "Done.")],
)
def test_a_sentence_has_a_capital_and_a_stop(text: str, expected: str) -> None:
    """One stop, never two."""
    assert expected == speech.sentence(text)


@given(st.integers(0, 10**9 - 1))
def test_each_whole_number_has_words_of_its_own(value: int) -> None:
    """Reading the words back gives the number."""
    assert value == _read(speech.integer(value))


def _read(words: str) -> int:
    """A plain reader of number words, written apart from the speaker."""
    small = {speech.integer(n): n for n in range(20)} | {speech.integer(n): n for n in range(20, 100, 10)}
    total = group = 0
    for word in words.replace("-", " ").replace(" and ", " ").split():
        if word == "hundred":
            group *= 100
        elif word in {"thousand", "million"}:
            total += group * {"thousand": 1000, "million": 1_000_000}[word]
            group = 0
        else:
            group += small[word]
    return total + group


@pytest.mark.parametrize(
    ("text", "expected"), [("lime juice", "Lime juice"), ("Gin Daisy", "Gin Daisy"), ("1 oz", "1 oz"), ("", "")]
)
def test_a_capital_to_go_on_from(text: str, expected: str) -> None:
    """Only the first letter changes."""
    assert expected == speech.capital(text)
