"""How much water the ice gives, method by method."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.dilution import BASIS, LIMIT, Basis, dilution, shaken, stirred
from recipes.model import Ice, Method

DRINK = st.decimals("0.05", "0.5", places=3)


@given(DRINK)
def test_methods_rank_as_bartenders_say(strength: Decimal) -> None:
    """Building waters least, then stirring, throwing, shaking, swizzling, and blending most."""
    ladder = [
        dilution(method, strength, Ice.CUBED)
        for method in (Method.BUILT, Method.STIRRED, Method.THROWN, Method.SHAKEN, Method.SWIZZLED, Method.BLENDED)
    ]
    assert ladder == sorted(ladder)


@given(DRINK, DRINK)
def test_stronger_drinks_take_more_water(one: Decimal, other: Decimal) -> None:
    """Within the range of the fits."""
    weak, strong = sorted((one, other))
    assert stirred(weak) <= stirred(strong)
    assert shaken(weak) <= shaken(strong)


def test_the_fits_are_not_carried_beyond_their_range() -> None:
    """They turn over above half; a stronger mix is reckoned as the strongest that was measured."""
    assert stirred(Decimal("0.9")) == stirred(LIMIT)
    assert shaken(Decimal("0.9")) == shaken(LIMIT)


@pytest.mark.parametrize("ice", [Ice.CUBED, Ice.CRUSHED, Ice.LARGE])
def test_only_a_built_drink_without_ice_takes_no_water(ice: Ice) -> None:
    """A toddy meets no ice; a shaken drink met it in the tin."""
    assert dilution(Method.BUILT, Decimal("0.3"), Ice.NONE) == 0
    assert dilution(Method.BUILT, Decimal("0.3"), ice) > 0
    assert dilution(Method.SHAKEN, Decimal("0.3"), Ice.NONE) == dilution(Method.SHAKEN, Decimal("0.3"), ice)


def test_every_method_says_what_it_stands_on() -> None:
    """Two are published; the others are marked as what they are."""
    assert set(BASIS) == set(Method)
    assert {method for method, basis in BASIS.items() if basis is Basis.PUBLISHED} == {Method.SHAKEN, Method.STIRRED}
