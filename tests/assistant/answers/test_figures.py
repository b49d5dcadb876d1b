"""What the eye gets."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.answers.figures import (
    amount_figure,
    change_figure,
    figure,
    mass_figure,
    money_figure,
    percent_figure,
    volume_figure,
)
from assistant.messages import Figure
from recipes.model import Book
from recipes.units import Amount, Unit, quantity


def test_an_amount_has_its_number_its_unit_and_its_fraction() -> None:
    """Three quarters of an ounce is 0.75 to a program and 3/4 to a person."""
    assert Figure(Decimal("0.75"), "oz", "3/4 oz") == amount_figure(Amount(Decimal("0.75"), Unit.OUNCE))


@pytest.mark.parametrize(
    ("value", "text"),
    [("3.4", "$3.40"), ("2.675", "$2.68"), ("-0.4", "-$0.40"), ("1250", "$1,250.00"), ("-0.001", "$0.00")],
)
def test_money_is_shown_to_the_cent_half_up(value: str, text: str, tiny_book: Book) -> None:
    """Rounded only here, at the display."""
    assert text == money_figure(quantity(value, "money"), tiny_book.house).text


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (percent_figure(Decimal("22.449")), Figure(Decimal("22.4"), "%", "22.4 %")),
        (percent_figure(Decimal(20)), Figure(Decimal("20.0"), "%", "20 %")),
        (volume_figure(quantity("94.44", "milliliter")), Figure(Decimal("94.4"), "ml", "94.4 ml")),
        (volume_figure(quantity("1620", "milliliter")), Figure(Decimal("1.62"), "l", "1.62 l")),
        (mass_figure(quantity("614.8", "gram")), Figure(Decimal(615), "g", "615 g")),
        (mass_figure(quantity("1.2", "kilogram")), Figure(Decimal("1.20"), "kg", "1.2 kg")),
        (figure(3, "days", 0), Figure(Decimal(3), "days", "3 days")),
    ],
)
def test_numbers_are_rounded_as_finely_as_a_bar_needs(shown: Figure, expected: Figure) -> None:
    """A tenth of a percent, a whole millilitre above a hundred, two digits of a litre."""
    assert expected == shown


@pytest.mark.parametrize(
    ("change", "text"),
    [("64", "+64 g/l"), ("-28.6", "-29 g/l"), ("0", "0 g/l"), ("-0.2", "0 g/l"), (None, "unknown")],
)
def test_a_change_shows_which_way_it_goes(change: str | None, text: str) -> None:
    """A hundred grams more is not a hundred grams; what is rounded to nothing has no sign."""
    assert text == change_figure(None if change is None else Decimal(change), "g/l", 0).text


def test_what_is_not_known_says_so(tiny_book: Book) -> None:
    """None is never shown as zero."""
    unknown = [money_figure(None, tiny_book.house), percent_figure(None), volume_figure(None), mass_figure(None)]
    assert [shown.text for shown in unknown] == ["unknown"] * 4
    assert all(shown.value is None for shown in unknown)
