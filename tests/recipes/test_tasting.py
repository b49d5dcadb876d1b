"""What a drink should taste like, from its balance and its ingredients' own words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.model import Drink
from recipes.tasting import PALATE, Feel, taste
from tests.made_up import made_up, the_book

BOOK = the_book()


@pytest.mark.parametrize(
    ("drink", "feels"),
    [
        ("Daiquiri", (Feel.BRIGHT,)),
        ("Gin Rickey", (Feel.TART, Feel.SPARKLING)),
        ("Martini", (Feel.DRY, Feel.STRONG)),
        ("Negroni", (Feel.BITTER, Feel.SWEET)),
        ("Gin and Tonic", (Feel.BITTER, Feel.SPARKLING)),
        ("Clover Club", (Feel.BRIGHT, Feel.RICH)),
        ("Mint Julep", (Feel.SWEET, Feel.STRONG)),
        ("Bamboo", (Feel.DRY,)),
        ("Wine Spritzer", (Feel.DRY, Feel.LIGHT)),
    ],
)
def test_the_balance_is_felt_as_a_bartender_would_say_it(drink: str, feels: tuple[Feel, ...]) -> None:
    """Two words at most (common practice)."""
    assert taste(BOOK.drinks[drink], BOOK).feels == feels


def test_a_drink_without_alcohol_says_so() -> None:
    """Nothing strong, and no guess at it."""
    drink = made_up("2 oz simple syrup", "2 oz water", method="built")
    assert Feel.SOFT in taste(drink, BOOK).feels


@pytest.mark.parametrize(
    ("drink", "flavours", "beneath"),
    [
        ("Negroni", ("herbal", "orange"), "juniper"),
        ("Bee's Knees", ("citrus", "honey"), "juniper"),
        ("Jack Rose", ("citrus", "red fruit"), "apple"),
        ("Mary Pickford", ("tropical", "ripe fruit"), "sugar cane"),
        ("Alexander", ("chocolate", "cream"), "juniper"),
    ],
)
def test_what_lies_on_top_is_told_before_the_base(drink: str, flavours: tuple[str, ...], beneath: str) -> None:
    """The base comes last, underneath."""
    found = taste(BOOK.drinks[drink], BOOK)
    assert (found.flavours, found.beneath) == (flavours, beneath)


@pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
def test_every_word_is_one_of_the_ingredients_own(drink: Drink) -> None:
    """Nothing is made up, nothing told twice, and the shares come to the whole."""
    found = taste(drink, BOOK)
    own = {word for pour in drink.pours for word in BOOK.ingredients[pour.ingredient].flavour} - PALATE
    told = [*found.flavours, *((found.beneath,) if found.beneath else ())]
    assert set(told) <= own
    assert len(told) == len(set(told))
    assert len(found.feels) <= 2
    assert sum(share for _, share in found.shares) == pytest.approx(Decimal(1), abs=Decimal("1e-20"))


def test_more_of_an_ingredient_gives_its_words_a_larger_share() -> None:
    """Twice the honey tastes more of honey."""
    shares = [
        dict(taste(made_up("2 oz gin", f"{honey} oz honey syrup"), BOOK).shares)["honey"] for honey in ("1/2", "1")
    ]
    assert shares[0] < shares[1]


def test_a_dash_of_bitters_is_tasted_beyond_its_volume() -> None:
    """An old fashioned smells of its bitters."""
    assert taste(BOOK.drinks["Old Fashioned"], BOOK).flavours[0] == "clove"


def test_a_spirit_alone_tastes_of_itself() -> None:
    """With nothing on top there is nothing underneath."""
    found = taste(made_up("2 oz gin"), BOOK)
    assert (found.flavours[0], found.beneath) == ("juniper", None)


def test_what_the_book_cannot_tell_is_named() -> None:
    """No words and no numbers: nothing is claimed."""
    riddle = replace(BOOK.ingredients["gin"], flavour=(), abv=None, sugar=None, acid=None, bitterness=None)
    found = taste(made_up("2 oz gin"), replace(BOOK, ingredients={**BOOK.ingredients, "gin": riddle}))
    assert (found.feels, found.flavours, found.shares, found.unknown) == ((), (), (), ("gin",))
