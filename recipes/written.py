"""Reads amounts and pours as the book writes them: "3/4 oz lime juice", "2 dashes bitters", "90 ml soda, to top"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from recipes.faults import write_instead
from recipes.model import Role
from recipes.units import Amount, Unit

NUMBER = re.compile(r"(?:(?P<whole>\d+(?:\.\d+)?)(?![\d/]))?\s*(?:(?P<top>\d+)/(?P<bottom>[1-9]\d*))?")
PLURALS = MappingProxyType(
    {
        **{f"{unit.value}s": unit for unit in Unit if unit.value not in {"leaf", "dash", "pinch"}},
        "leaves": Unit.LEAF,
        "dashes": Unit.DASH,
        "pinches": Unit.PINCH,
    }
)
UNIT_WORDS = MappingProxyType({unit.value: unit for unit in Unit} | dict(PLURALS))


class MiswrittenError(ValueError):
    """A text of the book that does not say an amount or a pour."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem, mend)
        self.problem = problem
        self.mend = mend


@dataclass(frozen=True)
class WrittenPour:
    """A pour as written; whether the ingredient exists is for others to say."""

    amount: Amount
    ingredient: str
    role: Role | None  # None: the ingredient's own
    note: str = ""


def read_amount(text: str) -> Amount:
    """Read '<number> <unit>'. Raises MiswrittenError."""
    amount, rest = _amount_and_rest(text)
    if rest:
        raise MiswrittenError(f'"{rest}" is left over after the amount in "{text}"', 'write "<number> <unit>" only')
    return amount


def read_pour(text: str) -> WrittenPour:
    """Read '<number> <unit> <ingredient>[ as <role>][, <note>]'. Raises MiswrittenError."""
    amount, rest = _amount_and_rest(text)
    body, _, note = rest.partition(",")
    ingredient, _, role = body.partition(" as ")
    if not ingredient.strip():
        raise MiswrittenError(f'"{text}" names no ingredient', 'write "<number> <unit> <ingredient>"')
    return WrittenPour(amount, ingredient.strip(), _role(role.strip()), note.strip())


def _amount_and_rest(text: str) -> tuple[Amount, str]:
    match = NUMBER.match(text.strip())
    if match is None or not match.group().strip():
        raise MiswrittenError(f'"{text}" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"')
    word, _, rest = text.strip()[match.end() :].strip().partition(" ")
    return Amount(_number(match, text), _unit(word)), rest.strip()


def _number(match: re.Match[str], text: str) -> Decimal:
    number = Decimal(match["whole"] or 0)
    if match["top"]:
        number += Decimal(match["top"]) / Decimal(match["bottom"])
    if number <= 0:
        raise MiswrittenError(f'the amount in "{text}" is zero', "write more than zero, or take the line out")
    return number


def _unit(word: str) -> Unit:
    unit = UNIT_WORDS.get(word)
    if unit is Unit.PART:
        raise MiswrittenError("a part has no size of its own", "write oz or ml")
    if unit is not None:
        return unit
    units = ", ".join(unit.value for unit in Unit if unit is not Unit.PART)
    raise MiswrittenError(f'"{word}" is not a unit', write_instead(word, UNIT_WORDS, f"write one of: {units}"))


def _role(word: str) -> Role | None:
    if not word:
        return None
    try:
        return Role(word)
    except ValueError:
        roles = [role.value for role in Role]
        mend = write_instead(word, roles, f"write one of: {', '.join(roles)}")
        raise MiswrittenError(f'"{word}" is not a role', mend) from None
