"""Amounts and pours are read as a bar writes them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.model import Role
from recipes.units import Amount, Unit
from recipes.written import MiswrittenError, WrittenPour, read_amount, read_pour


class TestAmounts:
    """'<number> <unit>'."""

    @pytest.mark.parametrize(
        ("text", "number", "unit"),
        [
            ("2 oz", "2", Unit.OUNCE),
            ("3/4 oz", "0.75", Unit.OUNCE),
            ("1 1/2 oz", "1.5", Unit.OUNCE),
            ("1 7/8 oz", "1.875", Unit.OUNCE),
            ("22.5 ml", "22.5", Unit.MILLILITRE),
            ("0.75 oz", "0.75", Unit.OUNCE),
            ("2 dashes", "2", Unit.DASH),
            ("8 leaves", "8", Unit.LEAF),
            ("1 leaf", "1", Unit.LEAF),
            ("10 drops", "10", Unit.DROP),
            ("12 oz", "12", Unit.OUNCE),
        ],
    )
    def test_an_amount_is_read(self, text: str, number: str, unit: Unit) -> None:
        """Whole numbers, fractions, mixed numbers and decimals; one or many."""
        assert read_amount(text) == Amount(Decimal(number), unit)

    @pytest.mark.parametrize("unit", [unit for unit in Unit if unit is not Unit.PART])
    @given(eighths=st.integers(min_value=1, max_value=800))
    def test_eighths_in_every_unit_come_back(self, unit: Unit, eighths: int) -> None:
        """What is written in eighths is read exactly, in each unit the book knows."""
        text = f"{eighths // 8} {eighths % 8}/8 {unit.value}" if eighths >= 8 else f"{eighths}/8 {unit.value}"
        assert read_amount(text) == Amount(Decimal(eighths) / 8, unit)

    @pytest.mark.parametrize(
        ("text", "problem", "mend"),
        [
            ("oz", '"oz" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
            ("", '"" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
            ("0 oz", 'the amount in "0 oz" is zero', "write more than zero, or take the line out"),
            ("2 dashs", '"dashs" is not a unit', 'write "dashes"'),
            ("1/0 oz", '"1/0 oz" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
            ("-1 oz", '"-1 oz" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
            ("2 parts", "a part has no size of its own", "write oz or ml"),
            ("2 oz gin", '"gin" is left over after the amount in "2 oz gin"', 'write "<number> <unit>" only'),
        ],
    )
    def test_what_is_no_amount_is_told_with_its_mend(self, text: str, problem: str, mend: str) -> None:
        """The words say what was written and what to write."""
        with pytest.raises(MiswrittenError) as raised:
            read_amount(text)
        assert (raised.value.problem, raised.value.mend) == (problem, mend)


class TestPours:
    """'<number> <unit> <ingredient>[ as <role>][, <note>]'."""

    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            ("2 oz gin", WrittenPour(Amount(Decimal(2), Unit.OUNCE), "gin", None)),
            ("3/4 oz lime juice", WrittenPour(Amount(Decimal("0.75"), Unit.OUNCE), "lime juice", None)),
            ("2 oz soda water, to top", WrittenPour(Amount(Decimal(2), Unit.OUNCE), "soda water", None, "to top")),
            (
                "1 dash absinthe as bitters, to rinse",
                WrittenPour(Amount(Decimal(1), Unit.DASH), "absinthe", Role.BITTERS, "to rinse"),
            ),
            ("8 leaves mint", WrittenPour(Amount(Decimal(8), Unit.LEAF), "mint", None)),
            ("1 cube sugar", WrittenPour(Amount(Decimal(1), Unit.CUBE), "sugar", None)),
        ],
    )
    def test_a_pour_is_read(self, text: str, expected: WrittenPour) -> None:
        """Ingredient, role and note fall into place."""
        assert read_pour(text) == expected

    def test_a_pour_of_nothing_is_told(self) -> None:
        """An amount alone is no pour."""
        with pytest.raises(MiswrittenError, match="names no ingredient"):
            read_pour("2 oz")
