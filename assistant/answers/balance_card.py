"""The balance of a drink for the eye: bars against its family, the numbers, and what they stand on."""

from __future__ import annotations

from decimal import Decimal

from assistant.answers.figures import figure, mass_figure, percent_figure, volume_figure
from assistant.answers.measured import facts
from assistant.answers.speech import joined
from assistant.messages import Bar, Bars, Block, Card, Figure, Note, Row, Table
from recipes.balance import Balance
from recipes.dilution import BASIS, SPREAD, Basis
from recipes.families import classify
from recipes.model import Book, Drink, Method
from recipes.rebalance import Aim, band
from recipes.units import Quantity
from recipes.vectors import ABV, ACID_PCT, BITTERNESS, SUGAR_GL, Vectors
from recipes.washline import WashLine

BASIS_WORDS = {
    Basis.PUBLISHED: "a published fit for {} drinks",
    Basis.COMMON_PRACTICE: "common practice for {} drinks",
    Basis.HOUSE_CHOICE: "this house's reckoning for {} drinks",
}


def card(drink: Drink, found: Balance, book: Book) -> Card:
    """The card of a drink's balance."""
    notes = [Note(_basis(drink.method))] if found.water is not None and found.water.magnitude else []
    notes += [Note(f"Unknown, ask or read the label: {joined(found.unknown)}.", "warn")] if found.unknown else []
    blocks: tuple[Block, ...] = (_bars(drink, found, book), _table(found), *notes)
    return Card("balance", drink.name, facts(drink), blocks)


def _basis(method: Method) -> str:
    basis = BASIS_WORDS[BASIS[method]].format(method.value)
    return f"Water from ice by {basis}; allow {SPREAD * 100:.0f} % either way."


def _bars(drink: Drink, found: Balance, book: Book) -> Bars:
    family = drink.family or classify(drink, book).family
    aim = band(family, Vectors(book)) if family and _has_members(family, book) else None
    measures = (
        ("Strength", magnitude(found.abv, "percent"), "% vol", 1, ABV, Decimal(45)),
        ("Sugar", magnitude(found.sugar, "gram/liter"), "g/l", 0, SUGAR_GL, Decimal(150)),
        ("Acid", magnitude(found.acid, "gram/deciliter"), "%", 2, ACID_PCT, Decimal("1.5")),
        ("Bitterness", found.bitterness, "of 5", 1, BITTERNESS, Decimal(5)),
    )
    bars = tuple(
        _bar(label, figure(value, unit, places), _edges(aim, row, places))
        for label, value, unit, places, row, _ in measures
    )
    tops = tuple(max([top, *_numbers(bar)]) for bar, (*_, top) in zip(bars, measures, strict=True))
    rule = book.families.get(family or "")
    title = f"Against its family: {rule.title}" if aim and rule else "Balance"
    return Bars(bars, tops, title)


def _has_members(family: str, book: Book) -> bool:
    return any(drink.family == family for drink in book.drinks.values())


def _bar(label: str, shown: Figure, edges: tuple[Decimal, Decimal] | None) -> Bar:
    return Bar(label, shown, *edges) if edges else Bar(label, shown)


def _edges(aim: Aim | None, column: int, places: int) -> tuple[Decimal, Decimal] | None:
    """The range of a family; None where there is no family, or nothing is known of it."""
    if aim is None or not aim.low[column] <= aim.high[column]:
        return None
    low, high = (Decimal(f"{edge:.{places}f}") for edge in (aim.low[column], aim.high[column]))
    return low, high


def _numbers(bar: Bar) -> list[Decimal]:
    return [value for value in (bar.figure.value, bar.high) if value is not None]


def magnitude(value: Quantity | None, unit: str) -> Decimal | None:
    """The number of a quantity in a unit; None stays unknown."""
    return None if value is None else value.m_as(unit)


def _table(found: Balance) -> Table:
    standard, wash = found.standard, found.wash
    rows = (
        Row("Poured", (volume_figure(found.volume),)),
        Row("Water from ice", (volume_figure(found.water),)),
        Row("In the glass", (volume_figure(found.served),), tone="strong"),
        Row("Wash line", (percent_figure(wash.line * 100 if wash else None, 0),), _room(wash)),
        Row("Strength before ice", (figure(magnitude(found.start_abv, "percent"), "% vol"),)),
        Row("Sugar to acid", (_ratio(found),)),
        Row("Alcohol", (mass_figure(found.alcohol),)),
        Row("Standard drinks, US", (figure(standard.us if standard else None, ""),), "14 g each"),
        Row("Units, UK", (figure(standard.uk if standard else None, ""),), "10 ml each"),
        Row("Standard drinks, Australia", (figure(standard.au if standard else None, ""),), "10 g each"),
    )
    return Table(rows, title="In numbers")


def _ratio(found: Balance) -> Figure | str:
    if found.acid is not None and not found.acid.magnitude:
        return "no acid"
    return figure(found.ratio, "to 1")


def _room(wash: WashLine | None) -> str:
    return f"of {volume_figure(wash.room).text} beside the ice" if wash else ""
