"""Drinks that are in no book, written as the book writes them and poured from the shelf of the real one."""

from __future__ import annotations

from functools import lru_cache

from recipes.loader import load_book
from recipes.model import Book, Drink, Ice, Method, Pour
from recipes.written import read_pour


@lru_cache(maxsize=1)
def the_book() -> Book:
    """The book that this package ships, read once."""
    return load_book()


def made_up(
    *lines: str, method: str = "shaken", ice: str = "none", garnish: tuple[str, ...] = (), name: str = "Made Up"
) -> Drink:
    """A drink of these pours ('2 oz gin'); each has its ingredient's role unless it says 'as <role>'."""
    pours = tuple(_pour(line) for line in lines)
    return Drink(name, "test", pours, Method(method), "rocks glass", Ice(ice), garnish, ("Mix.",))


def _pour(line: str) -> Pour:
    written = read_pour(line)
    role = written.role or the_book().ingredients[written.ingredient].role
    return Pour(written.ingredient, written.amount, role, written.note)
