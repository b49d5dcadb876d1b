"""What the alcoholometric formula refuses, and what it keeps."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.errors import StrengthError
from recipes.ethanol import (
    density,
    freezing_point,
    grams_per_ml,
    mass_fraction,
    mixed_ml,
    volume_fraction,
)

FRACTION = st.decimals(0, 1, places=4)


@pytest.mark.parametrize("strength", ["-0.01", "1.01"])
def test_a_strength_is_a_fraction(strength: str) -> None:
    """Forty percent is 0.4; a bare 40 is refused rather than extrapolated."""
    for ask in (density, grams_per_ml, mass_fraction):
        with pytest.raises(StrengthError) as caught:
            ask(Decimal(strength))
        assert caught.value.strength == Decimal(strength)


@pytest.mark.parametrize("celsius", ["-20.1", "40.1"])
def test_the_formula_ends_at_its_temperatures(celsius: str) -> None:
    """It holds from -20 to +40 degrees Celsius."""
    with pytest.raises(StrengthError) as caught:
        density(Decimal("0.4"), Decimal(celsius))
    assert caught.value.celsius == Decimal(celsius)


@given(FRACTION)
def test_by_volume_and_by_mass_are_two_ways_to_say_one_strength(strength: Decimal) -> None:
    """There and back again, to a part in a million million."""
    assert abs(volume_fraction(mass_fraction(strength)) - strength) < Decimal("1e-12")


@given(st.decimals(1, 500, places=1), st.decimals(1, 500, places=1))
def test_a_mix_never_swells(ethanol_g: Decimal, water_g: Decimal) -> None:
    """Together they never take more room than apart."""
    apart = mixed_ml(ethanol_g, Decimal(0)) + mixed_ml(Decimal(0), water_g)
    assert mixed_ml(ethanol_g, water_g) <= apart


def test_nothing_has_no_volume() -> None:
    """An empty glass."""
    assert mixed_ml(Decimal(0), Decimal(0)) == 0


@given(FRACTION, FRACTION)
def test_the_stronger_freezes_no_sooner(one: Decimal, other: Decimal) -> None:
    """Up to the last published point the freezing point only falls; beyond it, it is not guessed."""
    weak, strong = sorted((one, other))
    assert freezing_point(strong) <= freezing_point(weak)
    assert freezing_point(Decimal(1)) == Decimal(-23)
