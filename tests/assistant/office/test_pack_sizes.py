"""Pack sizes as suppliers write them, and what they make of the book's own pack."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.office.pack_sizes import Of, PackSize, Unsized, price_of_pack, read_pack_size
from recipes.units import quantity
from tests.conftest import pack

READ = [
    ("6x700ml", 6, "700 milliliter"),
    ("6 x 70 cl", 6, "700 milliliter"),
    ("6 X 0,70 L", 6, "700 milliliter"),
    ("6 \u00d7 700 ml", 6, "700 milliliter"),
    ("700ml x 6", 6, "700 milliliter"),
    ("6/750ML", 6, "750 milliliter"),
    ("12/1 L", 12, "1000 milliliter"),
    ("4 x 6 x 330 ml", 24, "330 milliliter"),
    ("case of 6 x 700 ml bottles", 6, "700 milliliter"),
    ("24 x 200ml cans", 24, "200 milliliter"),
    ("1 L", 1, "1000 milliliter"),
    ("Ltr.", 1, "1000 milliliter"),
    ("1.75L", 1, "1750 milliliter"),
    ("1.000 ml", 1, "1000 milliliter"),
    ("1 gal", 1, "3785.411784 milliliter"),
    ("kg", 1, "1000 gram"),
    ("2,5 kg", 1, "2500 gram"),
    ("5 lb", 1, "2267.96185 gram"),
    ("15 dozen", 1, "180 piece"),
    ("12 ct", 1, "12 piece"),
    ("12 pcs", 1, "12 piece"),
]
WITHOUT_SIZE = [
    ("case of 12", PackSize(Decimal(12), Of.THING)),
    ("12 pk", PackSize(Decimal(12), Of.THING)),
    ("6-pack", PackSize(Decimal(6), Of.THING)),
    ("bottle", PackSize(Decimal(1), Of.PACK)),
    ("6 x bottles", PackSize(Decimal(6), Of.PACK)),
    ("each", PackSize(Decimal(1), Of.PIECE)),
    ("750", PackSize(Decimal(1), Of.NUMBER, Decimal(750))),
    ("6x700", PackSize(Decimal(6), Of.NUMBER, Decimal(700))),
]
NOT_READ = [
    "",
    "a case",
    "keg",
    "1/2 l",
    "1/6 bbl",
    "\u00bd l",
    "10 x 1.5 x 3 l",
    "0 ml",
    "0 x 700 ml",
    "2 kg 500 g",
    "700 ml!",
    "x",
    "-6 ml",
    "1 500 ml",
    "12-14 ml",
]


@pytest.mark.parametrize(("text", "count", "size"), READ, ids=[text for text, _, _ in READ])
def test_a_size_is_read_in_whatever_order_and_unit(text: str, count: int, size: str) -> None:
    """So many of a volume, a mass or pieces."""
    found = read_pack_size(text)
    assert found is not None
    assert not isinstance(found.of, Of)
    number, unit = size.split(" ")
    assert (found.count, found.of.to(unit)) == (Decimal(count), quantity(number, unit))


@pytest.mark.parametrize(("text", "expected"), WITHOUT_SIZE, ids=[text for text, _ in WITHOUT_SIZE])
def test_a_pack_without_a_size_says_only_how_many(text: str, expected: PackSize) -> None:
    """The size is then for the book to say."""
    assert read_pack_size(text) == expected


@pytest.mark.parametrize("text", NOT_READ)
def test_what_is_not_a_size_is_not_read(text: str) -> None:
    """Fractions of a keg, nothing at all, two sizes in one: none of them is guessed."""
    assert read_pack_size(text) is None


@pytest.mark.parametrize(
    ("text", "price", "own", "expected"),
    [
        ("6x700ml", "142.80", "750 milliliter", "25.5"),
        ("case of 12", "300", "750 milliliter", "25"),
        ("each", "26", "750 milliliter", "26"),
        ("750", "26", "750 milliliter", "26"),
        ("12 fl oz", "3.54882355", "1000 milliliter", "10"),
        ("16 oz", "4.5359237", "500 gram", "5"),
        ("15 dozen", "90", "12 piece", "6"),
        ("120", "60", "12 piece", "6"),
        ("500", "4", "1000 gram", "8"),
    ],
)
def test_a_price_is_scaled_to_the_book_s_pack(text: str, price: str, own: str, expected: str) -> None:
    """By volume, by mass or by the piece; ounces are poured or weighed as the book has it."""
    size = read_pack_size(text)
    assert size is not None
    found = price_of_pack(size, Decimal(price), pack(own, "1"))
    assert isinstance(found, Decimal)
    assert abs(found - Decimal(expected)) < Decimal("1e-6")


@pytest.mark.parametrize(
    ("text", "own", "why"),
    [
        ("2 kg", "750 milliliter", Unsized.OTHER_KIND),
        ("700 ml", "1 piece", Unsized.OTHER_KIND),
        ("dozen", "750 milliliter", Unsized.OTHER_KIND),
        ("case of 12", "12 piece", Unsized.HOW_MANY),
        ("each", "100 piece", Unsized.HOW_MANY),
        ("0.7", "750 milliliter", Unsized.NO_UNIT),
        ("6", "500 gram", Unsized.NO_UNIT),
    ],
)
def test_what_cannot_be_compared_says_why(text: str, own: str, why: Unsized) -> None:
    """Another kind of size, a number that could be anything, a case of nobody knows how many pieces."""
    size = read_pack_size(text)
    assert size is not None
    assert price_of_pack(size, Decimal(10), pack(own, "1")) is why
