"""The menu's cost table against the same menu computed again, as a spreadsheet would: from the files, in fractions.

Nothing of the engine is used on this side but the table that it exports. Fractions are exact, so a difference of a cent
is a fault of one of the two.
"""

from __future__ import annotations

import csv
import io
import math
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any

from assistant.office.exports import menu_csv
from recipes.loader import load_book

BOOK = Path(__file__).parents[2] / "recipes" / "book"
KINDS = {"ml": "ml", "cl": "ml", "l": "ml", "oz": "ml", "tsp": "ml", "tbsp": "ml", "barspoon": "ml", "dash": "ml"}
KINDS |= {"drop": "ml", "g": "g", "kg": "g", "pinch": "g"}
WEDGES_OF_A_FRUIT = 8  # common practice, as recipes.portions has it


class Sheet:
    """The book's files, read without the engine."""

    def __init__(self) -> None:
        tables = [tomllib.loads(file.read_text("utf-8"), parse_float=Fraction) for file in BOOK.rglob("*.toml")]
        self.house = next(table for table in tables if "ounce_ml" in table)
        self.ingredients: dict[str, Any] = {one["name"]: one for table in tables for one in table.get("ingredient", ())}
        self.drinks: dict[str, Any] = {one["name"]: one for table in tables for one in table.get("drink", ())}

    @cached_property
    def units(self) -> Mapping[str, Fraction]:
        """How many mL or g a unit is."""
        own = {
            name: Fraction(self.house[f"{name}_{kind}"])
            for name, kind in {"barspoon": "ml", "dash": "ml", "drop": "ml", "pinch": "g"}.items()
        }
        us = {"tsp": Fraction("4.92892159375"), "tbsp": Fraction("14.78676478125")}  # US customary, NIST HB 44
        metric = {"ml": Fraction(1), "cl": Fraction(10), "l": Fraction(1000), "g": Fraction(1), "kg": Fraction(1000)}
        return {**own, **us, **metric, "oz": Fraction(self.house["ounce_ml"])}

    def size(self, text: str) -> tuple[str, Fraction, str]:
        """'1 1/2 oz lime juice' as its kind of size, how much, and the rest."""
        words = text.split()
        number = Fraction(words.pop(0))
        if "/" in words[0]:
            number += Fraction(words.pop(0))
        unit = words.pop(0)
        unit = (
            unit
            if unit in KINDS
            else {"dashes": "dash", "leaves": "leaf", "pinches": "pinch"}.get(unit, unit.removesuffix("s"))
        )
        kind = KINDS.get(unit, unit)
        return kind, number * self.units.get(unit, Fraction(1)), " ".join(words)

    def rates(self, name: str) -> dict[str, Fraction]:
        """Money for one mL, one g or one piece."""
        one = self.ingredients[name]
        if "made" in one:
            kind, much, _ = self.size(one["made"]["makes"])
            rates = {kind: sum((self.cost(line) for line in one["made"]["pours"]), Fraction(0)) / much}
        else:
            pack = one["pack"]
            sizes = [self.size(pack["size"]), self.size(pack.get("usable", pack["size"]))]
            rates = {
                kind if kind in ("ml", "g") else "piece": Fraction(pack["price"]) / much for kind, much, _ in sizes
            }
        return rates

    def cost(self, line: str) -> Fraction:
        """Money for a line of a recipe."""
        kind, much, rest = self.size(line)
        name = rest.split(",")[0].split(" as ")[0]
        one, rates = self.ingredients[name], self.rates(name)
        if kind == "wedge" and "piece" in rates and "ml" in rates:
            return rates["piece"] * much / WEDGES_OF_A_FRUIT
        kind = kind if kind in ("ml", "g") else "piece"
        if kind not in rates and "density" in one:
            density = Fraction(one["density"]["value"])
            rates |= {"g": rates["ml"] / density} if "ml" in rates else {"ml": rates["g"] * density}
        if kind not in rates:
            each, of_one, _ = self.size(one["each"]["size"])
            rates["piece"] = rates[each] * of_one
        return rates[kind] * much

    def row(self, drink: Mapping[str, Any]) -> tuple[Fraction, Fraction]:
        """Cost and price without tax."""
        pours = sum((self.cost(line) for line in drink["pours"]), Fraction(0)) * (1 + Fraction(self.house["waste"]))
        garnish = sum((self.cost(f"1 piece {name}") for name in drink.get("garnish", ())), Fraction(0))
        held = 1 + Fraction(self.house["sales_tax"]) if self.house["price_includes_tax"] else Fraction(1)
        return pours + garnish, Fraction(drink["price"]) / held


def cents(value: Fraction) -> str:
    """Half up to the cent, as a spreadsheet shows it."""
    whole, rest = divmod(math.floor(value * 100 + Fraction(1, 2)), 100)
    return f"{whole}.{rest:02}"


def test_the_menu_table_agrees_to_the_cent_with_a_spreadsheet_of_the_same_menu() -> None:
    """Every drink's cost, net price, pour cost in percent and margin, of the whole book that ships."""
    sheet = Sheet()
    rows = {row["Drink"]: row for row in csv.DictReader(io.StringIO(menu_csv(load_book())))}
    assert set(rows) == {name for name, drink in sheet.drinks.items() if "price" in drink}
    assert len(rows) > 80
    for name, row in rows.items():
        cost, net = sheet.row(sheet.drinks[name])
        expected = [cents(cost), cents(net), cents(cost / net * 100), cents(net - cost)]
        assert [row["Cost"], row["Without tax"], row["Pour cost %"], row["Margin"]] == expected, name
