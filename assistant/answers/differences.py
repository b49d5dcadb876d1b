"""Two drinks side by side, in a bartender's words for the ear and in bars for the eye. Allergens come first."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.answers.figures import UNKNOWN, figure, money_figure
from assistant.answers.speech import joined, money
from assistant.messages import Bar, Bars, Block, Cell, Figure, Note, Row, Table
from recipes.compare import (
    NOTICED_ABV,
    NOTICED_ACID,
    NOTICED_BITTERNESS,
    NOTICED_SERVED,
    NOTICED_SUGAR,
    Change,
    Comparison,
)
from recipes.model import Drink, House
from recipes.spec import written

# How far a difference goes, in steps that a guest would just notice (house choice).
UNFELT = Decimal("0.7")
A_TOUCH = Decimal(2)
MUCH = Decimal(6)
SAME_MONEY = Decimal("0.05")  # of a unit of money: less is not worth a word
MOST_WORDS = 3
NOTHING = "much the same"

_WORDS = {
    "sugar": (NOTICED_SUGAR, "sweeter", "drier"),
    "bitterness": (NOTICED_BITTERNESS, "more bitter", "less bitter"),
    "acid": (NOTICED_ACID, "sharper", "softer"),
    "abv": (NOTICED_ABV, "stronger", "lighter"),
    "served": (NOTICED_SERVED, "longer", "shorter"),
}  # in the order they are said


def difference_words(change: Change, house: House, priced: bool = True) -> list[str]:
    """What the second drink is against the first: 'drier', 'a touch stronger', 'forty cents dearer'.

    No more than `MOST_WORDS` before the money: the largest differences, in the order they are tasted. Where costs are
    not shown (not `priced`), nothing of money is said.
    """
    largest = sorted(_WORDS, key=lambda name: _steps(name, getattr(change, name)), reverse=True)[:MOST_WORDS]
    words = [difference_word(name, getattr(change, name)) for name in _WORDS if name in largest]
    return [word for word in words if word] + (_dearer(change, house) if priced else [])


def difference_word(name: str, difference: Decimal | None) -> str:
    """One difference in words, by the field of a Change; empty when it is not felt, or not known."""
    _, more, less = _WORDS[name]
    steps = _steps(name, difference)
    if difference is None or steps < UNFELT:
        return ""
    degree = "a touch " if steps < A_TOUCH else "much " if steps >= MUCH else ""
    return degree + (more if difference > 0 else less)


def _steps(name: str, difference: Decimal | None) -> Decimal:
    """How many times the least difference that a guest would notice."""
    return Decimal(0) if difference is None else abs(difference) / _WORDS[name][0]


def unknown_differences(change: Change, priced: bool = True) -> str:
    """What cannot be compared, because the book does not tell: 'The book does not know enough to compare cost.'"""
    names = {"abv": "strength", "sugar": "sugar", "acid": "acid", "bitterness": "bitterness"}
    names |= {"cost": "cost"} if priced else {}
    missing = [name for field, name in names.items() if getattr(change, field) is None]
    return f"The book does not know enough to compare {joined(missing)}." if missing else ""


def allergen_warnings(change: Change, name: str) -> list[str]:
    """What the second drink brings that the first has not, and what nobody has written down: said before all else."""
    said = [f"The {name} brings {joined(change.brings)}."] if change.brings else []
    unknown = joined(change.allergens_unknown)
    return [*said, f"The allergens of {unknown} are unknown, so ask."] if unknown else said


def allergens_dropped(change: Change, name: str) -> list[str]:
    """What the second drink is not known to hold any more."""
    return [f"By our data the {name} does without {joined(change.drops)}."] if change.drops else []


def side_by_side(sides: Comparison, house: House, names: tuple[str, str], priced: bool = True) -> tuple[Block, ...]:
    """Allergens, the numbers as pairs of bars, and the two specs."""
    change, name = sides.change, sides.second.name
    notes = [Note(text, "warn") for text in allergen_warnings(change, name)]
    notes += [Note(text) for text in allergens_dropped(change, name)]
    return (*notes, bars(sides, house, names, priced), specs(sides.first, sides.second, names))


def bars(sides: Comparison, house: House, names: tuple[str, str], priced: bool = True) -> Bars:
    """Strength, sugar, acid, bitterness, size and, where it is shown, cost, each drink beside the other."""
    before, after = sides.before, sides.after
    costs = tuple(money_figure(cost, house) for cost in sides.costs)
    rows: list[tuple[str, Figure, Figure, Decimal]] = [
        ("Strength", figure(before.abv, "% vol"), figure(after.abv, "% vol"), Decimal(45)),
        ("Sugar", figure(before.sugar, "g/l", 0), figure(after.sugar, "g/l", 0), Decimal(150)),
        ("Acid", figure(before.acid, "%", 2), figure(after.acid, "%", 2), Decimal("1.5")),
        ("Bitterness", figure(before.bitterness, "of 5"), figure(after.bitterness, "of 5"), Decimal(5)),
        ("In the glass", figure(before.served_ml, "ml", 0), figure(after.served_ml, "ml", 0), Decimal(200)),
    ]
    rows += [("Cost to pour", costs[0], costs[1], Decimal(1))] if priced else []
    tops = tuple(max([top, *_known(first, second)]) for _, first, second, top in rows)
    return Bars(tuple(Bar(label, one, second=two) for label, one, two, _ in rows), tops, "Side by side", names)


def specs(first: Drink, second: Drink, names: tuple[str, str]) -> Table:
    """What each pours, line by line; a line that differs stands out."""
    ingredients = dict.fromkeys(pour.ingredient for drink in (first, second) for pour in drink.pours)
    rows = [_spec_row(name, first, second) for name in ingredients]
    return Table(tuple(rows), ("", *names), "Poured")


def _spec_row(ingredient: str, first: Drink, second: Drink) -> Row:
    cells: list[Cell] = [_poured(ingredient, drink) for drink in (first, second)]
    return Row(ingredient, tuple(cells), tone="plain" if cells[0] == cells[1] else "strong")


def _poured(ingredient: str, drink: Drink) -> Cell:
    pour = drink.pour_of(ingredient)
    return Figure(pour.amount.number, pour.amount.unit.value, written(pour.amount)) if pour else ""


def _known(*figures: Figure) -> Sequence[Decimal]:
    return [found.value for found in figures if found.value is not None and found.text != UNKNOWN]


def _dearer(change: Change, house: House) -> list[str]:
    if change.cost is None or -SAME_MONEY < change.cost.m_as("money") < SAME_MONEY:
        return []
    if change.cost.m_as("money") > 0:
        return [f"{money(change.cost, house.currency)} dearer"]
    return [f"{money(change.cost * -1, house.currency)} cheaper"]
