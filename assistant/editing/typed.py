"""What has been typed so far: each line read by itself, and the drink or ingredient that the readable part makes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.editing.drafts import Draft
from assistant.editing.rewriting import Fields, Value
from recipes.faults import write_instead
from recipes.model import Book, Drink, Ice, Method, Pour
from recipes.spec import written
from recipes.units import Unit, quantity
from recipes.written import MiswrittenError, read_pour

ADD_FIRST = "add the ingredient to the book first"


@dataclass(frozen=True)
class ReadLine:
    """One line: the pour that it is, or what is wrong with it, how to mend it, and the line to write instead."""

    text: str
    pour: Pour | None
    problem: str = ""
    mend: str = ""
    instead: str = ""


def read_lines(lines: Iterable[str], book: Book) -> tuple[ReadLine, ...]:
    """Each line as the book's files would have it read."""
    return tuple(_read(line, book) for line in lines)


def drink_so_far(draft: Draft, book: Book) -> Drink | None:
    """The drink that the readable part of a draft makes; None while no pour can be read."""
    fields = draft.fields
    pours = tuple(line.pour for line in read_lines(texts(fields.get("pours")), book) if line.pour is not None)
    if not pours:
        return None
    price = fields.get("price")
    glass = str(fields.get("glass") or "")
    return Drink(
        name=draft.name or "Drink",
        shelf="",
        pours=pours,
        method=next((one for one in Method if one.value == fields.get("method")), Method.BUILT),
        glass=glass if glass in book.glasses else next(iter(book.glasses)),
        ice=next((one for one in Ice if one.value == fields.get("ice")), Ice.NONE),
        garnish=tuple(name for name in texts(fields.get("garnish")) if name in book.ingredients),
        steps=texts(fields.get("steps")),
        price=None if isinstance(price, str | tuple) or not price else quantity(str(price), "money"),
        family=_family(fields.get("family"), book),
    )


def fields_of_drink(drink: Drink, book: Book) -> Fields:
    """The fields that say what a drink is."""
    return {
        "name": drink.name,
        "say": drink.spoken,
        "sounds_like": drink.sounds_like,
        "pours": tuple(_pour_line(pour, book) for pour in drink.pours),
        "method": drink.method.value,
        "glass": drink.glass,
        "ice": drink.ice.value,
        "garnish": drink.garnish,
        "steps": drink.steps,
        "price": None if drink.price is None else drink.price.m_as("money"),
        "family": drink.family,
        "note": drink.note,
        "taste": drink.taste,
    }


def texts(value: Value | None) -> tuple[str, ...]:
    """The items of a list; none for anything else."""
    return value if isinstance(value, tuple) else ()


def _pour_line(pour: Pour, book: Book) -> str:
    """The pour as the book writes it."""
    piece = f" {Unit.PIECE.value}" if pour.amount.unit is Unit.PIECE else ""
    role = "" if pour.role is book.ingredients[pour.ingredient].role else f" as {pour.role.value}"
    note = f", {pour.note}" if pour.note else ""
    return f"{written(pour.amount)}{piece} {pour.ingredient}{role}{note}"


def _read(text: str, book: Book) -> ReadLine:
    try:
        told = read_pour(text)
    except MiswrittenError as error:
        return ReadLine(text, None, error.problem, error.mend)
    ingredient = book.ingredients.get(told.ingredient)
    if ingredient is None:
        return _unknown(text, told.ingredient, book)
    return ReadLine(text, Pour(ingredient.name, told.amount, told.role or ingredient.role, told.note))


def _unknown(text: str, name: str, book: Book) -> ReadLine:
    """A name that the book lacks: one that it is also called by, else the nearest in spelling."""
    problem = f'no ingredient is called "{name}"'
    called = [one.name for one in book.ingredients.values() if name.casefold() in _wordings(one.name, one.spoken)]
    mend = f'write "{called[0]}"' if called else write_instead(name, book.ingredients, ADD_FIRST)
    instead = mend.removeprefix("write ").strip('"') if mend != ADD_FIRST else ""
    return ReadLine(text, None, problem, mend, text.replace(name, instead, 1) if instead else "")


def _wordings(name: str, spoken: tuple[str, ...]) -> Iterator[str]:
    return (wording.casefold() for wording in (name, *spoken))


def _family(word: object, book: Book) -> str | None:
    return str(word) if word in book.families else None
