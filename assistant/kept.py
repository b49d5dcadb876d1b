"""How what was kept is stored: a drink as one strict JSON document, checked both ways; counts and pars as text."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from pydantic import BaseModel, ConfigDict

from assistant.answers.base import Counted
from recipes.model import Drink, Ice, Method, Pour, Role
from recipes.stocktake import OnHand
from recipes.units import Amount, Quantity, Unit, quantity


class _Document(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class KeptPour(_Document):
    """One line of a kept recipe."""

    ingredient: str
    number: Decimal
    unit: Unit
    role: Role
    note: str = ""

    @classmethod
    def of(cls, pour: Pour) -> KeptPour:
        """The document of a pour."""
        amount = pour.amount
        return cls(ingredient=pour.ingredient, number=amount.number, unit=amount.unit, role=pour.role, note=pour.note)

    def pour(self) -> Pour:
        """The pour of this document."""
        return Pour(self.ingredient, Amount(self.number, self.unit), self.role, self.note)


class KeptDrink(_Document):
    """A whole drink. Money is in the house's currency."""

    name: str
    shelf: str
    pours: tuple[KeptPour, ...]
    method: Method
    glass: str
    ice: Ice
    garnish: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    spoken: tuple[str, ...] = ()
    sounds_like: tuple[str, ...] = ()
    price: Decimal | None = None
    family: str | None = None
    first_print: str = ""
    source: str = ""
    note: str = ""
    taste: str = ""

    @classmethod
    def of(cls, drink: Drink) -> KeptDrink:
        """The document of a drink."""
        plain = {name: getattr(drink, name) for name in cls.model_fields if name not in ("pours", "price")}
        price = None if drink.price is None else drink.price.to("money").magnitude
        return cls(pours=tuple(KeptPour.of(pour) for pour in drink.pours), price=price, **plain)

    def drink(self) -> Drink:
        """The drink of this document."""
        plain = {name: getattr(self, name) for name in type(self).model_fields if name not in ("pours", "price")}
        price = None if self.price is None else quantity(self.price, "money")
        return Drink(pours=tuple(pour.pour() for pour in self.pours), price=price, **plain)


def written(drink: Drink) -> str:
    """The JSON text of a drink."""
    return KeptDrink.of(drink).model_dump_json()


def read(document: str) -> Drink:
    """The drink of a JSON text.

    Raises pydantic.ValidationError when the text is not such a document: a missing or strange field, a float.
    """
    return KeptDrink.model_validate_json(document).drink()


def written_size(size: Quantity) -> str:
    """A number and its unit: '1400 milliliter'."""
    return f"{size.magnitude} {size.units}"


def read_size(written: str) -> Quantity:
    """The quantity of such a text."""
    number, _, unit = written.partition(" ")
    return quantity(number, unit)


def written_count(count: Counted) -> dict[str, str | int]:
    """The columns of a count: its own time too, which an undoing puts back."""
    ready, fruit = count.on_hand.ready, count.on_hand.fruit
    return {
        "name": count.ingredient,
        "ready": "" if ready is None else written_size(ready),
        "fruit": "" if fruit is None else str(fruit),
        "at": count.at.astimezone(UTC).isoformat(),
    }


def read_count(row: Mapping[Any, Any]) -> Counted:
    """The count of such columns."""
    ready = read_size(str(row["ready"])) if row["ready"] else None
    fruit = Decimal(row["fruit"]) if row["fruit"] else None
    return Counted(str(row["name"]), OnHand(ready, fruit), datetime.fromisoformat(row["at"]))
