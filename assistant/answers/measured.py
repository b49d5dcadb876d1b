"""A drink as it is talked of just now: so many, in this unit, without that; its lines for the ear and for the card."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from assistant.answers.figures import amount_figure
from assistant.answers.speech import capital, counted, decimal, integer, joined, plural, pour, sentence
from assistant.messages import Focus, Row, Table
from recipes.model import Book, Drink, Ice, Method
from recipes.scaling import ScaledLine, lines_for
from recipes.spec import plain, spec_lines
from recipes.units import Amount

DO = {
    Method.SHAKEN: "shake",
    Method.STIRRED: "stir",
    Method.BUILT: "build",
    Method.BLENDED: "blend",
    Method.THROWN: "throw",
    Method.SWIZZLED: "swizzle",
}
BEFORE = frozenset({"hot", "cold"})  # notes that are said before the name
ICE = {Ice.NONE: "no ice", Ice.CUBED: "cubed ice", Ice.LARGE: "large cube", Ice.CRUSHED: "crushed ice"}


def lines_now(drink: Drink, focus: Focus, book: Book) -> tuple[ScaledLine, ...]:
    """The lines for the count, the unit and the omissions of the talk; parts are the same for any count."""
    if focus.unit == "part":
        lines = tuple(ScaledLine(line.pour, line.exact, line.amount) for line in spec_lines(drink, book, "part"))
    else:
        lines = lines_for(drink, book, Decimal(focus.count), "ml" if focus.unit == "ml" else "oz")
    return lines_left(lines, focus)


def lines_left(lines: Iterable[ScaledLine], focus: Focus) -> tuple[ScaledLine, ...]:
    """The lines of what is not left out."""
    return tuple(line for line in lines if line.pour.ingredient not in focus.without)


def drink_now(drink: Drink, focus: Focus) -> Drink:
    """The drink without what is left out."""
    pours = tuple(pour for pour in drink.pours if pour.ingredient not in focus.without)
    return replace(drink, pours=pours, garnish=garnish_now(drink, focus))


def garnish_now(drink: Drink, focus: Focus) -> tuple[str, ...]:
    """The garnishes that are not left out."""
    return tuple(name for name in drink.garnish if name not in focus.without)


def called(drink: Drink, focus: Focus) -> str:
    """What is asked for, as it is called across the bar: 'Gimlet', 'three Gimlets', 'Clover Club without egg white'."""
    name = drink.name if focus.count == 1 or focus.unit == "part" else f"{integer(focus.count)} {plural(drink.name)}"
    return f"{name} without {joined(focus.without, 'or')}" if focus.without else name


def said(lines: Iterable[ScaledLine]) -> str:
    """The lines for the ear: 'two ounces gin, three quarters of an ounce lime cordial'."""
    return ", ".join(said_pour(line) for line in lines)


def said_pour(line: ScaledLine, of: bool = False) -> str:
    """One line for the ear, with its note: 'four ounces soda water to top', 'four ounces hot water'."""
    name, note = line.pour.ingredient, line.pour.note
    if note in BEFORE:
        return pour(line.rounded, f"{note} {name}", of)
    return f"{pour(line.rounded, name, of)} {note}".rstrip()


def finish(drink: Drink, focus: Focus) -> str:
    """Method, glass, ice and garnish in a few words: 'Shake, coupe, lime wheel.'"""
    ice = () if drink.ice is Ice.NONE else (ICE[drink.ice],)
    garnish = [name if focus.count == 1 else counted(focus.count, name) for name in garnish_now(drink, focus)]
    return sentence(", ".join([DO[drink.method], drink.glass, *ice, *garnish]))


def facts(drink: Drink) -> tuple[str, ...]:
    """The line of facts under a drink's name on a card."""
    return drink.method.value, drink.glass, ICE[drink.ice]


def roundings(lines: Iterable[ScaledLine]) -> str:
    """What is said of lines that rounding moves too far: 'Lime juice is rounded down from point eight ounces.'"""
    return " ".join(
        f"{capital(line.pour.ingredient)} is rounded {'up' if line.change > 0 else 'down'} from {_exactly(line)}."
        for line in lines
        if line.warning
    )


def _exactly(line: ScaledLine) -> str:
    nouns = {"oz": "ounces", "ml": "mil"}
    return f"{decimal(line.exact.number)} {nouns.get(line.exact.unit, plural(line.exact.unit))}"


def lines_table(
    lines: Sequence[ScaledLine], garnish: Iterable[str] = (), out: frozenset[str] = frozenset(), title: str = ""
) -> Table:
    """The lines for the eye, each with its rounding; garnish last. What is out is marked."""
    rows = [
        Row(
            line.pour.ingredient,
            (amount_figure(line.rounded),),
            _beside(line, out),
            "warn" if line.warning or line.pour.ingredient in out else "plain",
        )
        for line in lines
    ]
    rows += [Row(name, ("garnish",), "out" if name in out else "", "muted") for name in garnish]
    return Table(tuple(rows), title=title)


def _beside(line: ScaledLine, out: frozenset[str]) -> str:
    notes = [line.pour.note, "out" if line.pour.ingredient in out else ""]
    if line.exact != line.rounded:
        notes.append(f"exactly {_exact_text(line.exact)} ({line.change * 100:+.1f} %)")
    return ", ".join(filter(None, notes))


def _exact_text(exact: Amount) -> str:
    return f"{plain(exact.number)} {exact.unit.value}"


def out_tonight(drink: Drink, out: frozenset[str]) -> str:
    """What is said when something in the drink is out."""
    missing = [name for name in (*(p.ingredient for p in drink.pours), *drink.garnish) if name in out]
    return f"We are out of {joined(missing)}." if missing else ""
