"""What is said of one measure in another: 'how many mils in a barspoon?', 'how many ounces in a gallon?'"""

from __future__ import annotations

from decimal import Decimal

from assistant.answers.base import Answer, Scene
from assistant.answers.figures import figure
from assistant.answers.speech import amount, article, capital, plural, unit_noun
from assistant.messages import Card, Reply, Row, Table
from recipes.units import Amount, Unit

OF_THE_HOUSE = frozenset({Unit.OUNCE, Unit.BARSPOON, Unit.DASH, Unit.DROP, Unit.PINCH})  # set in house.toml
CALLED = {name: unit for unit in Unit for name in (unit.value, unit_noun(unit), plural(unit_noun(unit)))} | {
    "millilitre": Unit.MILLILITRE,
    "kilogram": Unit.KILOGRAM,
    "bar spoon": Unit.BARSPOON,
}


def converted(asked: str, into: str, scene: Scene) -> Answer:
    """How much of a unit is in one of another, as this house measures; what has no size is said to have none."""
    one, unit = CALLED.get(asked), Unit(into)
    number = _number(one, unit, scene) if one is not None else None
    if one is None or number is None:
        return Answer(Reply(f"I cannot turn {article(asked)} into {plural(unit_noun(unit))}."), scene.focus)
    here = " in this house" if OF_THE_HOUSE & {one, unit} else ""
    say = f"{capital(article(unit_noun(one)))} is {amount(Amount(number, unit))}{here}."
    row = Row(f"1 {unit_noun(one)}", (figure(number, unit.value, 3),))
    return Answer(Reply(say, Card("units", f"{capital(unit_noun(one))}", blocks=(Table((row,)),))), scene.focus)


def _number(one: Unit, into: Unit, scene: Scene) -> Decimal | None:
    """How many of the second are one of the first; None where they are no measures of the same thing."""
    if Unit.PART in (one, into):
        return None
    size, other = (scene.book.house.physical(Amount(Decimal(1), unit)) for unit in (one, into))
    if not size.is_compatible_with(other.units) or size.check("[count]"):
        return None
    ratio: Decimal = (size / other).to("dimensionless").magnitude
    return round(ratio, 3)
