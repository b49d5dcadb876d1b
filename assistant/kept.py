"""How a drink that was kept by voice is stored: one strict JSON document, checked on the way in and on the way out."""

from __future__ import annotations

from decimal import Decimal

from pydantic import BaseModel, ConfigDict

from recipes.model import Drink, Ice, Method, Pour, Role
from recipes.units import Amount, Unit, quantity


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
