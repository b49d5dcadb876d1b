"""What mixing keeps: every gram, and what is not known."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from recipes.ethanol import ETHANOL_G_ML
from recipes.mixing import Gap, Lack, Liquid, mix, water, water_beside
from recipes.sucrose import DISPLACED_ML_PER_G

GRAMS = st.decimals(0, 200, places=2)
LIQUIDS = st.builds(Liquid, GRAMS, GRAMS, GRAMS, GRAMS, GRAMS, GRAMS)
SMALL = Decimal("1e-18")


@given(st.lists(LIQUIDS, max_size=6))
def test_mixing_conserves_ethanol_sugar_acid_and_mass(parts: list[Liquid]) -> None:
    """What goes into the tin is in the tin."""
    whole = mix(parts)
    for held in ("ethanol_g", "water_g", "sugar_g", "acid_g", "bitter_ml", "mass_g"):
        assert getattr(whole, held) == sum((getattr(part, held) for part in parts), Decimal(0))


@given(st.lists(LIQUIDS, min_size=2, max_size=6))
def test_the_order_of_mixing_does_not_matter(parts: list[Liquid]) -> None:
    """Pour in any order, or mix two first."""
    assert mix(parts) == mix(reversed(parts)) == mix((mix(parts[:2]), *parts[2:]))


@given(st.lists(LIQUIDS, max_size=6))
def test_a_mix_hardly_ever_swells(parts: list[Liquid]) -> None:
    """Ethanol and water shrink; only two weak mixes may swell, by less than a thousandth."""
    assert mix(parts).ml <= sum((part.ml for part in parts), Decimal(0)) * Decimal("1.001")


@given(LIQUIDS, st.decimals("0.1", 50, places=1))
def test_more_of_the_same_is_as_strong(liquid: Liquid, factor: Decimal) -> None:
    """Twenty serves are as strong as one."""
    assert abs(liquid.times(factor).strength - liquid.strength) < SMALL
    assert abs(liquid.times(factor).ml - liquid.ml * factor) < Decimal("1e-12")


@given(st.decimals(0, 1, places=3), st.decimals(0, "0.5", places=3))
def test_a_millilitre_of_an_ingredient_is_a_millilitre(strength: Decimal, sugar: Decimal) -> None:
    """The water beside ethanol and sugar fills just the room that they leave, when they leave any."""
    room = 1 - sugar * DISPLACED_ML_PER_G
    if strength >= room:
        return
    liquid = Liquid(ethanol_g=strength * ETHANOL_G_ML, water_g=water_beside(strength, sugar), sugar_g=sugar)
    assert abs(liquid.ml - 1) < Decimal("1e-9")
    assert abs(liquid.strength - strength) < Decimal("1e-9")


def test_sugar_that_fills_all_the_room_leaves_none_for_water() -> None:
    """Dry sugar by the millilitre."""
    assert water_beside(Decimal(0), Decimal(2)) == 0


def test_water_is_water() -> None:
    """A hundred millilitres of it weigh a hundred grams, nearly, and have no strength."""
    glass = water(Decimal(100))
    assert abs(glass.mass_g - Decimal("99.82")) < Decimal("0.01")
    assert abs(glass.ml - 100) < SMALL
    assert glass.strength == 0


def test_what_is_unknown_of_a_part_is_unknown_of_the_whole() -> None:
    """A gap travels with its ingredient's name."""
    riddle = Liquid(gaps=frozenset({Gap("violet liqueur", Lack.ABV)}))
    whole = mix((water(Decimal(10)), riddle))
    assert whole.lacks(Lack.ABV)
    assert not whole.lacks(Lack.SUGAR, Lack.ACID)
    assert whole.times(Decimal(3)).gaps == riddle.gaps


def test_nothing_has_no_strength() -> None:
    """An empty glass holds nothing."""
    assert mix(()) == Liquid()
    assert Liquid().strength == 0
