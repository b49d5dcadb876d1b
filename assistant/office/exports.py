"""What the bar takes with it: prices and menu costs as CSV, and all that is remembered as one JSON object."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Mapping
from decimal import ROUND_HALF_UP, Decimal

from assistant import kept
from assistant.answers.edits import as_entry
from assistant.answers.trail import one_trail
from assistant.editing.history import Edit
from assistant.memory import Entry, Memory
from recipes.costing import Costing
from recipes.menu_costs import costs_of
from recipes.model import Book
from recipes.units import Quantity

PRICE_HEADS = ("Ingredient", "Pack", "Price", "Currency")
MENU_HEADS = ("Drink", "Shelf", "Cost", "Menu price", "Without tax", "Pour cost %", "Margin", "No price for")
ALL = 1_000_000_000  # lines of the trail
CENT = Decimal("0.01")


def prices_csv(book: Book) -> str:
    """What each pack costs now; `import prices` reads it back."""
    bought = ((one.name, one.pack) for one in book.ingredients.values() if one.pack is not None)
    return _csv(
        PRICE_HEADS, ((name, _size(pack.size), _exact(pack.price), book.house.currency) for name, pack in bought)
    )


def menu_csv(book: Book) -> str:
    """Each drink with a menu price: what it costs and what its price makes of that, rounded half up to the cent."""
    kept_costs = costs_of(book)
    ranked = (*(costing for _, costing in kept_costs.ranked), *kept_costs.unknown)
    return _csv(MENU_HEADS, (_menu_line(costing, book) for costing in ranked))


def memory_document(memory: Memory) -> dict[str, object]:
    """All that is remembered: what is out, prices, pars, kept drinks, suppliers' names, sales, counts, the trail."""
    now = memory.recall()
    return {
        "out": sorted(now.out),
        "prices": {name: _exact(price) for name, price in now.prices.items()},
        "drinks": [kept.KeptDrink.of(drink).model_dump(mode="json") for drink in now.drinks],
        "unreadable_drinks": list(now.unreadable),
        "supplier_names": {name: list(ingredients) for name, ingredients in now.supplied.items()},
        "sold": dict(now.sold),
        "pars": {name: kept.written_size(par) for name, par in now.pars.items()},
        "on_hand": [kept.written_count(count) for count in now.counted.values()],
        "trail": [_entry(entry) for entry in memory.trail(ALL)],
    }


def book_archive(texts: Mapping[str, str]) -> bytes:
    """The book's own files in one ZIP archive, as they stand."""
    written_to = io.BytesIO()
    with zipfile.ZipFile(written_to, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in texts.items():
            archive.writestr(f"book/{name}", text)
    return written_to.getvalue()


def whole_trail(memory: Memory, edits: Iterable[Edit]) -> tuple[Entry, ...]:
    """All that was changed, the latest first: what the memory knows, and edits of the book's files as kind 'book'."""
    return one_trail(memory.trail(ALL), map(as_entry, edits))


def trail_csv(entries: Iterable[Entry]) -> str:
    """Who changed what, and when, newest first."""
    heads = ("When", "Who", "What", "Name", "Before", "After", "Token", "Undoes")
    lines = (
        (e.at.isoformat(), e.who, e.kind, e.name, _columns(e.before), _columns(e.after), e.token, e.undoes or "")
        for e in entries
    )
    return _csv(heads, lines)


def _entry(entry: Entry) -> dict[str, object]:
    plain = {name: value for name, value in vars(entry).items() if name != "at"}
    return {"at": entry.at.isoformat(), **plain}


def _columns(row: object) -> str:
    """The columns of a row but its name, as 'price 0.60'."""
    values = row.items() if isinstance(row, dict) else ()
    return ", ".join(f"{key} {value}" for key, value in values if key != "name")


def _menu_line(costing: Costing, book: Book) -> tuple[str, ...]:
    share = costing.pour_cost
    return (
        costing.drink.name,
        book.shelves.get(costing.drink.shelf, costing.drink.shelf),
        *(_cents(value) for value in (costing.total, costing.price, costing.net_price)),
        "" if share is None else f"{(share * 100).quantize(CENT, ROUND_HALF_UP)}",
        _cents(costing.margin),
        "; ".join(costing.unknown),
    )


def _cents(value: Quantity | None) -> str:
    """Half up to the cent; nothing where it is unknown."""
    return "" if value is None else f"{value.m_as('money').quantize(CENT, ROUND_HALF_UP)}"


def _exact(price: Quantity) -> str:
    return f"{price.m_as('money'):f}"


def _size(size: Quantity) -> str:
    """As `import prices` reads it: '750 ml', '500 g', '12 pieces'."""
    units = {"[volume]": ("milliliter", "ml"), "[mass]": ("gram", "g"), "[count]": ("piece", "pieces")}
    unit, word = next(told for kind, told in units.items() if size.check(kind))
    return f"{size.m_as(unit).normalize():f} {word}"


def _csv(heads: tuple[str, ...], lines: Iterable[tuple[str, ...]]) -> str:
    written_to = io.StringIO()
    writer = csv.writer(written_to, lineterminator="\r\n")  # RFC 4180
    writer.writerow(heads)
    writer.writerows(lines)
    return written_to.getvalue()
