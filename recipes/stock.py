"""What is out, what that stops, what can stand in for it, and what can still be made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from recipes.model import Book, Drink, Ingredient, Role, Sourced
from recipes.safety import contents, ingredients_within, names_in

ZERO = Decimal(0)

# How far apart two ingredients are: one step of each scale counts as much as one of another (house choice).
ABV_STEP = Decimal(10)  # % vol
SUGAR_STEP = Decimal(150)  # g/L
ACID_STEP = Decimal(2)  # % w/v
OTHER_KIND = Decimal(1)
NO_SHARED_FLAVOUR = Decimal(2)
UNKNOWN_VALUE = Decimal(1)  # a value that one of the two lacks
TOO_FAR = Decimal(5)
ONLY_LISTED = frozenset({Role.EGG})  # white foams and yolk thickens: neither does for the other


@dataclass(frozen=True)
class Blocked:
    """A drink that cannot be made as written, and what it lacks."""

    drink: Drink
    missing: tuple[str, ...]  # ingredients poured
    garnish_only: bool = False  # only the garnish is missing: it can be served without


@dataclass(frozen=True)
class StandIn:
    """Something that can take another ingredient's place, and how it differs."""

    ingredient: Ingredient
    listed: bool  # the book itself names it as a stand-in
    distance: Decimal  # 0 is alike
    brings_allergens: tuple[str, ...]
    drops_allergens: tuple[str, ...]
    allergens_unknown: tuple[str, ...]  # ingredients within it whose allergens are not written down
    abv_change: Decimal | None  # % vol, stand-in less original; None when either is unknown
    sugar_change: Decimal | None  # g/L
    acid_change: Decimal | None  # % w/v
    bitterness_change: int | None
    shared_flavours: tuple[str, ...]


def blocked(book: Book, out: Iterable[str]) -> tuple[Blocked, ...]:
    """The drinks that lack something that is out, in the book's order; drinks that lack only a garnish say so."""
    gone = frozenset(out)
    found = []
    for drink in book.drinks.values():
        stopped = any(pour.ingredient in gone for pour in drink.pours)
        if stopped or not gone.isdisjoint(drink.garnish):
            missing = tuple(name for name in names_in(drink) if name in gone)
            found.append(Blocked(drink, missing, garnish_only=not stopped))
    return tuple(found)


def cannot_be_remade(book: Book, out: Iterable[str]) -> tuple[str, ...]:
    """House-made ingredients that need something that is out; what is on hand of them can still be poured."""
    gone = frozenset(out)
    return tuple(
        i.name
        for i in book.ingredients.values()
        if i.made and i.name not in gone and any(part.name in gone for part in ingredients_within([i.name], book))
    )


def stand_ins(name: str, book: Book, out: Iterable[str] = (), limit: int = 5) -> tuple[StandIn, ...]:
    """What can take an ingredient's place, best first.

    1. Those the book names, in its order. 2. Those of the same role, nearest in strength, sugar, acid, bitterness and
    flavour, unless what has that role does different work (ONLY_LISTED). Ties go to the book's order. What is out, and
    what is made of the missing ingredient, is left out. Raises KeyError for an unknown name.
    """
    missing = book.ingredients[name]
    gone = frozenset(out) | {name}
    offers = [
        _compare(missing, other, book)
        for other in book.ingredients.values()
        if other.name not in gone
        and (other.name in missing.stand_ins or (other.role is missing.role and other.role not in ONLY_LISTED))
        and all(part.name != name for part in ingredients_within([other.name], book))
    ]
    near = [offer for offer in offers if offer.listed or offer.distance <= TOO_FAR]
    order = {n: i for i, n in enumerate(missing.stand_ins)}
    near.sort(key=lambda s: (not s.listed, order.get(s.ingredient.name, 0), s.distance))
    return tuple(near[:limit])


def can_make(
    book: Book, out: Iterable[str] = (), using: Iterable[str] = (), without: Iterable[str] = ()
) -> tuple[Drink, ...]:
    """The drinks that nothing stops, in the book's order.

    `using` and `without` hold words for what must and must not be inside: an ingredient's name, its kind or its role
    ('mezcal', 'citrus', 'egg'), looked for through every sub-recipe. A garnish is left out only by its own name.
    """
    gone, without = frozenset(out), frozenset(without)
    wanted = [_holders(word, book) for word in using]
    unwanted = frozenset().union(*(_holders(word, book) for word in without))
    return tuple(
        drink
        for drink in book.drinks.values()
        if not any(pour.ingredient in gone or pour.ingredient in unwanted for pour in drink.pours)
        and without.isdisjoint(drink.garnish)
        and all(any(pour.ingredient in holders for pour in drink.pours) for holders in wanted)
    )


def answers_to(ingredient: Ingredient, word: str) -> bool:
    """Whether a word names this ingredient, its kind or its role."""
    return word.casefold() in {ingredient.name.casefold(), ingredient.kind.casefold(), ingredient.role.value}


def _holders(word: str, book: Book) -> frozenset[str]:
    """The ingredients that are, or are made of, what a word names."""
    return frozenset(
        name for name in book.ingredients if any(answers_to(i, word) for i in ingredients_within([name], book))
    )


def _compare(missing: Ingredient, other: Ingredient, book: Book) -> StandIn:
    old, new = contents([missing.name], book), contents([other.name], book)
    bitterness = (
        other.bitterness - missing.bitterness
        if other.bitterness is not None and missing.bitterness is not None
        else None
    )
    changes = (
        _change(missing.abv, other.abv),
        _change(missing.sugar, other.sugar),
        _change(missing.acid, other.acid),
    )
    shared = tuple(word for word in missing.flavour if word in other.flavour)
    return StandIn(
        ingredient=other,
        listed=other.name in missing.stand_ins,
        distance=_distance(changes, bitterness, missing, other, shared),
        brings_allergens=tuple(sorted(set(new.by_allergen) - set(old.by_allergen))),
        drops_allergens=tuple(sorted(set(old.by_allergen) - set(new.by_allergen))),
        allergens_unknown=new.unknown,
        abv_change=changes[0],
        sugar_change=changes[1],
        acid_change=changes[2],
        bitterness_change=bitterness,
        shared_flavours=shared,
    )


def _change(old: Sourced | None, new: Sourced | None) -> Decimal | None:
    return None if old is None or new is None else Decimal(new.value.magnitude) - Decimal(old.value.magnitude)


def _distance(
    changes: tuple[Decimal | None, Decimal | None, Decimal | None],
    bitterness: int | None,
    missing: Ingredient,
    other: Ingredient,
    shared: tuple[str, ...],
) -> Decimal:
    steps = (ABV_STEP, SUGAR_STEP, ACID_STEP)
    apart = sum((abs(c) / s if c is not None else UNKNOWN_VALUE for c, s in zip(changes, steps, strict=True)), ZERO)
    apart += UNKNOWN_VALUE if bitterness is None else abs(bitterness)
    words = len(set(missing.flavour) | set(other.flavour))
    apart += NO_SHARED_FLAVOUR * (1 - Decimal(len(shared)) / words) if words else ZERO
    return apart + (ZERO if other.kind == missing.kind else OTHER_KIND)
