"""What a drink should taste like: balance in a word or two, and the flavours of its ingredients by their share.

The words are the ingredients' own, from the book, the most telling first. A flavour counts by how much of the drink
carries it and by its place among the ingredient's words; a dash of bitters counts as `DASH_WEIGHT` times its volume,
since bitters are made to be tasted in dashes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from recipes.balance import Profile, profile
from recipes.composition import Compositions
from recipes.model import Book, Drink, Pour, Role
from recipes.portions import portion

ZERO = Decimal(0)


class Feel(StrEnum):
    """How the balance of a drink feels, as a bartender would say it."""

    STRONG = "strong"
    LIGHT = "light"
    SOFT = "without alcohol"
    BRIGHT = "bright"
    TART = "tart"
    ROUND = "round"
    DRY = "dry"
    SWEET = "sweet"
    BITTER = "bitter"
    RICH = "rich"
    SPARKLING = "sparkling"


# Where a feel begins, in what is served (house choice, held against the classics of the book).
STRONG_FROM = Decimal(24)  # % vol
LIGHT_BELOW = Decimal(10)  # % vol
SOFT_BELOW = Decimal("0.5")  # % vol
BITTER_FROM = Decimal("0.9")  # house scale, by volume
SOUR_ROLES = frozenset({Role.ACID, Role.JUICE})
SOUR_FROM = Decimal("0.20")  # % acid, in a drink that pours one of these: less is not felt as sour
FELT_SOUR = Decimal("0.45")  # % acid, even of wine or cordial: from here on a drink is not called sweet or dry
TART_BELOW = Decimal(9)  # grams of sugar to a gram of acid
BRIGHT_BELOW = Decimal(13)
DRY_BELOW = Decimal(25)  # g/L sugar, where there is little acid
SWEET_FROM = Decimal(75)  # g/L

DASH_WEIGHT = Decimal(12)
WEIGHTLESS = Decimal(6)  # mL: what leaves, sprigs, salt and all that has no volume is taken for
FLAVOURS = 2  # words told at most
BY_PLACE = (Decimal(1), Decimal("0.8"), Decimal("0.6"), Decimal("0.4"))  # first word, second ...
# Words of the palate: the balance tells of them, so they are no flavours of their own.
PALATE = frozenset(Feel) | {"clean", "neutral", "soft", "sharp", "foam", "hot", "cool"}


@dataclass(frozen=True)
class Taste:
    """What to expect of a drink."""

    feels: tuple[Feel, ...]  # two at most, the plainest first
    flavours: tuple[str, ...]  # of what lies on top, the strongest first
    beneath: str | None  # of the base, underneath
    shares: tuple[tuple[str, Decimal], ...]  # every flavour word and its share of all, 0..1, the largest first
    unknown: tuple[str, ...]  # ingredients whose flavour the book does not tell


def taste(drink: Drink, book: Book) -> Taste:
    """The feel of a drink's balance and its flavours; raises KeyError for an ingredient the book does not have."""
    felt = feels(profile(drink, Compositions(book)), drink, book)
    base = _heaviest(_weights([p for p in drink.pours if p.role is Role.BASE], book))
    rest = _heaviest(_weights([p for p in drink.pours if p.role is not Role.BASE], book))
    on_top = (rest or base)[:FLAVOURS]
    return Taste(
        feels=felt,
        flavours=on_top,
        beneath=next((word for word in base if word not in on_top), None) if rest else None,
        shares=_shares(_weights(drink.pours, book)),
        unknown=tuple(p.ingredient for p in drink.pours if not book.ingredients[p.ingredient].flavour),
    )


def feels(found: Profile, drink: Drink, book: Book) -> tuple[Feel, ...]:
    """At most two words for the balance: sour first, then bitter, sweet or dry, strength, bubbles and richness."""
    felt = [
        _sour(found, SOUR_FROM if any(pour.role in SOUR_ROLES for pour in drink.pours) else FELT_SOUR),
        Feel.BITTER if found.bitterness is not None and found.bitterness >= BITTER_FROM else None,
        _sweet(found),
        _strength(found),
        Feel.SPARKLING if any(_sparkles(pour, book) for pour in drink.pours) else None,
        Feel.RICH if any(pour.role in (Role.EGG, Role.DAIRY) for pour in drink.pours) else None,
    ]
    return tuple(feel for feel in felt if feel is not None)[:2]


def _sour(found: Profile, least: Decimal) -> Feel | None:
    if found.sugar is None or found.acid is None or found.acid < least:
        return None
    ratio = found.sugar / 10 / found.acid
    return Feel.TART if ratio < TART_BELOW else Feel.BRIGHT if ratio < BRIGHT_BELOW else Feel.ROUND


def _sweet(found: Profile) -> Feel | None:
    if found.sugar is None or found.acid is None or found.acid >= FELT_SOUR:
        return None
    return Feel.DRY if found.sugar < DRY_BELOW else Feel.SWEET if found.sugar >= SWEET_FROM else None


def _strength(found: Profile) -> Feel | None:
    if found.abv is None:
        return None
    if found.abv < SOFT_BELOW:
        return Feel.SOFT
    return Feel.STRONG if found.abv >= STRONG_FROM else Feel.LIGHT if found.abv < LIGHT_BELOW else None


def _sparkles(pour: Pour, book: Book) -> bool:
    return Feel.SPARKLING.value in book.ingredients[pour.ingredient].flavour


def _weights(pours: Iterable[Pour], book: Book) -> dict[str, Decimal]:
    """Flavour words, and how much of the drink carries each (mL, dashes made heavier)."""
    weights: dict[str, Decimal] = {}
    for pour in pours:
        weight = (portion(pour, book).ml or WEIGHTLESS) * (DASH_WEIGHT if pour.role is Role.BITTERS else 1)
        words = [word for word in book.ingredients[pour.ingredient].flavour if word not in PALATE]
        for place, word in enumerate(words):
            weights[word] = weights.get(word, ZERO) + weight * BY_PLACE[min(place, len(BY_PLACE) - 1)]
    return weights


def _heaviest(weights: dict[str, Decimal]) -> tuple[str, ...]:
    """The words, the heaviest first; of equals, the one met first."""
    return tuple(sorted(weights, key=lambda word: -weights[word]))


def _shares(weights: dict[str, Decimal]) -> tuple[tuple[str, Decimal], ...]:
    total = sum(weights.values(), ZERO)
    return tuple((word, weights[word] / total) for word in _heaviest(weights))
