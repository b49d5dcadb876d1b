"""Allergens, raw egg, strength: what a drink is known to hold, and what is not known.

Nothing here says that a drink is safe. An ingredient whose allergens are not written down makes the answer 'unknown'.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, partial

from recipes.model import Book, Drink, Ingredient, Role

EU_14 = frozenset(
    {
        "gluten",
        "crustaceans",
        "egg",
        "fish",
        "peanuts",
        "soya",
        "milk",
        "nuts",
        "celery",
        "mustard",
        "sesame",
        "sulphites",
        "lupin",
        "molluscs",
    }
)  # Regulation (EU) 1169/2011, Annex II
US_9 = frozenset(
    {"milk", "egg", "fish", "crustaceans", "nuts", "peanuts", "wheat", "soya", "sesame"}
)  # FALCPA 2004 and FASTER Act 2021
ALLERGENS = EU_14 | US_9

# What people ask for, and the allergens it stands for. A wide word takes in every allergen a guest could mean by it.
ASKED_FOR: dict[str, frozenset[str]] = {
    "dairy": frozenset({"milk"}),
    "cream": frozenset({"milk"}),
    "lactose": frozenset({"milk"}),
    "eggs": frozenset({"egg"}),
    "nut": frozenset({"nuts", "peanuts"}),
    "nuts": frozenset({"nuts", "peanuts"}),
    "tree nuts": frozenset({"nuts"}),
    "almonds": frozenset({"nuts"}),
    "gluten": frozenset({"gluten", "wheat"}),
    "wheat": frozenset({"gluten", "wheat"}),
    "shellfish": frozenset({"crustaceans", "molluscs"}),
    "soy": frozenset({"soya"}),
    "sulfites": frozenset({"sulphites"}),
} | {name: frozenset({name}) for name in ALLERGENS - {"nuts", "gluten", "wheat"}}


VEGAN = "vegan"  # what is asked of all that comes from animals
FROM_ANIMALS = frozenset({"egg", "milk", "fish", "crustaceans", "molluscs"})  # allergens that no vegan has


class Finding(StrEnum):
    """An answer to 'is there X in it'. NO speaks of our data alone."""

    YES = "yes"
    NO = "no by our data"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Verdict:
    """Whether something is in a drink or an ingredient, and which ingredients decide it."""

    finding: Finding
    asked: str
    holders: tuple[str, ...] = ()  # ingredients that hold it
    unknown: tuple[str, ...] = ()  # ingredients whose data is missing


@dataclass(frozen=True)
class Contents:
    """Allergens by the ingredients that bring them, and the ingredients whose allergens are not written down."""

    by_allergen: dict[str, tuple[str, ...]]
    unknown: tuple[str, ...]


class Hazard(StrEnum):
    """A kind of caution that belongs with a drink."""

    ALLERGENS = "allergens"
    UNKNOWN_ALLERGENS = "unknown allergens"
    RAW_EGG = "raw egg"
    INGREDIENT = "ingredient"


@dataclass(frozen=True)
class Caution:
    """One caution: its kind, and the names or the note it speaks of."""

    hazard: Hazard
    names: tuple[str, ...] = ()
    note: str = ""


def ingredients_within(names: Iterable[str], book: Book) -> tuple[Ingredient, ...]:
    """The named ingredients and all that the house-made ones are made of, each once, in the order met.

    Raises KeyError for a name the book does not have.
    """
    found: dict[str, Ingredient] = {}
    waiting = list(names)
    while waiting:
        ingredient = book.ingredients[waiting.pop(0)]
        if ingredient.name in found:
            continue
        found[ingredient.name] = ingredient
        if ingredient.made:
            waiting += [pour.ingredient for pour in ingredient.made.pours]
    return tuple(found.values())


def names_in(drink: Drink) -> tuple[str, ...]:
    """Every ingredient that goes into or onto a drink, garnish last."""
    return tuple(dict.fromkeys([*(pour.ingredient for pour in drink.pours), *drink.garnish]))


def contents(names: Iterable[str], book: Book) -> Contents:
    """The allergens of these ingredients, through every sub-recipe.

    A house-made ingredient without allergens of its own takes those of its parts; a bought one without is unknown.
    """
    holders: dict[str, list[str]] = {}
    unknown: list[str] = []
    for ingredient in ingredients_within(names, book):
        if ingredient.allergens is None and ingredient.made is None:
            unknown.append(ingredient.name)
        for allergen in ingredient.allergens or ():
            holders.setdefault(allergen, []).append(ingredient.name)
    return Contents({name: tuple(holders[name]) for name in sorted(holders)}, tuple(unknown))


def contains_allergen(names: Iterable[str], asked: str, book: Book) -> Verdict:
    """Whether these ingredients hold an allergen class; `asked` is a key of ASKED_FOR, else KeyError."""
    wanted = ASKED_FOR[asked]
    inside = contents(names, book)
    holders = tuple(dict.fromkeys(n for allergen in sorted(wanted) for n in inside.by_allergen.get(allergen, ())))
    if holders:
        return Verdict(Finding.YES, asked, holders, inside.unknown)
    return Verdict(Finding.UNKNOWN if inside.unknown else Finding.NO, asked, (), inside.unknown)


def drinks_by_content(asked: str, book: Book) -> tuple[tuple[Drink, Verdict], ...]:
    """Of every drink, in the book's order, whether it holds what is asked for; `asked` as in `verdict_on`.

    Each ingredient is looked into once, and the verdict names what is poured or put on top, not what is within that;
    drinks with the same of it share one. It is worked out once for each word, and kept with the book.
    """
    kept = book.once(_Asked).by_word
    if asked not in kept:
        kept[asked] = _by_content(asked, book)
    return kept[asked]


def verdict_on(names: Iterable[str], asked: str, book: Book) -> Verdict:
    """Whether these hold what is asked for: an allergen class (see ASKED_FOR), 'alcohol', or what is no VEGAN's."""
    if asked == VEGAN:
        return from_animals(names, book)
    return contains_alcohol(names, book) if asked == "alcohol" else contains_allergen(names, asked, book)


class _Asked:
    """What one book was asked of all its drinks."""

    def __init__(self, _book: Book) -> None:
        self.by_word: dict[str, tuple[tuple[Drink, Verdict], ...]] = {}


def _by_content(asked: str, book: Book) -> tuple[tuple[Drink, Verdict], ...]:
    verdicts = {name: verdict_on([name], asked, book) for name in book.ingredients}
    with_it = frozenset(name for name, verdict in verdicts.items() if verdict.finding is Finding.YES)
    telling = frozenset(name for name, verdict in verdicts.items() if verdict.finding is not Finding.NO)
    of = cache(partial(_of_names, asked, with_it))
    return tuple((drink, of(_among(drink, telling))) for drink in book.drinks.values())


def _among(drink: Drink, names: frozenset[str]) -> tuple[str, ...]:
    """What of these a drink pours or has on top."""
    within = [pour.ingredient for pour in drink.pours]
    within += drink.garnish
    return () if names.isdisjoint(within) else tuple(name for name in within if name in names)


def _of_names(asked: str, with_it: frozenset[str], telling: tuple[str, ...]) -> Verdict:
    """The verdict on a drink by those of its names that hold what is asked for or are unknown."""
    names = tuple(dict.fromkeys(telling))
    if not names:
        return Verdict(Finding.NO, asked)
    holders = tuple(name for name in names if name in with_it)
    unread = tuple(name for name in names if name not in with_it)
    return Verdict(Finding.YES if holders else Finding.UNKNOWN, asked, holders, unread)


def contains_ingredient(names: Iterable[str], asked: str, book: Book) -> Verdict:
    """Whether these ingredients hold another by name, through every sub-recipe.

    What is bought shows no recipe: a food that may bring allergens could be in it where its own are not written down.
    """
    names = tuple(names)
    inside = {ingredient.name for ingredient in ingredients_within(names, book)}
    if asked not in inside:
        unknown = contents(names, book).unknown if _may_bring_allergens(asked, book) else ()
        return Verdict(Finding.UNKNOWN if unknown else Finding.NO, asked, (), unknown)
    through = tuple(n for n in names if asked in {i.name for i in ingredients_within([n], book)})
    return Verdict(Finding.YES, asked, through)


def _may_bring_allergens(name: str, book: Book) -> bool:
    """Whether a food holds an allergen, or nobody knows; nobody hides a bottle of wine in another bottle."""
    brought, abv = contents([name], book), book.ingredients[name].abv
    return bool(brought.by_allergen or brought.unknown) and (abv is None or not abv.value.magnitude)


def contains_alcohol(names: Iterable[str], book: Book) -> Verdict:
    """Whether any of these ingredients has alcohol; an ingredient of unknown strength makes it unknown.

    Fresh fruit and leaves on the rim have none. What comes in a jar may lie in spirit: where nobody wrote down its
    allergens either, its label was never read.
    """
    bought = [i for i in ingredients_within(names, book) if i.made is None]
    holders = tuple(i.name for i in bought if i.abv is not None and i.abv.value.magnitude > 0)
    fresh = {i.name for i in bought if i.role is Role.GARNISH and i.allergens is not None}
    unknown = tuple(i.name for i in bought if i.abv is None and i.name not in fresh)
    finding = Finding.YES if holders else Finding.UNKNOWN if unknown else Finding.NO
    return Verdict(finding, "alcohol", holders, unknown)


def from_animals(names: Iterable[str], book: Book) -> Verdict:
    """Whether any of these ingredients is from animals, or made with them: an egg, milk, fish, or what is marked so.

    A house-made ingredient is what its parts are. One that is not marked either way makes the answer unknown: wine may
    be fined with egg or isinglass, a liqueur coloured with cochineal, and no allergen tells it.
    """
    inside = ingredients_within(names, book)
    holders = tuple(i.name for i in inside if i.vegan is False or FROM_ANIMALS & (i.allergens or frozenset()))
    unknown = tuple(i.name for i in inside if i.vegan is None and i.made is None and i.name not in holders)
    finding = Finding.YES if holders else Finding.UNKNOWN if unknown else Finding.NO
    return Verdict(finding, VEGAN, holders, unknown)


def drink_cautions(drink: Drink, book: Book) -> tuple[Caution, ...]:
    """The cautions that belong with a drink, gravest first; the notes of what is poured come last."""
    names = names_in(drink)
    inside = contents(names, book)
    poured = [book.ingredients[name] for name in names]
    eggs = tuple(i.name for i in ingredients_within(names, book) if i.role is Role.EGG)
    cautions = [Caution(Hazard.RAW_EGG, eggs)] if eggs else []
    if inside.by_allergen:
        cautions.append(Caution(Hazard.ALLERGENS, tuple(inside.by_allergen)))
    if inside.unknown:
        cautions.append(Caution(Hazard.UNKNOWN_ALLERGENS, inside.unknown))
    cautions += [
        Caution(Hazard.INGREDIENT, (i.name,), i.caution) for i in poured if i.caution and i.role is not Role.EGG
    ]
    return tuple(cautions)
