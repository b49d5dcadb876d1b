"""Which family a drink is of, told from its structure by the rules of the book, and what a family's formula is.

The rules are data (book/families.toml) and are tried in their order: the first whose structure the drink shows names
its family. A pour whose size is unknown is still seen, but has no share of the drink.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from statistics import median_low

from recipes.model import Book, Drink, FamilyRule, Pour, Role, Structure
from recipes.portions import portion
from recipes.units import COUNTED, Quantity, quantity

ZERO = Decimal(0)
MAIN_PART = Decimal("0.1")  # of what is poured: less is a dash, a rinse or a sweetening, not a part


@dataclass(frozen=True)
class Part:
    """One thing in or on a drink: the words it answers to, and its volume (mL)."""

    name: str
    words: frozenset[str]  # its role, its kind and its name
    ml: Decimal
    counted: bool = False  # by the piece, the leaf or the cube

    def meets(self, term: str) -> bool:
        """Whether a term of the rules ('acid', 'acid or cordial') speaks of it."""
        return any(word in self.words for word in term.split(" or "))


@dataclass(frozen=True)
class Slot:
    """A slot of a formula, and what fills it in a drink."""

    term: str
    ingredients: tuple[str, ...]


@dataclass(frozen=True)
class Placement:
    """The family of a drink, and why."""

    drink: str
    family: str | None  # id of the rule; None: no rule fits
    branch_of: str | None
    reason: str  # the rule's words; empty when no rule fits
    filled: tuple[Slot, ...]  # the slots of the rule that the drink fills, in the rule's order
    near: str | None = None  # when no rule fits: the family that comes nearest
    lacking: tuple[str, ...] = ()  # and what the drink lacks for it


@dataclass(frozen=True)
class SlotRange:
    """How much of a slot the drinks of a family take."""

    term: str
    low: Quantity | None  # volume; None when it is counted, not poured
    usual: Quantity | None  # the middle one
    high: Quantity | None
    ingredients: tuple[str, ...]  # what fills it, the most used first
    drinks: int  # in how many of the family's drinks it is filled


@dataclass(frozen=True)
class Formula:
    """What the drinks of a family have in common."""

    family: FamilyRule
    slots: tuple[SlotRange, ...]
    drinks: tuple[str, ...]  # of the book, that the ranges are taken from


def family_called(name: str, book: Book) -> FamilyRule | None:
    """The family of that id, title or spoken name, or None."""
    wanted = name.casefold()
    return next(
        (r for r in book.families.values() if wanted in {r.id, r.title.casefold(), *map(str.casefold, r.spoken)}), None
    )


def classify(drink: Drink, book: Book) -> Placement:
    """The family whose structure the drink shows; where none fits, the one that comes nearest."""
    parts = Shapes(book).of(drink)
    for rule in book.families.values():
        if not unmet(rule.when, drink, parts):
            return Placement(drink.name, rule.id, rule.branch_of, rule.reason, _filled(rule, parts))
    near = min(book.families.values(), key=lambda rule: len(unmet(rule.when, drink, parts)), default=None)
    if near is None:
        return Placement(drink.name, None, None, "", ())
    lacking = tuple(term for term in near.when.has if not any(part.meets(term) for part in parts))
    return Placement(drink.name, None, None, "", _filled(near, parts), near.id, lacking)


def formula(family: str, book: Book) -> Formula:
    """The slots of a family with their usual range, taken from the drinks that handbooks put in it.

    A family of which the book has no classic is shown by the house's own drinks of that structure. Raises KeyError for
    a family that the book does not have.
    """
    rule = book.families[family]
    shape = Shapes(book)
    members = [d for d in book.drinks.values() if d.family == family] or [
        d for d in book.drinks.values() if d.family is None and classify(d, book).family == family
    ]
    shapes = [shape.of(drink) for drink in members]
    ranges = [_slot_range(term, shapes, rule.slots[:i]) for i, term in enumerate(rule.slots)]
    return Formula(rule, tuple(r for r in ranges if r.drinks), tuple(drink.name for drink in members))


def branches(family: str, book: Book) -> tuple[FamilyRule, ...]:
    """The families that grew from this one."""
    return tuple(rule for rule in book.families.values() if rule.branch_of == family)


class Shapes:
    """Drinks of one book as parts; each pour is measured once, so share one between many drinks."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._poured: dict[Pour, Part] = {}

    def of(self, drink: Drink) -> tuple[Part, ...]:
        """Everything in and on a drink, garnish last."""
        garnish = (Part(name, self._words(name, Role.GARNISH), ZERO) for name in drink.garnish)
        return (*(self._part(pour) for pour in drink.pours), *garnish)

    def _part(self, pour: Pour) -> Part:
        if pour not in self._poured:
            words, ml = self._words(pour.ingredient, pour.role), portion(pour, self._book).ml or ZERO
            self._poured[pour] = Part(pour.ingredient, words, ml, pour.amount.unit in COUNTED)
        return self._poured[pour]

    def _words(self, name: str, role: Role) -> frozenset[str]:
        ingredient = self._book.ingredients[name]
        return frozenset({role.value, ingredient.kind.casefold(), name.casefold()} - {""})


def unmet(structure: Structure, drink: Drink, parts: tuple[Part, ...]) -> tuple[str, ...]:
    """What of a structure a drink does not show; empty when it shows it all."""
    missing = [f"has {term}" for term in structure.has if not any(part.meets(term) for part in parts)]
    missing += [f"lacks {term}" for term in structure.lacks if any(part.meets(term) for part in parts)]
    if structure.methods and drink.method not in structure.methods:
        missing.append("method")
    if structure.ice and drink.ice not in structure.ice:
        missing.append("ice")
    missing += _out_of_share(structure, parts)
    return tuple(missing + _uneven(structure, parts))


def _out_of_share(structure: Structure, parts: tuple[Part, ...]) -> list[str]:
    total = sum((part.ml for part in parts), ZERO)
    missing = []
    for term, (low, high) in structure.share.items():
        poured = sum((part.ml for part in parts if part.meets(term)), ZERO)
        if not total or not low <= poured / total <= high:
            missing.append(f"share {term}")
    return missing


def _uneven(structure: Structure, parts: tuple[Part, ...]) -> list[str]:
    total = sum((part.ml for part in parts), ZERO)
    main = [part.ml for part in parts if part.ml and part.ml >= MAIN_PART * total]
    missing = []
    if structure.parts and not structure.parts[0] <= len(main) <= structure.parts[1]:
        missing.append("parts")
    if structure.spread is not None and (not main or max(main) > structure.spread * min(main)):
        missing.append("spread")
    return missing


def _filled(rule: FamilyRule, parts: tuple[Part, ...]) -> tuple[Slot, ...]:
    slots = [
        Slot(term, tuple(part.name for part in _in_slot(term, rule.slots[:i], parts)))
        for i, term in enumerate(rule.slots)
    ]
    return tuple(slot for slot in slots if slot.ingredients)


def _in_slot(term: str, earlier: Iterable[str], parts: tuple[Part, ...]) -> list[Part]:
    """The parts that fill a slot and none before it."""
    return [part for part in parts if part.meets(term) and not any(part.meets(before) for before in earlier)]


def _slot_range(term: str, shapes: list[tuple[Part, ...]], earlier: tuple[str, ...]) -> SlotRange:
    filled = [found for parts in shapes if (found := _in_slot(term, earlier, parts))]
    names = [part.name for found in filled for part in found]
    used = sorted(dict.fromkeys(names), key=lambda name: -names.count(name))
    poured = [volume for found in filled if (volume := sum((part.ml for part in found), ZERO))]
    if not poured or any(part.counted for found in filled for part in found):
        return SlotRange(term, None, None, None, tuple(used), len(filled))
    low, usual, high = (quantity(v, "milliliter") for v in (min(poured), median_low(poured), max(poured)))
    return SlotRange(term, low, usual, high, tuple(used), len(filled))
