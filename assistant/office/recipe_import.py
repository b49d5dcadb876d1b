"""Recipes from elsewhere, as schema.org/Recipe in JSON-LD: which can be taken, and what of the others cannot be read.

A recipe is taken whole or not at all. Nothing is assumed of an ingredient: its name must be the book's, or one that the
book says it is called by. What a recipe does not say of ice is taken for none, and told.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from assistant.answers.base import Change, KeepDrink
from assistant.errors import ListRefused
from assistant.office.columns import fold
from assistant.office.near_names import NearNames
from assistant.office.recipe_export import GARNISH_NOTE
from assistant.office.spreadsheet import text_of
from recipes.model import Book, Drink, Ice, Method, Pour, Role
from recipes.units import Unit
from recipes.written import MiswrittenError, WrittenPour, read_pour

SHELF = "imported"
LONGEST_NAME = 80
MOST_DEEP = 12  # of nodes within nodes
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8"}
_UNITS = (
    (re.compile(r"(?<=\d)(?=[a-z])"), " "),  # '60ml'
    (re.compile(r"\b(?:fl\.? ?oz|fluid ounces?|ounces?|oz)\b\.?"), "oz"),
    (re.compile(r"\b(?:millilit(?:er|re)s?|mls?)\b\.?"), "ml"),
    (re.compile(r"\b(?:centilit(?:er|re)s?|cl)\b\.?"), "cl"),
    (re.compile(r"\b(?:teaspoons?|tsps?)\b\.?"), "tsp"),
    (re.compile(r"\b(?:tablespoons?|tbsps?)\b\.?"), "tbsp"),
    (re.compile(r"\b(?:grams?|gr)\b\.?"), "g"),
    (
        re.compile(r"^(\S+(?: \d+/\d+)?) (oz|ml|cl|tsp|tbsp|g|dash(?:es)?|drops?|barspoons?|lea(?:f|ves)) of "),
        r"\1 \2 ",
    ),
)
_METHOD_WORDS = {
    Method.SHAKEN: "shak",
    Method.STIRRED: "stir",
    Method.BLENDED: "blend",
    Method.SWIZZLED: "swizzl",
    Method.THROWN: "throw",
    Method.BUILT: "build",
}


@dataclass(frozen=True)
class Unreadable:
    """What of a recipe cannot be read: 'name', 'there', 'line', 'ingredient', 'method', 'glass' or 'nothing'."""

    what: str
    said: str = ""
    near: tuple[str, ...] = ()  # names of the book that come near


@dataclass(frozen=True)
class Found:
    """One recipe of the document: the drink it would be, or what keeps it out; and what was taken for granted."""

    name: str
    drink: Drink | None
    unreadable: tuple[Unreadable, ...] = ()
    assumed_no_ice: bool = False

    def as_change(self) -> Change | None:
        """What is to be remembered, if it can be taken."""
        return None if self.drink is None else KeepDrink(self.drink)


def read_recipes(data: bytes, book: Book) -> tuple[Found, ...]:
    """The recipes of a JSON-LD document, in its order. Raises ListRefused: 'no json' or 'no recipe'."""
    try:
        document = json.loads(text_of(data), parse_float=str, parse_int=str)
    except (json.JSONDecodeError, RecursionError) as error:
        raise ListRefused("no json", str(getattr(error, "lineno", 1))) from error
    nodes = list(_recipes(document))
    if not nodes:
        raise ListRefused("no recipe")
    reader = _Reader(book)
    return tuple(reader.read(node) for node in nodes)


def _recipes(value: object, depth: int = 0) -> Iterator[Mapping[str, object]]:
    """Every Recipe of a document, wherever it stands."""
    if depth > MOST_DEEP:
        return
    if isinstance(value, list):
        for item in value:
            yield from _recipes(item, depth + 1)
    elif isinstance(value, dict):
        if "Recipe" in _texts(value.get("@type")):
            yield value
        else:
            for item in value.values():
                yield from _recipes(item, depth + 1)


def _texts(value: object, depth: int = 0) -> list[str]:
    """What a property says, one text each: it may be a text, a thing with a text or a name, or a list of them."""
    if depth > MOST_DEEP:
        return []
    match value:
        case str():
            return [" ".join(value.split())] if value.strip() else []
        case list():
            return [text for item in value for text in _texts(item, depth + 1)]
        case dict():
            return _texts(value.get("itemListElement") or value.get("text") or value.get("name"), depth + 1)
    return []


class _Reader:
    def __init__(self, book: Book) -> None:
        self._book = book
        called: dict[str, set[str]] = defaultdict(set)
        for one in book.ingredients.values():
            for name in one.spoken:
                called[fold(name)].add(one.name)
        own = {fold(name): name for name in book.ingredients}
        self._known = {name: min(names) for name, names in called.items() if len(names) == 1} | own
        self._near = NearNames(
            (name, one.name) for one in book.ingredients.values() for name in (*one.spoken, one.name)
        )
        self._glasses = {
            fold(word): glass.name for glass in book.glasses.values() for word in (*glass.spoken, glass.name)
        }
        self._there = {fold(name) for name in book.drinks}

    def read(self, node: Mapping[str, object]) -> Found:
        """One recipe, as far as it can be read."""
        name = " ".join(_texts(node.get("name")))[:LONGEST_NAME]
        steps = tuple(_texts(node.get("recipeInstructions")))
        lines = _texts(node.get("recipeIngredient") or node.get("ingredients"))
        pours, garnish, faults = self._lines(lines)
        method, glass = self._method(node, steps), self._glass(node, steps)
        faults = [*self._of_name(name), *faults]
        faults += [Unreadable("nothing")] if not lines else []
        faults += [Unreadable("method")] if method is None else []
        faults += [Unreadable("glass", " ".join(_texts(node.get("tool"))))] if glass is None else []
        if faults or method is None or glass is None:
            return Found(name or "?", None, tuple(faults))
        ice = _ice(node, steps)
        taste = " ".join(_texts(node.get("description")))
        drink = Drink(name, SHELF, pours, method, glass, ice or Ice.NONE, garnish, steps, taste=taste)
        return Found(name, drink, assumed_no_ice=ice is None)

    def _of_name(self, name: str) -> list[Unreadable]:
        if not name:
            return [Unreadable("name")]
        return [Unreadable("there", name)] if fold(name) in self._there else []

    def _lines(self, lines: list[str]) -> tuple[tuple[Pour, ...], tuple[str, ...], list[Unreadable]]:
        pours: list[Pour] = []
        garnish: list[str] = []
        faults: list[Unreadable] = []
        for line in lines:
            found = self._pour(line)
            if isinstance(found, Unreadable):
                faults.append(found)
            elif found.note == GARNISH_NOTE:
                garnish.append(found.ingredient)
            else:
                pours.append(found)
        return tuple(pours), tuple(garnish), faults

    def _pour(self, line: str) -> Pour | Unreadable:
        try:
            told = self._counted(line) or read_pour(_plainer(line))
        except MiswrittenError:
            return Unreadable("line", line)
        name = self._known.get(fold(told.ingredient))
        if name is None:
            return Unreadable("ingredient", told.ingredient, self._near.near(told.ingredient))
        role = told.role or self._book.ingredients[name].role
        is_garnish = role is Role.GARNISH and told.amount.unit is Unit.PIECE and not told.note
        return Pour(name, told.amount, role, GARNISH_NOTE if is_garnish else told.note)

    def _counted(self, line: str) -> WrittenPour | None:
        """'1 egg white': a number and, without a unit, just the name that the book has for something."""
        number, _, rest = line.partition(" ")
        name = rest.partition(",")[0].partition(" as ")[0]
        if not number.isdecimal() or name not in self._book.ingredients:
            return None
        return read_pour(f"{number} {Unit.PIECE.value} {rest}")

    def _method(self, node: Mapping[str, object], steps: tuple[str, ...]) -> Method | None:
        """As it is told; else by the first of our words for it that the steps have."""
        told = " ".join(_texts(node.get("cookingMethod"))).casefold()
        for text in (told, *(step.casefold() for step in steps)):
            found = [method for method, word in _METHOD_WORDS.items() if word in text or method.value == text]
            if found:
                return min(found, key=lambda method: (method.value != text, text.find(_METHOD_WORDS[method])))
        return None

    def _glass(self, node: Mapping[str, object], steps: tuple[str, ...]) -> str | None:
        """As a tool is called; else the longest of the book's glasses that the steps name."""
        for tool in _texts(node.get("tool")):
            if fold(tool) in self._glasses:
                return self._glasses[fold(tool)]
        text = f" {fold(' '.join(steps))} "
        named = [word for word in self._glasses if f" {word} " in text]
        return self._glasses[max(named, key=len)] if named else None


def _plainer(line: str) -> str:
    """Fractions and units as the book writes them."""
    for sign, fraction in _VULGAR.items():
        line = re.sub(rf"\s*{sign}", f" {fraction}", line)
    text = line.strip()
    text = text[: (at := len(re.match(r"[\d\s/.,]*[A-Za-z]*\.?(?: ounces?| oz)?", text)[0]))].casefold() + text[at:]  # type: ignore[index]
    for pattern, plain in _UNITS:
        text = pattern.sub(plain, text, count=1)
    return " ".join(text.split())


def _ice(node: Mapping[str, object], steps: tuple[str, ...]) -> Ice | None:
    """What is in the glass; None where nothing tells."""
    supply = [fold(text) for text in _texts(node.get("supply"))]
    for ice in (Ice.CRUSHED, Ice.LARGE, Ice.CUBED):
        if any(ice.value in text for text in supply):
            return ice
    text = fold(" ".join(steps))
    if "crushed ice" in text:
        return Ice.CRUSHED
    return Ice.CUBED if re.search(r"over (?:fresh )?(?:cubed )?ice|on the rocks", text) else None
