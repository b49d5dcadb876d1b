"""How much water the ice gives a drink, by the method it is mixed with.

Shaken and stirred: the fits of D. Arnold, Liquid Intelligence (W. W. Norton, 2014), p. 123, where x is the strength of
the drink before ice as a fraction by volume and the result is added water over starting volume. They turn over at 0.556
and 0.515, so they are not carried beyond 0.5. A real drink may differ by 15 % either way. The other methods have no
published fit; `BASIS` says what each stands on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from recipes.model import Ice, Method

LIMIT = Decimal("0.5")  # strength by volume beyond which the fits are not used
SPREAD = Decimal("0.15")  # of the water: what to allow for on any real drink

_STIRRED = (Decimal("-1.21"), Decimal("1.246"), Decimal("0.145"))
_SHAKEN = (Decimal("-1.567"), Decimal("1.742"), Decimal("0.203"))

BUILT_SHARE = Decimal("0.75")  # of a stirred drink's water: a short stir over the ice it is served on
BLENDED_SHARE = Decimal(1)  # ice by weight as much as the drink by volume, and all of it is drunk


class Basis(StrEnum):
    """What a method's dilution stands on."""

    PUBLISHED = "published"  # the fit of the source named above
    COMMON_PRACTICE = "common practice"
    HOUSE_CHOICE = "house choice"


BASIS = {
    Method.SHAKEN: Basis.PUBLISHED,
    Method.STIRRED: Basis.PUBLISHED,
    Method.SWIZZLED: Basis.COMMON_PRACTICE,  # crushed ice, worked till frosted: as much as a shake
    Method.BLENDED: Basis.COMMON_PRACTICE,
    Method.THROWN: Basis.HOUSE_CHOICE,  # half way between stirred and shaken
    Method.BUILT: Basis.HOUSE_CHOICE,  # lands an old fashioned in the 27-32 % vol of the same book (from memory)
}


def stirred(strength: Decimal) -> Decimal:
    """Added water over starting volume for a stirred drink of that strength (fraction by volume)."""
    return _fit(_STIRRED, strength)


def shaken(strength: Decimal) -> Decimal:
    """Added water over starting volume for a shaken drink of that strength (fraction by volume)."""
    return _fit(_SHAKEN, strength)


def _fit(terms: tuple[Decimal, Decimal, Decimal], strength: Decimal) -> Decimal:
    x = min(strength, LIMIT)
    square, line, constant = terms
    return square * x * x + line * x + constant


WATER: Mapping[Method, Callable[[Decimal], Decimal]] = MappingProxyType(
    {
        Method.SHAKEN: shaken,
        Method.SWIZZLED: shaken,
        Method.STIRRED: stirred,
        Method.THROWN: lambda strength: (stirred(strength) + shaken(strength)) / 2,
        Method.BLENDED: lambda strength: BLENDED_SHARE,
        Method.BUILT: lambda strength: BUILT_SHARE * stirred(strength),
    }
)


def dilution(method: Method, strength: Decimal, ice: Ice) -> Decimal:
    """Water from ice over the volume that meets the ice.

    `strength` is a fraction by volume; `ice` is what is in the glass: a drink built without any takes no water.
    """
    if method is Method.BUILT and ice is Ice.NONE:
        return Decimal(0)
    return WATER[method](strength)
