"""What a bartender hears of a ticket with several drinks on it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.answers.base import Scene
from assistant.answers.orders import order
from assistant.messages import Figure, Focus, Row, Table
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """A rush."""
    return Scene(tiny_book, frozenset(), Focus(drink="Aviation", count=7))


def ticket(**slots: SlotValue) -> Command:
    """What was ordered."""
    return Command(Intent.ORDER, slots)


def test_each_drink_is_told_in_turn_for_its_own_number(scene: Scene) -> None:
    """'Three daiquiris and two manhattans.'"""
    answer = order(ticket(drink="Daiquiri", count=3, drink_2="Manhattan", count_2=2), scene)
    assert answer.reply.say == (
        "Three Daiquiris: six ounces white rum, two and a quarter ounces lime juice, "
        "two and a quarter ounces sugar syrup. Shake, coupe. "
        "Two Manhattans: four ounces rye whiskey, two ounces sweet vermouth, four dashes aromatic bitters. "
        "Stir, coupe."
    )


def test_the_card_has_a_table_for_each_and_what_they_share(scene: Scene) -> None:
    """A bottle that two of them need is picked up once."""
    card = order(ticket(drink="Gimlet", count=2, drink_2="Southside", count_2=1), scene).reply.card
    assert card is not None
    assert card.facts == ("2 Gimlet, 1 Southside",)
    first, second, shared = card.blocks
    assert isinstance(first, Table)
    assert isinstance(second, Table)
    assert isinstance(shared, Table)
    assert (first.title, second.title) == ("Two Gimlets", "Southside")
    assert shared.rows == (Row("gin", (Figure(Decimal("6.00"), "oz", "6 oz"),)),)


def test_a_drink_named_twice_is_made_once(scene: Scene) -> None:
    """'Two gimlets, a daiquiri and another gimlet' are three Gimlets."""
    slots = {"drink": "Gimlet", "count": 2, "drink_2": "Daiquiri", "count_2": 1, "drink_3": "Gimlet", "count_3": 1}
    assert order(ticket(**slots), scene).reply.say.startswith("Three Gimlets: six ounces gin")


def test_up_to_four_drinks_are_taken(scene: Scene) -> None:
    """And a drink without a number is one."""
    slots = {"drink": "Gimlet", "drink_2": "Daiquiri", "drink_3": "Manhattan", "drink_4": "Aviation", "count_4": 2}
    say = order(ticket(**slots), scene).reply.say
    assert [say.index(name) for name in ("One Gimlet", "One Daiquiri", "One Manhattan", "Two Aviations")] == sorted(
        say.index(name) for name in ("One Gimlet", "One Daiquiri", "One Manhattan", "Two Aviations")
    )


def test_what_is_out_is_said_of_the_drink_that_lacks_it(scene: Scene) -> None:
    """Rum is out: the Daiquiri says so, the Manhattan does not."""
    gone = replace(scene, out=frozenset({"white rum"}))
    say = order(ticket(drink="Daiquiri", count=3, drink_2="Manhattan", count_2=2), gone).reply.say
    assert say.count("We are out of white rum.") == 1
    assert say.index("We are out of white rum.") < say.index("Two Manhattans")


def test_cautions_name_their_drink(scene: Scene) -> None:
    """Raw egg is in the Clover Club, not in the Daiquiri beside it."""
    cautions = order(ticket(drink="Daiquiri", count=1, drink_2="Clover Club", count_2=1), scene).reply.cautions
    assert cautions
    assert any(line.startswith("Clover Club: Raw egg") for line in cautions)
    assert not any(line.startswith("Daiquiri: Raw egg") for line in cautions)


def test_the_first_drink_is_talked_of_next_and_the_second_is_the_other_one(scene: Scene) -> None:
    """'And the garnish?' is asked of the first."""
    focus = order(ticket(drink="Daiquiri", count=3, drink_2="Manhattan", count_2=2), scene).focus
    assert (focus.drink, focus.other, focus.count) == ("Daiquiri", "Manhattan", 3)


@pytest.mark.parametrize("count", [0, 500])
def test_a_number_that_is_no_order_is_asked_about(count: int, scene: Scene) -> None:
    """None, or five hundred at once."""
    say = order(ticket(drink="Daiquiri", count=count, drink_2="Manhattan", count_2=2), scene).reply.say
    assert say == "How many of the Daiquiri? For a large number, ask for a batch."
