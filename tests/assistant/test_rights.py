"""What is the manager's, and in which house."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.answers.base import (
    Answer,
    Change,
    FloorTest,
    Introduced,
    KeepDrink,
    Marked,
    SetOut,
    SetPrice,
    Sold,
    Supplied,
)
from assistant.messages import Focus, Reply
from assistant.rights import ALWAYS, CHANGED, COSTS, EVERYBODYS, RIFFS, STOCK, Rights
from assistant.tables import STATE
from grammar.command import Command, Intent
from recipes.units import quantity
from tests.conftest import make_tiny_book

DRINK = make_tiny_book().drinks["Gimlet"]
CHANGES: Mapping[str, Change] = {
    "a price": SetPrice("gin", quantity(30, "money")),
    "a supplier's name": Supplied("gin 70cl", ("gin",)),
    "what was sold": Sold("Gimlet", 3),
    "a kept riff": KeepDrink(DRINK),
    "what is out": SetOut("gin", True),
    "a quiz mark": Marked("Sam", "Gimlet", "build", 1, 2),
    "a floor test": FloorTest("Sam", "Classics", 1, 2, False),
    "a name": Introduced("Sam"),
}
MANAGERS = {"a price", "a supplier's name", "what was sold"}


def made(rights: Rights) -> set[str]:
    """The changes that these rights allow."""
    return {name for name, change in CHANGES.items() if rights.may_make(Answer(Reply("Done."), Focus(), change))}


class TestChanges:
    """Who may change what."""

    def test_without_a_pin_everybody_may_change_everything(self) -> None:
        """As in a house that never heard of one."""
        assert made(Rights()) == set(CHANGES)

    def test_with_a_pin_prices_and_sales_are_the_managers(self) -> None:
        """Out and back, riffs, the quiz and names stay free."""
        assert made(Rights(has_pin=True)) == set(CHANGES) - MANAGERS

    def test_the_house_may_keep_more_for_the_manager(self) -> None:
        """What is out, and which riffs are drinks; never the quiz."""
        strict = Rights(has_pin=True, also=frozenset({STOCK, RIFFS}))
        assert made(strict) == {"a quiz mark", "a floor test", "a name"}

    def test_the_manager_may_all(self) -> None:
        """In the strictest house."""
        assert made(Rights(is_manager=True, has_pin=True, also=frozenset({COSTS, STOCK, RIFFS}))) == set(CHANGES)

    def test_a_house_that_hides_things_and_has_no_pin_shows_them_to_nobody(self) -> None:
        """A setting without its lock must not lie open."""
        rights = Rights(also=frozenset({COSTS}))
        assert not rights.sees_costs
        assert made(rights) == set(CHANGES) - MANAGERS

    def test_one_change_that_is_not_theirs_stops_those_made_with_it(self) -> None:
        """All or none, as they are made."""
        answer = Answer(Reply("Done."), Focus(), CHANGES["a name"], also=(CHANGES["a price"],))
        assert not Rights(has_pin=True).may_make(answer)

    @pytest.mark.parametrize("kind", STATE)
    def test_what_may_be_made_may_be_taken_back(self, kind: str) -> None:
        """Every kind that the trail knows: the manager's, or everybody's until the house says otherwise."""
        rights = Rights(has_pin=True)
        assert rights.may_undo(kind) == (CHANGED.get(kind) not in ALWAYS)
        assert Rights(has_pin=True, also=frozenset({STOCK, RIFFS})).may_undo(kind) == (kind in EVERYBODYS)


class TestAsking:
    """Who may ask what."""

    ASKED = (
        Command(Intent.COST, {"drink": "Gimlet"}),
        Command(Intent.COST, {"percent": 22, "text": "over"}),
        Command(Intent.PRICE_FOR_TARGET, {"drink": "Gimlet"}),
        Command(Intent.WHAT_IF_PRICE, {"ingredient": "gin", "money": 30}),
        Command(Intent.COMPARE, {"drink": "Gimlet", "drink_2": "Aviation", "part": "cost"}),
        Command(Intent.TRAIL),
    )

    @pytest.mark.parametrize("command", ASKED, ids=lambda command: f"{command.intent.value} {dict(command.slots)}")
    def test_costs_are_everybodys_until_the_house_hides_them(self, command: Command) -> None:
        """A PIN alone hides nothing."""
        assert Rights(has_pin=True).may_ask(command)
        assert not Rights(has_pin=True, also=frozenset({COSTS})).may_ask(command)

    def test_a_new_price_is_the_managers_before_anything_is_asked_back(self) -> None:
        """Nobody is asked 'a bottle or a case?' only to be refused then."""
        assert not Rights(has_pin=True).may_ask(Command(Intent.SET_PRICE, {"ingredient": "gin", "money": 30}))

    @pytest.mark.parametrize("part", ["cost", "pour cost", "margin"])
    def test_an_order_by_cost_tells_costs(self, part: str) -> None:
        """'The worst margin on the menu' is as much the manager's as what one drink leaves."""
        assert not Rights(has_pin=True, also=frozenset({COSTS})).may_ask(Command(Intent.RANK, {"part": part}))

    @pytest.mark.parametrize("part", ["strength", "price", "sold"])
    def test_other_orders_are_everybodys(self, part: str) -> None:
        """The menu price is printed on the menu."""
        assert Rights(has_pin=True, also=frozenset({COSTS})).may_ask(Command(Intent.RANK, {"part": part}))

    @pytest.mark.parametrize("intent", [Intent.SPEC, Intent.QUIZ, Intent.OUT_OF, Intent.UNDO, Intent.COMPARE])
    def test_the_rest_is_everybodys(self, intent: Intent) -> None:
        """Also in a house that hides its costs."""
        assert Rights(has_pin=True, also=frozenset({COSTS})).may_ask(Command(intent))
