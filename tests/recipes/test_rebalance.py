"""Re-balancing keeps to the jigger, moves only what it may, and never makes a drink worse."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recipes.model import Drink
from recipes.rebalance import (
    NOTICED,
    PER_STEP,
    REACH,
    UNKNOWN,
    Aim,
    as_before,
    band,
    distance,
    grid,
    may_move,
    moves,
    rebalance,
    search,
    steps_near,
)
from recipes.riffs import swap
from recipes.units import Amount, Unit
from recipes.vectors import Vectors
from tests.made_up import made_up, the_book

BOOK = the_book()
VECTORS = Vectors(BOOK)
DRINKS = list(BOOK.drinks.values())
POURED = [i.name for i in BOOK.ingredients.values() if i.role.value not in ("herb", "salt", "garnish")]


def swapped(drink: Drink, slot: int, coming: str) -> Drink | None:
    """The drink with one slot swapped, or None when it already pours that."""
    return None if drink.pour_of(coming) else swap(drink, drink.pours[slot], coming, BOOK)


any_swap = st.builds(
    lambda drink, share, coming: (drink, int(share * len(drink.pours)), coming),
    st.sampled_from(DRINKS),
    st.floats(0, 1, exclude_max=True),
    st.sampled_from(POURED),
)


class TestLaws:
    """For any drink, any slot and any ingredient."""

    @settings(max_examples=120, deadline=None)
    @given(any_swap)
    def test_it_never_leaves_the_jigger_grid(self, case: tuple[Drink, int, str]) -> None:
        """Whatever moved stands on a whole jigger step, above nothing."""
        riff = swapped(*case)
        if riff is None:
            return
        settled, _ = rebalance(riff, case[1], as_before(case[0], VECTORS), VECTORS)
        for move in moves(riff, settled):
            step = grid(move.after.unit, BOOK.house)
            assert step is not None
            assert move.after.number > 0
            assert move.after.number % step == 0
            assert abs(move.after.number - move.before.number) <= step * (REACH + Decimal("0.5"))
        assert [pour.ingredient for pour in settled.pours] == [pour.ingredient for pour in riff.pours]

    @settings(max_examples=120, deadline=None)
    @given(any_swap)
    def test_it_never_worsens_the_distance(self, case: tuple[Drink, int, str]) -> None:
        """The drink ends at least as near to its aim as it began, by the balance of the drink itself."""
        riff = swapped(*case)
        if riff is None:
            return
        aim = as_before(case[0], VECTORS)
        settled, found = rebalance(riff, case[1], aim, VECTORS)
        began, ended = (float(distance(VECTORS.drink(drink), aim)) for drink in (riff, settled))
        assert found.distance <= found.before + 1e-9
        assert (found.before, found.distance) == pytest.approx((began, ended))

    @settings(max_examples=120, deadline=None)
    @given(any_swap)
    def test_only_the_slot_the_acid_and_the_sweetener_move(self, case: tuple[Drink, int, str]) -> None:
        """Everything else is poured as before."""
        riff = swapped(*case)
        if riff is None:
            return
        settled, _ = rebalance(riff, case[1], as_before(case[0], VECTORS), VECTORS)
        movers = may_move(riff, case[1])
        assert len(movers) <= 3
        for index, (old, new) in enumerate(zip(riff.pours, settled.pours, strict=True)):
            assert old == new or index in movers

    @pytest.mark.parametrize("drink", DRINKS, ids=lambda drink: drink.name)
    def test_a_drink_that_is_as_it_should_be_is_left_alone(self, drink: Drink) -> None:
        """Nothing moves without a reason."""
        settled, found = rebalance(drink, 0, as_before(drink, VECTORS), VECTORS)
        assert (settled, moves(drink, settled), found.distance) == (drink, (), found.before)


def worth(tried: Drink, drink: Drink, aim: Aim) -> float:
    """How far off a drink is, and what its moves cost."""
    moves = zip(tried.pours, drink.pours, strict=True)
    steps = sum(abs(new.amount.number - old.amount.number) / BOOK.house.jigger_step.number for new, old in moves)
    return float(distance(VECTORS.drink(tried), aim)) + PER_STEP * float(steps)


class TestSearch:
    """What the search finds."""

    def test_it_finds_the_best_of_every_combination(self) -> None:
        """Tried one by one, no other amounts come so near that the moves are worth it."""
        drink = made_up("2 oz white rum", "3/4 oz lime juice", "3/4 oz rich syrup")
        aim = as_before(BOOK.drinks["Daiquiri"], VECTORS)
        settled, _ = rebalance(drink, 0, aim, VECTORS)
        near = [steps_near(pour.amount, BOOK.house) for pour in drink.pours]
        every = [[replace(p, amount=a) for p, a in zip(drink.pours, row, strict=True)] for row in product(*near)]
        best = min((replace(drink, pours=tuple(row)) for row in every), key=lambda tried: worth(tried, drink, aim))
        assert settled.pours == best.pours
        assert settled.pours[2].amount == Amount(Decimal("0.5"), Unit.OUNCE), "rich syrup carries 1.44 times the sugar"

    def test_each_ingredient_gets_the_amounts_it_would_get_alone(self) -> None:
        """Searching a whole shelf at once changes nothing."""
        drink, aim = BOOK.drinks["Margarita"], as_before(BOOK.drinks["Margarita"], VECTORS)
        together = search(drink, 0, POURED[:20], aim, VECTORS)
        assert together == [search(drink, 0, [name], aim, VECTORS)[0] for name in POURED[:20]]

    def test_what_meets_the_ice_and_what_tops_the_glass_are_told_apart(self) -> None:
        """Soda swapped for tonic stays on top: the ice never met it."""
        drink = BOOK.drinks["Tom Collins"]
        slot = next(i for i, pour in enumerate(drink.pours) if pour.ingredient == "soda water")
        riff = swap(drink, drink.pours[slot], "tonic water", BOOK)
        _, found = rebalance(riff, slot, as_before(drink, VECTORS), VECTORS)
        assert found.before == pytest.approx(float(distance(VECTORS.drink(riff), as_before(drink, VECTORS))))


class TestMovers:
    """Which pours may move."""

    def test_a_liqueur_does_the_sweeteners_work_where_there_is_none(self) -> None:
        """In a margarita the orange liqueur is the sugar."""
        assert may_move(BOOK.drinks["Margarita"], 0) == (0, 2, 1)

    def test_the_slot_itself_is_not_moved_twice(self) -> None:
        """Swapping the acid leaves two movers."""
        daiquiri = BOOK.drinks["Daiquiri"]
        acid = next(i for i, pour in enumerate(daiquiri.pours) if pour.role.value == "acid")
        assert len(may_move(daiquiri, acid)) == 2

    @pytest.mark.parametrize(
        ("written", "steps"),
        [
            (("0.25", Unit.OUNCE), ["0.25", "0.5", "0.75"]),
            (("2", Unit.OUNCE), ["2", "1.5", "1.75", "2.25", "2.5"]),
            (("0.375", Unit.OUNCE), ["0.375", "0.25", "0.5", "0.75", "1"]),
            (("5", Unit.MILLILITRE), ["5", "2.5", "7.5", "10"]),
            (("2", Unit.DASH), ["2"]),
            (("1", Unit.PIECE), ["1"]),
        ],
        ids=str,
    )
    def test_a_pour_moves_by_whole_jigger_steps(self, written: tuple[str, Unit], steps: list[str]) -> None:
        """Two steps either way and never to nothing; what no jigger measures stays."""
        found = steps_near(Amount(Decimal(written[0]), written[1]), BOOK.house)
        assert [amount.number for amount in found] == [Decimal(step) for step in steps]


class TestAims:
    """What a drink is brought to."""

    def test_the_band_of_a_family_holds_all_its_classics(self) -> None:
        """From the least to the most of each measure."""
        aim = band("sour", VECTORS)
        members = [drink for drink in DRINKS if drink.family == "sour"]
        assert [float(distance(VECTORS.drink(drink), aim)) for drink in members] == [0.0] * len(members)

    def test_a_family_without_drinks_has_no_band(self) -> None:
        """There is nothing to measure it by."""
        with pytest.raises(KeyError):
            band("grog", VECTORS)

    def test_one_noticeable_step_off_is_a_distance_of_one(self) -> None:
        """In any one measure, above or below."""
        middle = np.array([100.0, 20.0, 80.0, 0.8, 1.0])
        aim = Aim(middle, middle)
        for column in range(len(NOTICED)):
            step = np.zeros(len(NOTICED))
            step[column] = NOTICED[column]
            assert float(distance(middle + step, aim)) == pytest.approx(1)
            assert float(distance(middle - step, aim)) == pytest.approx(1)

    def test_what_is_not_known_is_never_near(self) -> None:
        """An unknown measure keeps its distance, so a riddle is not ranked first."""
        measures = np.array([100.0, 20.0, np.nan, 0.8, 1.0])
        assert float(distance(measures, Aim(np.zeros(5), np.full(5, 200.0)))) == UNKNOWN
