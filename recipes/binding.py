"""Binds the pages into a book: shapes first, then names and amounts, then what only the whole book shows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from recipes import assemble
from recipes.assemble import Assembler, Known
from recipes.check import Named, circles, names_said_twice
from recipes.doubts import ingredient_doubts, uncosted, unpriced, unweighed
from recipes.faults import Fault, Page, Place
from recipes.kin import FamilyEntry, family_faults, rule
from recipes.model import Book, House, Role
from recipes.schema import DrinkEntry, GlassEntry, HouseEntry, IngredientEntry, NoHead, ShelfHead, SourceEntry
from recipes.shape import Model, Written, read_entries, read_head

HOUSE, GLASSES, SOURCES, FAMILIES = "house.toml", "glasses.toml", "sources.toml", "families.toml"
INGREDIENTS = "ingredients/"


@dataclass(frozen=True)
class Shelf:
    """The drinks of one file; the head is None when it has faults."""

    head: Written[ShelfHead] | None
    drinks: list[Written[DrinkEntry]]

    @property
    def id(self) -> str:
        """The shelf's id, or nothing when the head has faults."""
        return self.head.entry.shelf if self.head else ""


@dataclass(frozen=True)
class Manuscript:
    """Every entry that has the right shape."""

    house: Written[HouseEntry] | None
    glasses: list[Written[GlassEntry]]
    sources: list[Written[SourceEntry]]
    ingredients: list[Written[IngredientEntry]]
    shelves: list[Shelf]
    families: list[Written[FamilyEntry]]
    family_ids: frozenset[str]  # of every family written down, right or wrong

    @property
    def drinks(self) -> list[Written[DrinkEntry]]:
        """The drinks of every shelf."""
        return [written for shelf in self.shelves for written in shelf.drinks]


def bind(pages: Sequence[Page], all_here: bool = True, closely: bool = False) -> tuple[Book | None, list[Fault]]:
    """The book, or None when there are faults, and everything found; warnings are looked for only `closely`.

    With pages missing (`all_here` False) only shapes are checked: the names on the missing pages are not known.
    """
    found: list[Fault] = []
    manuscript = _read(pages, found)
    if not all_here or manuscript.house is None:
        return None, found
    house = assemble.house(manuscript.house, found)
    book = _assemble(manuscript, house, Assembler(_known(pages), house.measures, found))
    found += _whole_book(manuscript, book)
    sound = not found
    if closely:
        found += _doubts(manuscript, book, sound)
    return (book if sound else None), found


def _read(pages: Sequence[Page], found: list[Fault]) -> Manuscript:
    return Manuscript(
        house=_house(pages, found),
        glasses=[e for page in pages if page.file == GLASSES for e in _only(page, "glass", GlassEntry, found)],
        sources=[e for page in pages if page.file == SOURCES for e in _only(page, "source", SourceEntry, found)],
        ingredients=[
            entry
            for page in pages
            if page.file.startswith(INGREDIENTS)
            for entry in _only(page, "ingredient", IngredientEntry, found)
        ],
        shelves=[
            Shelf(read_head(page, ShelfHead, ("drink",), found), read_entries(page, "drink", DrinkEntry, found))
            for page in pages
            if _is_shelf(page)
        ],
        families=[e for page in pages if page.file == FAMILIES for e in _only(page, "family", FamilyEntry, found)],
        family_ids=frozenset(
            str(row.get("id")) for page in pages if page.file == FAMILIES for row in _rows(page, "family")
        ),
    )


def _is_shelf(page: Page) -> bool:
    """A page of drinks, or one that can be meant for nothing else: passed over, a slip in its heading would lose it."""
    elsewhere = page.file in (HOUSE, GLASSES, SOURCES, FAMILIES) or page.file.startswith(INGREDIENTS)
    return bool({"shelf", "drink"} & page.data.keys() or (page.data and not elsewhere))


def _house(pages: Sequence[Page], found: list[Fault]) -> Written[HouseEntry] | None:
    page = next((page for page in pages if page.file == HOUSE), None)
    if page is None:
        found.append(Fault(HOUSE, 1, "", "", "the file is missing", "write the house's settings in it"))
        return None
    return read_head(page, HouseEntry, (), found)


def _only(page: Page, table: str, model: type[Model], found: list[Fault]) -> list[Written[Model]]:
    """The entries of a page that may hold nothing else."""
    read_head(page, NoHead, (table,), found)
    return read_entries(page, table, model, found)


def _known(pages: Sequence[Page]) -> Known:
    ingredients = (row for page in pages if page.file.startswith(INGREDIENTS) for row in _rows(page, "ingredient"))
    glasses = (row for page in pages if page.file == GLASSES for row in _rows(page, "glass"))
    sources = (row for page in pages if page.file == SOURCES for row in _rows(page, "source"))
    return Known(
        roles={str(row.get("name")): _role(row.get("role")) for row in ingredients},
        glasses={str(row.get("name")) for row in glasses},
        sources={str(row.get("id")) for row in sources},
    )


def _rows(page: Page, table: str) -> list[Mapping[str, Any]]:
    rows = page.data.get(table, [])
    return [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, list) else []


def _role(word: object) -> Role | None:
    return next((role for role in Role if role.value == word), None)


def _assemble(manuscript: Manuscript, house: House, assembler: Assembler) -> Book:
    ingredients = [assembler.ingredient(written) for written in manuscript.ingredients]
    drinks = [assembler.drink(written, shelf.id) for shelf in manuscript.shelves for written in shelf.drinks]
    heads = [shelf.head.entry for shelf in manuscript.shelves if shelf.head]
    return Book(
        house=house,
        ingredients=MappingProxyType({ingredient.name: ingredient for ingredient in ingredients}),
        drinks=MappingProxyType({drink.name: drink for drink in drinks}),
        glasses=MappingProxyType({w.entry.name: assemble.glass(w.entry) for w in manuscript.glasses}),
        sources=MappingProxyType({w.entry.id: assemble.source(w.entry) for w in manuscript.sources}),
        shelves=MappingProxyType({head.shelf: head.title for head in heads}),
        shelf_names=MappingProxyType({head.shelf: head.say for head in heads}),
        families=MappingProxyType({w.entry.id: rule(w.entry) for w in manuscript.families}),
    )


def _whole_book(manuscript: Manuscript, book: Book) -> list[Fault]:
    heads = [shelf.head for shelf in manuscript.shelves if shelf.head]
    drinks = manuscript.drinks
    return [
        *names_said_twice((Named(w.place, w.entry.name, w.entry.say) for w in manuscript.ingredients), "ingredient"),
        *names_said_twice((Named(w.place, w.entry.name, w.entry.say) for w in drinks), "drink"),
        *names_said_twice((Named(w.place, w.entry.name, w.entry.say) for w in manuscript.glasses), "glass"),
        *names_said_twice((Named(w.place, w.entry.id) for w in manuscript.sources), "source"),
        *names_said_twice((Named(w.place, w.entry.shelf, w.entry.say) for w in heads), "shelf"),
        *family_faults(manuscript.families, manuscript.family_ids, drinks, book.ingredients.values()),
        *circles(book.ingredients, _places(manuscript.ingredients)),
    ]


def _doubts(manuscript: Manuscript, book: Book, sound: bool) -> list[Fault]:
    places = _places(manuscript.ingredients)
    return [
        *ingredient_doubts(book.ingredients, places),
        *unpriced(book.drinks, _places(manuscript.drinks)),
        *(uncosted(book, places) if sound else ()),
        *(unweighed(book, places) if sound else ()),
    ]


def _places(entries: Iterable[Written[IngredientEntry]] | Iterable[Written[DrinkEntry]]) -> dict[str, Place]:
    return {written.entry.name: written.place for written in entries}
