"""What one pour comes to in the glass."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.model import Book, Pour, Role
from recipes.portions import Portion, portion
from recipes.sucrose import DISPLACED_ML_PER_G
from recipes.units import Amount, Unit
from tests.conftest import pack, pours
from tests.known_book import make_known_book, sourced, with_ingredient


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


def measured(line: str, book: Book) -> Portion:
    """The portion of a line."""
    return portion(pours(line)[0], book)


@pytest.mark.parametrize(
    ("line", "ml"),
    [
        ("2 oz gin", "59.147059125"),
        ("22.5 ml lime juice", "22.5"),
        ("2 dash aromatic bitters", "1.8"),
        ("1 piece egg white", "32"),
        ("0.5 piece egg white", "16"),
        ("1 piece lime juice", "27"),
        ("2 wedge lime juice", "6.75"),
        ("2 bottle sweet vermouth", "2000"),
        ("1 bottle sugar syrup", "750"),
        ("123 g sugar syrup", "100"),
    ],
)
def test_a_pour_has_its_volume(line: str, ml: str, book: Book) -> None:
    """Ounces, dashes, pieces by the book or the yield of a pack, wedges, bottles, and grams by density."""
    assert measured(line, book) == Portion(Decimal(ml))


@pytest.mark.parametrize("line", ["8 leaf mint", "1 sprig mint", "2 g mint", "1 piece lime wheel"])
def test_herbs_and_garnishes_take_no_room(line: str, book: Book) -> None:
    """They give flavour, and no volume a bar would count."""
    assert measured(line, book) == Portion(Decimal(0))


@pytest.mark.parametrize(
    ("line", "grams"), [("10 g white sugar", "10"), ("1 tsp white sugar", "4.16"), ("2 cube white sugar", "4.6")]
)
def test_dry_sugar_takes_the_room_of_sugar_dissolved(line: str, grams: str, book: Book) -> None:
    """A spoon is 4.2 g and a cube 2.3 g (USDA 19335); dissolved, it takes less room than scooped."""
    book = with_ingredient(book, replace(book.ingredients["white sugar"], each=sourced("2.3", "gram")))
    found = measured(line, book)
    assert abs(found.dry_g - Decimal(grams)) < Decimal("0.01")
    assert found.ml == found.dry_g * DISPLACED_ML_PER_G


def test_sugar_without_a_density_is_scooped_as_granulated(book: Book) -> None:
    """The bulk density of granulated sugar stands in."""
    book = with_ingredient(book, replace(book.ingredients["white sugar"], density=None))
    assert abs(measured("1 tsp white sugar", book).dry_g - Decimal("4.17")) < Decimal("0.01")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("1 piece gin", "nobody said how much a piece of gin is"),
        ("1 piece cherry", "a jar yields pieces, not millilitres"),
        ("20 g violet liqueur", "no density to turn grams into millilitres"),
    ],
)
def test_a_piece_of_unknown_size_is_unknown(line: str, why: str, book: Book) -> None:
    """Never nothing: unknown."""
    cherry = replace(book.ingredients["cherry"], role=Role.LIQUEUR)
    assert measured(line, with_ingredient(book, cherry)).ml is None, why


def test_a_piece_by_weight_needs_a_density(book: Book) -> None:
    """An egg white given as 33 g is 32 mL by its density, and unknown without one."""
    egg = replace(book.ingredients["egg white"], each=sourced("33", "gram"))
    assert abs((measured("1 piece egg white", with_ingredient(book, egg)).ml or 0) - Decimal("32.1")) < Decimal("0.1")
    assert measured("1 piece egg white", with_ingredient(book, replace(egg, density=None))).ml is None


def test_a_pack_of_pieces_yields_its_share(book: Book) -> None:
    """Six limes that yield 162 mL are 27 mL each."""
    lime = replace(book.ingredients["lime juice"], pack=pack("6 piece", "2.40", "162 milliliter"))
    assert measured("1 piece lime juice", with_ingredient(book, lime)) == Portion(Decimal(27))


def test_a_part_has_no_size(book: Book) -> None:
    """Parts belong to a spec, not to a glass."""
    with pytest.raises(ValueError, match="part"):
        portion(Pour("gin", Amount(Decimal(1), Unit.PART), Role.BASE), book)
