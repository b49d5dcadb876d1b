"""What is said of what the house makes for itself."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.answers.base import Scene
from assistant.answers.house_made import as_much, recipe
from assistant.messages import Focus, Note
from recipes.loader import load_book
from recipes.units import Amount, Unit, quantity

BOOK = load_book()


def notes_on(name: str) -> list[str]:
    """The notes on its card."""
    card = recipe(name, Scene(BOOK, frozenset(), Focus())).reply.card
    assert card is not None
    return [block.text for block in card.blocks if isinstance(block, Note)]


@pytest.mark.parametrize(
    ("name", "weighed", "scooped"),
    [
        ("simple syrup", "50 °Bx, 615 g", "46 °Bx, 554 g"),
        ("rich syrup", "67 °Bx, 884 g", "63 °Bx, 820 g"),
    ],
)
def test_a_plain_syrup_says_how_much_weaker_it_is_by_the_cup(name: str, weighed: str, scooped: str) -> None:
    """A trainee who scoops what the book weighs makes a thinner syrup (values: tests/checks/test_sucrose.py)."""
    assert notes_on(name) == [
        f"By weight it is {weighed} of sugar to the litre.",
        f"With as many cups of each it would be about {scooped} of sugar to the litre; packing varies.",
    ]


@pytest.mark.parametrize("name", ["grenadine", "honey syrup", "orgeat", "lime cordial"])
def test_what_is_more_than_sugar_and_water_says_nothing_of_cups(name: str) -> None:
    """The sugar table is of sugar and water alone."""
    assert notes_on(name) == []


@pytest.mark.parametrize(
    ("name", "number", "unit", "expected"),
    [
        ("simple syrup", "1", Unit.QUART, "five hundred and eighty grams sugar, five hundred and eighty grams water."),
        (
            "lime cordial",
            "2",
            Unit.LITRE,
            "seven hundred and ninety-five mil lime juice, thirty-eight grams lime peel, ",
        ),
        ("orgeat", "0.5", Unit.GALLON, "seven hundred and ten grams almonds, one point four two kilos water, "),
    ],
)
def test_as_much_as_is_asked_for(name: str, number: str, unit: Unit, expected: str) -> None:
    """'Make a quart of simple syrup': every line for that, as a scale and a jug are read."""
    said = recipe(name, Scene(BOOK, frozenset(), Focus()), Amount(Decimal(number), unit)).reply.say
    assert expected in said


def test_by_weight_it_is_not_known_how_much_it_makes() -> None:
    """The book writes the volume that a recipe makes: a kilo of orgeat is not guessed."""
    said = recipe("orgeat", Scene(BOOK, frozenset(), Focus()), Amount(Decimal(1), Unit.KILOGRAM)).reply.say
    assert said.startswith("The book tells how much orgeat its recipe makes by volume alone.")


@pytest.mark.parametrize("name", [name for name, each in BOOK.ingredients.items() if each.made])
@pytest.mark.parametrize("litres", [1, 4])
def test_a_larger_recipe_keeps_its_proportions(name: str, litres: int) -> None:
    """Each line within a twentieth of the same share of what it makes, or a step of what measures it."""
    made = BOOK.ingredients[name].made
    assert made is not None
    larger = as_much(made, quantity(litres, "liter"))
    factor = (larger.makes / made.makes).to("dimensionless").magnitude
    for before, after in zip(made.pours, larger.pours, strict=True):
        was, now = (BOOK.house.measures.physical(line.amount) for line in (before, after))
        assert abs(float(now / (was * factor)) - 1) < 0.05 or after.amount.number < 1, before
