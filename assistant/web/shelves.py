"""The book as the manager's page lists it: every drink and ingredient on its shelf, with what it costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.answers.figures import money_figure, percent_figure
from assistant.answers.pack_prices import pack_size
from recipes.costing import cost
from recipes.model import Book, Drink, Ingredient

HOUSE_MADE = "made here"
NO_PRICE = "no price"


@dataclass(frozen=True)
class Item:
    """One line of the list; figures are empty where costs are not shown."""

    name: str
    figures: tuple[str, ...] = ()
    tone: str = "plain"  # 'warn' where something is unknown, or over the house's target


@dataclass(frozen=True)
class Shelf:
    """Some lines under a title."""

    title: str
    items: tuple[Item, ...]


def drink_shelves(book: Book, costs_shown: bool) -> tuple[Shelf, ...]:
    """The drinks by shelf."""
    shelves: dict[str, list[Item]] = {}
    for drink in book.drinks.values():
        title = book.shelves.get(drink.shelf, drink.shelf.capitalize())
        shelves.setdefault(title, []).append(_drink(drink, book, costs_shown))
    return tuple(Shelf(title, tuple(items)) for title, items in shelves.items())


def ingredient_shelves(book: Book, pages: Mapping[str, tuple[str, ...]], costs_shown: bool) -> tuple[Shelf, ...]:
    """The ingredients by file; `pages` has the names of each file's by its title."""
    return tuple(
        Shelf(
            title,
            tuple(_ingredient(book.ingredients[name], book, costs_shown) for name in names if name in book.ingredients),
        )
        for title, names in pages.items()
    )


def _drink(drink: Drink, book: Book, costs_shown: bool) -> Item:
    if not costs_shown:
        return Item(drink.name)
    found, house = cost(drink, book), book.house
    share = found.pour_cost
    price = NO_PRICE if drink.price is None else money_figure(drink.price, house).text
    over = share is None or share > house.target_pour_cost
    return Item(drink.name, (price, percent_figure(None if share is None else share * 100).text), _tone(over))


def _ingredient(ingredient: Ingredient, book: Book, costs_shown: bool) -> Item:
    if not costs_shown:
        return Item(ingredient.name)
    if ingredient.pack is not None:
        told = pack_size(ingredient.pack).text, money_figure(ingredient.pack.price, book.house).text
        return Item(ingredient.name, told)
    return Item(ingredient.name, (HOUSE_MADE if ingredient.made else NO_PRICE,), _tone(ingredient.made is None))


def _tone(is_doubtful: bool) -> str:
    return "warn" if is_doubtful else "plain"
