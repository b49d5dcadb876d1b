"""Numbers as people say them: from digits to words, and from words to what they come to."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import phrasebook
from grammar.clean import phrase
from grammar.exact import Reading
from grammar.names import Names
from grammar.numbers import LARGEST, as_decimal, counted, in_words, is_number_tag

PARSER = phrasebook.load(Names()).parser


def readings(rule: str, text: str) -> list[Reading]:
    """The readings of a whole text by a rule of the phrases."""
    return PARSER.sentences(rule, [frozenset({word}) for word in phrase(text)], {})


def counts(rule: str, text: str) -> set[Fraction | None]:
    """The numbers that a text may come to by a rule."""
    return {reading.number for reading in readings(rule, text)}


COUNTS = [
    ("one", 1),
    ("six", 6),
    ("twelve", 12),
    ("forty", 40),
    ("forty two", 42),
    ("ninety-nine", 99),
    ("a hundred", 100),
    ("a hundred and twenty", 120),
    ("two hundred fifty", 250),
    ("fifteen hundred", 1500),
    ("dozen", 12),
    ("a dozen", 12),
    ("half a dozen", 6),
    ("half dozen", 6),
    ("two dozen", 24),
    ("a couple of", 2),
    ("40", 40),
    ("250", 250),
]
NUMBERS = [
    ("half", "1/2"),
    ("a half", "1/2"),
    ("quarter", "1/4"),
    ("a quarter", "1/4"),
    ("three quarters", "3/4"),
    ("three quarter", "3/4"),
    ("a third", "1/3"),
    ("two thirds", "2/3"),
    ("an eighth", "1/8"),
    ("three eighths", "3/8"),
    ("seven eighths", "7/8"),
    ("one and a half", "3/2"),
    ("two and a quarter", "9/4"),
    ("one and three quarters", "7/4"),
    ("point five", "1/2"),
    ("point seven five", "3/4"),
    ("zero point seven five", "3/4"),
    ("point oh five", "1/20"),
    ("point seventy five", "3/4"),
    ("twenty two point five", "45/2"),
    ("one point two five", "5/4"),
    ("two thousand", "2000"),
    ("1/2", "1/2"),
    ("3/4", "3/4"),
    ("1 1/2", "3/2"),
    ("1½", "3/2"),
    ("½", "1/2"),
    ("0.75", "3/4"),
    (".75", "3/4"),
    ("22.5", "45/2"),
    ("1,000", "1000"),
]
MEASURES = [
    ("three quarters of an ounce", "3/4", "oz"),
    ("three quarter ounce", "3/4", "oz"),
    ("half an ounce", "1/2", "oz"),
    ("an ounce", "1", "oz"),
    ("an ounce and a half", "3/2", "oz"),
    ("ounce and a half", "3/2", "oz"),
    ("two ounces and a quarter", "9/4", "oz"),
    ("two and a half ounces", "5/2", "oz"),
    ("a quarter of an ounce", "1/4", "oz"),
    ("22.5 mil", "45/2", "ml"),
    ("750ml", "750", "ml"),
    ("two litres", "2", "l"),
    ("2 liters", "2", "l"),
    ("1.5l", "3/2", "l"),
    ("two dashes", "2", "dash"),
    ("a dash", "1", "dash"),
    ("a bar spoon", "1", "barspoon"),
    ("3/4 oz", "3/4", "oz"),
    ("1 1/2 oz", "3/2", "oz"),
    ("half a dozen bottles", "6", "bottle"),
    ("one part", "1", "part"),
    ("eight leaves", "8", "leaf"),
]
MONEY = [
    ("sixty cents", "0.60"),
    ("three fifty", "3.50"),
    ("a dollar twenty", "1.20"),
    ("a dollar", "1"),
    ("two dollars forty", "2.40"),
    ("two dollars and forty cents", "2.40"),
    ("thirty two dollars", "32"),
    ("fifteen bucks", "15"),
    ("thirty two", "32"),
    ("thirty four fifty", "34.50"),
    ("$32", "32"),
    ("$31.50", "31.50"),
    ("$0.60", "0.60"),
    ("60c", "0.60"),
    ("60 cents", "0.60"),
    ("a hundred and ten dollars", "110"),
    ("1.20", "1.20"),
]
PERCENTS = [
    ("twenty percent", "20"),
    ("twenty-two percent", "22"),
    ("22%", "22"),
    ("18.5 %", "18.5"),
    ("twenty two point five per cent", "22.5"),
]


class TestSaid:
    """From words to numbers, by the phrases themselves."""

    @pytest.mark.parametrize(("text", "expected"), COUNTS)
    def test_counts(self, text: str, expected: int) -> None:
        """How many drinks, guests or serves."""
        assert counts("numbers.count", text) == {Fraction(expected)}

    @pytest.mark.parametrize(("text", "expected"), NUMBERS)
    def test_numbers(self, text: str, expected: str) -> None:
        """Fractions as a jigger has them, and decimals digit by digit."""
        assert counts("numbers.number", text) == {Fraction(expected)}

    @pytest.mark.parametrize(("text", "number", "unit"), MEASURES)
    def test_measures(self, text: str, number: str, unit: str) -> None:
        """A number and its unit, whichever way round the fraction is said."""
        found = {(r.number, *(mark.value for mark in r.marks)) for r in readings("values.measure", text)}
        assert found == {(Fraction(number), unit)}

    @pytest.mark.parametrize(("text", "expected"), MONEY)
    def test_money(self, text: str, expected: str) -> None:
        """Dollars and cents; a number by itself is dollars."""
        assert counts("values.money", text) == {Fraction(expected)}

    @pytest.mark.parametrize(("text", "expected"), PERCENTS)
    def test_percents(self, text: str, expected: str) -> None:
        """Twenty-two percent is 22."""
        assert counts("values.percent", text) == {Fraction(expected)}

    @settings(deadline=None)
    @given(st.integers(1, 999))
    def test_every_count_comes_back(self, number: int) -> None:
        """Digits are said in words that come to the same number."""
        assert counts("numbers.count", str(number)) == {Fraction(number)}

    @settings(deadline=None)
    @given(st.decimals("0.01", "999.99", places=2))
    def test_every_decimal_comes_back(self, number: Decimal) -> None:
        """So are digits with a point."""
        assert counts("numbers.number", f"{number}") == {Fraction(number)}


class TestInWords:
    """From digits to words."""

    @pytest.mark.parametrize(
        ("value", "expected"),
        [
            (0, "zero"),
            (13, "thirteen"),
            (40, "forty"),
            (86, "eighty six"),
            (100, "one hundred"),
            (750, "seven hundred fifty"),
            (2024, "two thousand twenty four"),
            (99_999, "ninety nine thousand nine hundred ninety nine"),
            (Decimal("22.5"), "twenty two point five"),
            (Decimal("0.05"), "zero point zero five"),
            (Decimal("3.0"), "three"),
            (Fraction(3, 4), "three quarters"),
            (Fraction(7, 4), "one and three quarters"),
            (Fraction(3, 7), None),
            (Decimal("0.12345"), None),
            (-1, None),
            (LARGEST + 1, None),
        ],
    )
    def test_a_number_is_said(self, value: int | Decimal | Fraction, expected: str | None) -> None:
        """Beyond saying: negative, too large, too fine, or a fraction that no jigger has."""
        assert in_words(value) == expected


class TestTags:
    """What number tags of the phrases come to."""

    @pytest.mark.parametrize(
        ("tag", "before", "own", "expected"),
        [
            ("3", None, None, "3"),
            ("1/8", "1", None, "9/8"),
            ("*100", "2", None, "200"),
            ("*100", None, "2", "200"),
            ("*100", "1", "2", "201"),
            ("/10", "1", "5", "3/2"),
            ("/100", None, "50", "1/2"),
        ],
    )
    def test_a_tag_counts(self, tag: str, before: str | None, own: str | None, expected: str) -> None:
        """Terms are added; a factor belongs to the item it follows, or to all before it."""
        as_fraction = [None if value is None else Fraction(value) for value in (before, own)]
        assert counted(tag, *as_fraction) == Fraction(expected)

    def test_a_factor_of_nothing_is_nothing(self) -> None:
        """There is nothing to multiply."""
        assert counted("*100", None, None) is None

    def test_words_are_no_number_tags(self) -> None:
        """The rest of the tags are slots."""
        assert [
            tag for tag in ("3", "0.5", "1/2", "*12", "/10", "drink", "count=2", "3x", "") if is_number_tag(tag)
        ] == [*("3", "0.5", "1/2", "*12", "/10")]

    def test_a_third_is_written_to_four_places(self) -> None:
        """What does not end is rounded; all else is exact."""
        assert as_decimal(Fraction(1, 3)) == Decimal("0.3333")
        assert as_decimal(Fraction(7, 8)) == Decimal("0.875")
