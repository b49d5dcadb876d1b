"""What a bar counts is brought to the measure that it is poured in."""

from __future__ import annotations

from decimal import Decimal

import pytest

from recipes.model import Book
from recipes.stocktake import OnHand, counted
from recipes.units import Amount, Unit, quantity


def amount(number: str, unit: str) -> Amount:
    """So much of a unit."""
    return Amount(Decimal(number), Unit(unit))


@pytest.mark.parametrize(
    ("name", "said", "found"),
    [
        ("lime juice", amount("2", "l"), OnHand(ready=quantity(2000, "milliliter"))),
        ("lime juice", amount("12", "piece"), OnHand(fruit=Decimal(12))),
        ("gin", amount("0.5", "bottle"), OnHand(ready=quantity(375, "milliliter"))),
        ("sweet vermouth", amount("2", "bottle"), OnHand(ready=quantity(2000, "milliliter"))),
        ("sugar syrup", amount("1", "bottle"), OnHand(ready=quantity(750, "milliliter"))),
        ("lime wheel", amount("20", "piece"), OnHand(ready=quantity(20, "piece"))),
        ("egg white", amount("6", "piece"), OnHand(ready=quantity(6, "piece"))),
        ("white sugar", amount("1.5", "kg"), OnHand(ready=quantity(1500, "gram"))),
    ],
)
def test_what_is_counted_is_what_can_be_poured(tiny_book: Book, name: str, said: Amount, found: OnHand) -> None:
    """Litres are poured, limes are pressed first; a bottle is the pack it is bought in, or the house's own."""
    assert counted(said, tiny_book.ingredients[name], tiny_book) == found


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("gin", amount("3", "part")),
        ("gin", amount("3", "piece")),
        ("lime juice", amount("2", "kg")),
    ],
)
def test_what_does_not_tell_how_much_there_is_is_refused(tiny_book: Book, name: str, said: Amount) -> None:
    """Three parts of gin, three pieces of it, two kilos of limes: nobody can pour by that."""
    with pytest.raises(ValueError, match=said.unit):
        counted(said, tiny_book.ingredients[name], tiny_book)
