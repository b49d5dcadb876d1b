"""A recited build is taken down as pours."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.names import Names
from grammar.pours import parse_pours
from tests.grammar.book_names import NAMES

RECITED = [
    (
        "two ounces gin, three quarters lime and three quarters simple",
        [("2", "oz", "gin"), ("0.75", "oz", "lime juice"), ("0.75", "oz", "simple syrup")],
    ),
    (
        "2 oz gin, 3/4 lime, 3/4 simple",
        [("2", "oz", "gin"), ("0.75", "oz", "lime juice"), ("0.75", "oz", "simple syrup")],
    ),
    ("three quarter ounce lemon juice", [("0.75", "oz", "lemon juice")]),
    ("an ounce and a half of bourbon", [("1.5", "oz", "bourbon whiskey")]),
    ("ounce and a half bourbon, half an ounce honey", [("1.5", "oz", "bourbon whiskey"), ("0.5", "oz", "honey syrup")]),
    ("60 ml gin and 22.5 lime", [("60", "ml", "gin"), ("22.5", "ml", "lime juice")]),
    ("sixty gin, twenty lime cordial", [("60", "ml", "gin"), ("20", "ml", "lime cordial")]),
    (
        "two ounces of rye, one ounce sweet vermouth, two dashes aromatic bitters",
        [
            ("2", "oz", "rye whiskey"),
            ("1", "oz", "sweet vermouth"),
            ("2", "dash", "aromatic bitters"),
        ],
    ),
    ("two dashes orange bitters, one gin", [("2", "dash", "orange bitters"), ("1", "oz", "gin")]),
    ("three quarters each of lime and simple", [("0.75", "oz", "lime juice"), ("0.75", "oz", "simple syrup")]),
    (
        "equal parts gin, lemon and orange liqueur",
        [
            ("1", "part", "gin"),
            ("1", "part", "lemon juice"),
            ("1", "part", "orange liqueur"),
        ],
    ),
    ("two ounces gin topped with soda", [("2", "oz", "gin")]),
    ("gin and lime", []),
    ("two ounces", []),
    ("what's the weather", []),
    ("", []),
]


@pytest.mark.parametrize(("text", "expected"), RECITED, ids=[text for text, _ in RECITED])
def test_a_build_is_taken_down(text: str, expected: list[tuple[str, str, str]]) -> None:
    """Amount, unit and ingredient as the book writes them; a missing unit is ounces, or millilitres if large."""
    assert parse_pours(text, NAMES) == tuple((Decimal(number), unit, name) for number, unit, name in expected)


@settings(deadline=None)
@given(st.text(max_size=60))
def test_any_text_gives_pours_or_none(text: str) -> None:
    """Whatever a trainee says is taken down or left out."""
    assert all(pour.amount >= 0 and pour.ingredient for pour in parse_pours(text, NAMES))


def test_a_book_without_names_has_no_pours() -> None:
    """Nothing can be poured from an empty shelf."""
    assert parse_pours("two ounces gin", Names()) == ()
