"""One measure in another, as a trainee asks it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.answers import specs
from recipes.units import Unit
from tests.assistant.answers.talking import Talk
from tests.conftest import make_tiny_book


@pytest.mark.parametrize(
    ("into", "of", "expected"),
    [
        ("ml", "barspoon", "A barspoon is five mil in this house."),
        ("ml", "ounce", "An ounce is twenty-nine point five seven mil in this house."),
        ("oz", "gallon", "A gallon is one hundred and twenty-eight ounces in this house."),
        ("quart", "gallon", "A gallon is four quarts."),
        ("oz", "bottle", "A bottle is twenty-five point three six ounces in this house."),
        ("tsp", "tablespoon", "A tablespoon is three teaspoons."),
        ("ml", "pinch", "I cannot turn a pinch into mil."),
        ("ml", "part", "I cannot turn a part into mil."),
        ("oz", "sprig", "I cannot turn a sprig into ounces."),
    ],
)
def test_how_many_of_one_are_in_another(into: str, of: str, expected: str) -> None:
    """Measures that differ from bar to bar are told as this house has them; weights are no volumes."""
    talk = Talk(specs.HANDLERS, make_tiny_book())
    assert talk.say("units", unit=into, text=of) == expected


def test_asking_does_not_change_the_unit_of_the_talk() -> None:
    """A trainee who asks for a barspoon in mils still hears specs in ounces."""
    talk = Talk(specs.HANDLERS, make_tiny_book())
    talk.ask("units", unit="ml", text="barspoon")
    assert talk.say("spec", drink="Gimlet").startswith("Gimlet: two ounces gin")


def test_so_much_of_a_thing_that_the_house_makes() -> None:
    """'Make a litre and a half of lime cordial' is twice the recipe; a part of it has no size."""
    talk = Talk(specs.HANDLERS, make_tiny_book())
    twice = talk.say("spec", ingredient="lime cordial", amount=Decimal("1.5"), unit=Unit.LITRE.value)
    assert twice.startswith(
        "Lime cordial: one litre sugar syrup, five hundred mil lime juice. Makes one point five litres."
    )
    assert talk.say("spec", ingredient="lime cordial", amount=Decimal(2), unit="part") == talk.say(
        "spec", ingredient="lime cordial"
    )
