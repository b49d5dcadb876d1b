"""A book that is asked again and again is worked out again only where it has changed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.editions import Editions
from assistant.memory import Remembered
from recipes.menu_costs import costs_of, menu
from recipes.model import Book
from recipes.units import quantity

NOTHING = Remembered(0, frozenset(), {}, ())
DEARER_GIN = replace(NOTHING, version=1, prices={"gin": quantity(60, "money")})


@pytest.fixture
def editions() -> Editions:
    """Nothing made yet."""
    return Editions()


def test_what_is_out_makes_no_new_book(tiny_book: Book, editions: Editions) -> None:
    """The costs of the menu are not worked out again because the mint is gone."""
    before, _ = editions.of(tiny_book, NOTHING)
    after, _ = editions.of(tiny_book, replace(NOTHING, version=1, out=frozenset({"mint"})))
    assert after is before


def test_a_price_makes_a_new_book_that_goes_on_from_the_last(tiny_book: Book, editions: Editions) -> None:
    """A drink without gin keeps the very costing that it had; one with gin has another."""
    before, _ = editions.of(tiny_book, NOTHING)
    menu(before)
    after, _ = editions.of(tiny_book, DEARER_GIN)
    old, new = costs_of(before).costings, costs_of(after).costings
    assert {name for name in new if new[name] is not old[name]} == {
        "Gimlet",
        "Clover Club",
        "Aviation",
        "Southside",
        "Gin Rickey",
    }


def test_costs_go_on_across_editions_that_nobody_asked(tiny_book: Book, editions: Editions) -> None:
    """Two prices set between two questions: both are in the answer, and the rest is from before both."""
    first, _ = editions.of(tiny_book, NOTHING)
    menu(first)
    editions.of(tiny_book, DEARER_GIN)
    both = replace(DEARER_GIN, version=2, prices={**DEARER_GIN.prices, "mint": quantity(9, "money")})
    last, _ = editions.of(tiny_book, both)
    anew = tiny_book.with_prices(both.prices)
    assert costs_of(last).costings == costs_of(anew).costings
    assert costs_of(last).costings["Manhattan"] is costs_of(first).costings["Manhattan"]


def test_a_kept_drink_is_costed_and_the_others_stay(tiny_book: Book, editions: Editions) -> None:
    """A riff that was named costs what it costs; nothing else is reckoned again."""
    first, _ = editions.of(tiny_book, NOTHING)
    menu(first)
    riff = replace(tiny_book.drinks["Gimlet"], name="Harbour Gimlet")
    last, _ = editions.of(tiny_book, replace(NOTHING, version=1, drinks=(riff,)))
    assert costs_of(last).costings["Harbour Gimlet"].drink == riff
    assert costs_of(last).costings["Gimlet"] is costs_of(first).costings["Gimlet"]


def test_edited_files_are_another_book(tiny_book: Book, editions: Editions) -> None:
    """Limes at another yield, in the files themselves."""
    first, _ = editions.of(tiny_book, NOTHING)
    menu(first)
    last, _ = editions.of(replace(tiny_book, house=replace(tiny_book.house, waste=tiny_book.house.waste * 2)), NOTHING)
    assert costs_of(last).costings["Gimlet"].known_money > costs_of(first).costings["Gimlet"].known_money
