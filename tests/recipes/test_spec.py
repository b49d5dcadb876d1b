"""What a spec shows in each unit."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.model import Book, Pour, Role
from recipes.spec import SpecUnit, spec_lines, to_step, vulgar, written
from recipes.units import Amount, Unit
from tests.conftest import make_tiny_book, pours

BOOK = make_tiny_book()


def shown(unit: SpecUnit, *lines: Pour) -> list[str]:
    """The amounts of a drink of these lines, as written."""

    drink = replace(BOOK.drinks["Gimlet"], pours=lines)
    return [written(line.amount) for line in spec_lines(drink, BOOK, unit)]


class TestWritten:
    """How an amount stands on the card."""

    @pytest.mark.parametrize(
        ("number", "unit", "expected"),
        [
            ("0.75", Unit.OUNCE, "3/4 oz"),
            ("1.5", Unit.OUNCE, "1 1/2 oz"),
            ("2", Unit.OUNCE, "2 oz"),
            ("0.125", Unit.OUNCE, "1/8 oz"),
            (Decimal(2) / 3, Unit.OUNCE, "2/3 oz"),
            ("1.3", Unit.OUNCE, "1.3 oz"),
            ("1000", Unit.OUNCE, "1,000 oz"),
            ("22.5", Unit.MILLILITRE, "22.5 ml"),
            ("1500", Unit.MILLILITRE, "1,500 ml"),
            ("60", Unit.MILLILITRE, "60 ml"),
            ("1", Unit.DASH, "1 dash"),
            ("2", Unit.DASH, "2 dashes"),
            ("8", Unit.LEAF, "8 leaves"),
            ("0.5", Unit.BARSPOON, "1/2 barspoon"),
            ("2", Unit.TEASPOON, "2 tsp"),
            ("3", Unit.PART, "3 parts"),
            ("1", Unit.PIECE, "1"),
            ("0.5", Unit.PIECE, "1/2"),
        ],
    )
    def test_amounts_read_as_a_bartender_writes_them(self, number: str | Decimal, unit: Unit, expected: str) -> None:
        """Ounces are fractions, millilitres are decimals, small things have plurals."""
        assert expected == written(Amount(Decimal(number), unit))

    def test_a_number_off_the_fractions_is_no_fraction(self) -> None:
        """One fifth is not a fraction a jigger has."""
        assert vulgar(Decimal("0.2")) is None


class TestOunces:
    """The spec in ounces."""

    def test_ounces_stay_as_the_book_writes_them(self) -> None:
        """Nothing is converted that is already in ounces."""
        assert shown("oz", *BOOK.drinks["Gimlet"].pours) == ["2 oz", "3/4 oz"]

    @pytest.mark.parametrize(
        ("millilitres", "expected"),
        [
            ("60", "2 oz"),
            ("45", "1 1/2 oz"),
            ("30", "1 oz"),
            ("22.5", "3/4 oz"),
            ("15", "1/2 oz"),
            ("7.5", "1/4 oz"),
            ("10", "1/3 oz"),
            ("20", "2/3 oz"),
            ("5", "5 ml"),
        ],
    )
    def test_millilitres_become_the_fraction_a_bartender_would_reach_for(self, millilitres: str, expected: str) -> None:
        """Eighths where one comes near, else thirds; what neither fits stays in millilitres."""
        assert [expected] == shown("oz", *pours(f"{millilitres} ml gin"))

    def test_the_rounding_is_told(self) -> None:
        """Twenty millilitres as two thirds of an ounce is 1.4 % short, and the line says so."""
        drink = BOOK.with_drinks([]).drinks["Gimlet"]

        (line,) = spec_lines(replace(drink, pours=pours("20 ml gin")), BOOK, "oz")
        assert Decimal("-0.014") == round(line.change, 3)


class TestMillilitres:
    """The spec in millilitres."""

    @pytest.mark.parametrize(
        ("line", "expected"),
        [
            ("2 oz gin", "60 ml"),
            ("1.5 oz gin", "45 ml"),
            ("0.75 oz gin", "22.5 ml"),
            ("0.25 oz gin", "7.5 ml"),
            ("0.125 oz gin", "4 ml"),
            ("1 tsp sugar syrup", "5 ml"),
            ("6 cl gin", "60 ml"),
            ("22 ml gin", "22 ml"),
            ("2 dash aromatic bitters", "2 dashes"),
            ("1 barspoon sugar syrup", "1 barspoon"),
            ("8 leaf mint", "8 leaves"),
            ("1 piece egg white", "1"),
        ],
    )
    def test_lines_stand_on_the_metric_step(self, line: str, expected: str) -> None:
        """A jigger's amounts go to 2.5 ml (or the nearest whole one); what is counted or dashed stays."""
        assert [expected] == shown("ml", *pours(line))

    def test_the_exact_amount_is_kept(self, tiny_book: Book) -> None:
        """Sixty millilitres stand for 59.147, and the line keeps both."""
        line = spec_lines(tiny_book.drinks["Gimlet"], tiny_book, "ml")[0]
        assert (Decimal("59.147059125"), Decimal(60)) == (line.exact.number, line.amount.number)


class TestParts:
    """The spec in parts."""

    @pytest.mark.parametrize(
        ("lines", "expected"),
        [
            (("2 oz gin", "0.75 oz lime juice", "0.75 oz sugar syrup"), ["8 parts", "3 parts", "3 parts"]),
            (("1.5 oz gin", "0.75 oz lime juice", "0.75 oz sugar syrup"), ["2 parts", "1 part", "1 part"]),
            (("1 oz gin", "1 oz lime juice"), ["1 part", "1 part"]),
            (("45 ml gin", "30 ml lime juice", "20 ml sugar syrup"), ["9 parts", "6 parts", "4 parts"]),
            (("2 oz gin", "22.5 ml lime juice"), ["8 parts", "3 parts"]),
            (("2 oz gin", "2 dash aromatic bitters"), ["1 part", "2 dashes"]),
            (("2 dash aromatic bitters",), ["2 dashes"]),
        ],
    )
    def test_parts_are_the_smallest_whole_numbers(self, lines: tuple[str, ...], expected: list[str]) -> None:
        """Four to one and a half to one and a half is eight to three to three; dashes stay dashes."""
        assert expected == shown("part", *pours(*lines))

    @given(st.lists(st.sampled_from(["0.25", "0.5", "0.75", "1", "1.5", "2", "4"]), min_size=1, max_size=5))
    def test_parts_keep_the_proportions(self, numbers: list[str]) -> None:
        """Whatever the ounces, each part is within two percent of its true share."""
        lines = tuple(Pour("gin", Amount(Decimal(number), Unit.OUNCE), Role.BASE) for number in numbers)

        drink = replace(BOOK.drinks["Gimlet"], pours=lines)
        assert all(abs(line.change) <= Decimal("0.02") for line in spec_lines(drink, BOOK, "part"))


@given(st.decimals("0.01", "1000", places=2), st.sampled_from(["0.25", "2.5", "1"]))
def test_a_rounded_number_is_on_the_step_and_the_nearest_one(number: Decimal, step: str) -> None:
    """Rounding lands on the grid, at most half a step away."""
    rounded = to_step(number, Decimal(step))
    assert rounded % Decimal(step) == 0
    assert abs(rounded - number) <= Decimal(step) / 2
