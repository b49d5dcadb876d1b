"""What the memory's tests have it remember: a change of each kind, and what it then holds."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from assistant.answers.base import (
    Change,
    Counted,
    FloorTest,
    Introduced,
    KeepDrink,
    Marked,
    SetOut,
    SetPar,
    SetPrice,
    Sold,
    Supplied,
)
from assistant.memory import Memory
from recipes.model import Drink, Ice, Method, Pour, Role
from recipes.stocktake import OnHand
from recipes.units import Amount, Unit, quantity

START = datetime(2024, 3, 1, 17, 0, tzinfo=UTC)

RIFF = Drink(
    name="Harbour Gimlet",
    shelf="fogbell",
    pours=(
        Pour("aged rum", Amount(Decimal("2"), Unit.OUNCE), Role.BASE),
        Pour("lime cordial", Amount(Decimal("0.75"), Unit.OUNCE), Role.SWEETENER, "well chilled"),
    ),
    method=Method.SHAKEN,
    glass="coupe",
    ice=Ice.NONE,
    garnish=("lime wheel",),
    steps=("Shake with ice.", "Strain."),
    price=quantity("13.50", "money"),
)
ONE_OF_EACH: tuple[Change, ...] = (
    SetOut("orgeat", True),
    SetPrice("lime juice", quantity("0.60", "money")),
    SetPar("lime juice", quantity(2000, "milliliter")),
    KeepDrink(RIFF),
    Marked("Ana", "Gimlet", "build", 5, 6),
    FloorTest("Ana", "Classics", 33, 40, True),
    Supplied("limes, box", ("lime juice", "lime wheel")),
    Sold("Gimlet", 41),
    Counted("gin", OnHand(ready=quantity(1400, "milliliter")), START),
    Introduced("Ana"),
)


class Clock:
    """A clock that moves a minute each time it is read."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now


def holdings(memory: Memory) -> tuple[object, ...]:
    """What is remembered, without the version; the quiz is Ana's."""
    now = memory.recall()
    return (
        now.out,
        dict(now.prices),
        dict(now.pars),
        now.drinks,
        memory.marks("Ana"),
        memory.tests(),
        dict(now.supplied),
        dict(now.sold),
        dict(now.counted),
        now.people,
    )
