"""A supplier's price list against the book: what would change, what is doubtful, and what cannot be read.

Names are the book's own, to the letter, or those that were given before (`Supplied`); a name that is only near is
offered and never assumed. A list changes all that it changes, or nothing: one fault on a line of the book's ingredients
holds the rest back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from assistant.answers.base import Change, SetPrice, Supplied
from assistant.errors import ListRefused
from assistant.office.columns import Sheet, fold, sheet_of
from assistant.office.near_names import NearNames
from assistant.office.pack_sizes import Of, PackSize, Unsized, price_of_pack, read_pack_size
from assistant.office.spreadsheet import Line, text_of
from assistant.office.written_money import Unread, decimal_mark, is_foreign, read_money
from recipes.model import Book, Ingredient
from recipes.units import Quantity, quantity

LARGE = Decimal(3)  # a price three times what it was, or a third of it, is more often a misread pack than a market
FINEST = Decimal("0.0001")  # of money


@dataclass(frozen=True)
class Asked:
    """What the person says about a list, besides the list itself."""

    columns: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))  # what it holds -> heading, number
    matches: Mapping[str, tuple[str, ...]] = field(
        default_factory=lambda: MappingProxyType({})
    )  # its name -> the book's
    large_changes: bool = False  # that large changes are right


@dataclass(frozen=True)
class Priced:
    """One line that prices an ingredient: as written, and what that makes of the book's own pack."""

    line: int
    ingredient: str
    pack: str  # as written
    said: str  # the price as written
    old: Quantity
    new: Quantity
    assumed: bool = False  # that the supplier's bottle is the book's, since no size is written
    own_pack: bool = False  # the supplier's single pack is just the book's

    @property
    def is_large(self) -> bool:
        """Whether the price moved so far that a misread pack is likely."""
        old, new = self.old.magnitude, self.new.magnitude
        return new != old and (not old or not old / LARGE < new < old * LARGE)


@dataclass(frozen=True)
class LineFault:
    """Why a line cannot be taken: `reason` is a value of Unread or Unsized, or 'cells', 'twice', 'large', 'count'."""

    line: int
    name: str
    reason: str
    said: str = ""


@dataclass(frozen=True)
class NearLine:
    """A line whose name is not the book's, but near to some that are."""

    line: int
    name: str
    near: tuple[str, ...]


@dataclass(frozen=True)
class Preview:
    """What a list would do. With faults it does nothing at all."""

    changes: tuple[Priced, ...]
    unchanged: tuple[Priced, ...]
    faults: tuple[LineFault, ...]
    near: tuple[NearLine, ...]
    made_here: tuple[str, ...]  # on the list, but the book makes them or has no pack for them
    others: int  # lines of things that are not in the book
    matches: Mapping[str, tuple[str, ...]]  # names given now, to be remembered

    def as_changes(self) -> tuple[Change, ...]:
        """What is to be remembered, if the list is taken."""
        prices = [SetPrice(priced.ingredient, priced.new) for priced in self.changes]
        return (*prices, *(Supplied(name, ingredients) for name, ingredients in self.matches.items()))


def preview(data: bytes, book: Book, supplied: Mapping[str, tuple[str, ...]], asked: Asked = Asked()) -> Preview:
    """What a supplier's list would change. `supplied`: names that suppliers gave before -> ingredients.

    Raises ListRefused when the list cannot be read at all, or a match names what is not there.
    """
    sheet = sheet_of(text_of(data), "prices", asked.columns)
    column = "price" if "price" in sheet.places else "each"
    if is_foreign(sheet.headings.get(column, ""), book.house.currency):
        raise ListRefused("currency", sheet.headings[column], book.house.currency)
    return _Reading(sheet, column, book, supplied, asked).preview()


class _Reading:
    """One list being read."""

    def __init__(
        self, sheet: Sheet, column: str, book: Book, supplied: Mapping[str, tuple[str, ...]], asked: Asked
    ) -> None:
        self._sheet, self._book, self._column, self._asked = sheet, book, column, asked
        self._given = {fold(name): names for name, names in asked.matches.items()}
        self._check_given()
        own = {fold(name): (name,) for name in book.ingredients}
        self._known = own | dict(supplied) | self._given
        self._mark = decimal_mark(sheet.cell(line, column) for line in sheet.lines)
        self._faults: list[LineFault] = []

    def preview(self) -> Preview:
        """The whole list, line by line."""
        ours = [(line, names) for line in self._sheet.lines if (names := self._ingredients(line))]
        bought = [(line, name) for line, names in ours for name in names if self._book.ingredients[name].pack]
        rows = list(self._one_each(priced for line, name in bought for priced in self._priced(line, name)))
        taken = {line.number for line, _ in ours}
        rest = [line for line in self._sheet.lines if line.number not in taken]
        near = tuple(self._near(rest))
        changes = tuple(row for row in rows if row.new != row.old)
        if not self._asked.large_changes:
            self._faults += [LineFault(row.line, row.ingredient, "large") for row in changes if row.is_large]
        return Preview(
            changes=changes,
            unchanged=tuple(row for row in rows if row.new == row.old),
            faults=tuple(sorted(self._faults, key=lambda fault: fault.line)),
            near=near,
            made_here=tuple(dict.fromkeys(n for _, names in ours for n in names if not self._book.ingredients[n].pack)),
            others=len(rest) - len(near),
            matches=self._given,
        )

    def _check_given(self) -> None:
        """What was given must be there, on both sides: a slip of the pen must not be remembered."""
        there = {self._name(line) for line in self._sheet.lines}
        for name, ingredients in self._given.items():
            missing = [ingredient for ingredient in ingredients if ingredient not in self._book.ingredients]
            if missing:
                raise ListRefused("no such ingredient", *missing)
            if name not in there:
                raise ListRefused("no such name", name)

    def _name(self, line: Line) -> str:
        return fold(self._sheet.cell(line, "item"))

    def _ingredients(self, line: Line) -> tuple[str, ...]:
        names = self._known.get(self._name(line), ())
        return tuple(name for name in names if name in self._book.ingredients)

    def _priced(self, line: Line, name: str) -> Iterator[Priced]:
        """The line as a price of the book's pack; a fault is noted instead where it is none."""
        ingredient = self._book.ingredients[name]
        said, pack_text = self._sheet.cell(line, self._column), self._sheet.cell(line, "pack")
        if self._too_many_cells(line):
            self._faults.append(LineFault(line.number, name, "cells", str(len(line.cells))))
            return
        money = read_money(said, self._mark, self._book.house.currency)
        size = self._size(line)
        if isinstance(money, Unread):
            if money is Unread.NOT_POSITIVE and _is_free(ingredient):
                return
            self._faults.append(LineFault(line.number, name, money, said))
        elif isinstance(size, Unsized):
            self._faults.append(LineFault(line.number, name, size, pack_text or self._sheet.cell(line, "count")))
        else:
            yield from self._compared(line, ingredient, size, money)

    def _compared(self, line: Line, ingredient: Ingredient, size: PackSize, money: Decimal) -> Iterator[Priced]:
        pack = ingredient.pack
        if pack is None:
            return
        if self._column == "each":
            size = PackSize(Decimal(1), size.of, size.number)
        told = price_of_pack(size, money, pack)
        pack_text = self._sheet.cell(line, "pack")
        if isinstance(told, Unsized):
            self._faults.append(LineFault(line.number, ingredient.name, told, pack_text))
            return
        said = self._sheet.cell(line, self._column)
        new, old = quantity(told.quantize(FINEST).normalize(), "money"), pack.price
        own = size.count == 1 and price_of_pack(size, Decimal(1), pack) == 1
        assumed = size.of in (Of.THING, Of.PACK, Of.PIECE) and not pack.size.check("[count]")
        yield Priced(line.number, ingredient.name, pack_text, said, old, new, assumed, own)

    def _size(self, line: Line) -> PackSize | Unsized:
        """The pack of a line, with the column of units in a case where there is one; no pack written: the book's."""
        written, many = self._sheet.cell(line, "pack"), self._sheet.cell(line, "count")
        size = read_pack_size(written) if written else PackSize(Decimal(1), Of.PACK)
        if size is None or (many and (not many.isdecimal() or not int(many))):
            return Unsized.NOT_UNDERSTOOD
        if not many or size.count == int(many):
            return size
        return PackSize(Decimal(many), size.of, size.number) if size.count == 1 else Unsized.NOT_UNDERSTOOD

    def _too_many_cells(self, line: Line) -> bool:
        width = self._sheet.width
        return width is not None and any(line.cells[width:])

    def _one_each(self, rows: Iterable[Priced]) -> Iterator[Priced]:
        """One price for each ingredient: the only one, or that of the book's own pack; else a fault."""
        by_name: dict[str, list[Priced]] = defaultdict(list)
        for row in rows:
            by_name[row.ingredient].append(row)
        for name, found in by_name.items():
            own = [row for row in found if row.own_pack] or found
            if len({row.new for row in own}) > 1:
                lines = ", ".join(str(row.line) for row in own)
                self._faults.append(LineFault(own[-1].line, name, "twice", lines))
            else:
                yield own[0]

    def _near(self, lines: list[Line]) -> Iterator[NearLine]:
        bought = [ingredient for ingredient in self._book.ingredients.values() if ingredient.pack]
        nearest = NearNames((name, one.name) for one in bought for name in (*one.spoken, one.name))
        for line in lines:
            name = self._sheet.cell(line, "item")
            found = nearest.near(name)
            if found and self._sheet.cell(line, self._column):
                yield NearLine(line.number, name, found)


def _is_free(ingredient: Ingredient) -> bool:
    """Whether the book has it for nothing, as water from the tap; then a list may say so too."""
    return ingredient.pack is not None and not ingredient.pack.price.magnitude
