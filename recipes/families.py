"""Which family a drink is of, told from its structure by the rules of the book, and what a family's formula is.

The rules are data (book/families.toml) and are tried in their order: the first whose structure the drink shows names
its family. A pour whose size is unknown is still seen, but has no share of the drink.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from statistics import median_low

from recipes.model import Book, Drink, FamilyRule, Pour, Role, Structure
from recipes.portions import portion
from recipes.units import COUNTED, Quantity, quantity

ZERO = Decimal(0)
MAIN_PART = Decimal("0.1")  # of what is poured: less is a dash, a rinse or a sweetening, not a part


@cache
def _words_of(term: str) -> frozenset[str]:
    return frozenset(term.split(" or "))


@dataclass(frozen=True)
class Part:
    """One thing in or on a drink: the words it answers to, and its volume (mL)."""

    name: str
    words: frozenset[str]  # its role, its kind and its name
    ml: Decimal
    counted: bool = False  # by the piece, the leaf or the cube

    def meets(self, term: str) -> bool:
        """Whether a term of the rules ('acid', 'acid or cordial') speaks of it."""
        return not _words_of(term).isdisjoint(self.words)


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
class Poured:
    """How much is poured: the least, the middle one and the most (volumes)."""

    low: Quantity
    usual: Quantity
    high: Quantity


@dataclass(frozen=True)
class SlotRange:
    """How much of a slot the drinks of a family take."""

    term: str
    poured: Poured | None  # None when it is counted, not poured
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
    return _classify(drink, Shapes(book).of(drink), book)


def _classify(drink: Drink, parts: tuple[Part, ...], book: Book) -> Placement:
    rules = book.families.values()
    rule = next((rule for rule in rules if shows(rule.when, drink, parts)), None)
    if rule is not None:
        return Placement(drink.name, rule.id, rule.branch_of, rule.reason, _filled(rule, parts))
    near = min(rules, key=lambda rule: len(list(unmet(rule.when, drink, parts))), default=None)
    if near is None:
        return Placement(drink.name, None, None, "", ())
    lacking = tuple(term for term in near.when.has if not any(part.meets(term) for part in parts))
    return Placement(drink.name, None, None, "", _filled(near, parts), near.id, lacking)


def formula(family: str, book: Book) -> Formula:
    """The slots of a family with their usual range, taken from the drinks that handbooks put in it.

    A family of which the book has no classic is shown by the house's own drinks of that structure. It is worked out
    once, and kept with the book. Raises KeyError for a family that the book does not have.
    """
    kept = book.once(_Formulas).by_family
    if family not in kept:
        kept[family] = _formula(book.families[family], book)
    return kept[family]


class _Formulas:
    """The formulas that one book was asked for."""

    def __init__(self, _book: Book) -> None:
        self.by_family: dict[str, Formula] = {}


def _formula(rule: FamilyRule, book: Book) -> Formula:
    shapes = Shapes(book)
    members = _members(rule, shapes, book)
    filled = [_in_slots(rule, shapes.of(drink)) for drink in members]
    ranges = (_slot_range(term, [slots[term] for slots in filled if slots[term]]) for term in rule.slots)
    return Formula(rule, tuple(r for r in ranges if r.drinks), tuple(drink.name for drink in members))


def _members(rule: FamilyRule, shapes: Shapes, book: Book) -> list[Drink]:
    """The drinks that handbooks put in a family; without any, the house's own that show its structure."""
    drinks = book.drinks.values()
    return [drink for drink in drinks if drink.family == rule.id] or [
        drink
        for drink in drinks
        if drink.family is None
        and shows(rule.when, drink, parts := shapes.of(drink))
        and _classify(drink, parts, book).family == rule.id
    ]


def drinks_in(family: str, book: Book) -> tuple[Drink, ...]:
    """Every drink of a family and of its branches, by handbooks or else by its structure, in the book's order."""
    return tuple(drink for drink in book.drinks.values() if family in book.once(_Placed).of(drink))


def family_of(drink: Drink, book: Book) -> str | None:
    """The family handbooks give a drink of the book, or else the one its structure shows."""
    return next(iter(book.once(_Placed).of(drink)), None)


class _Placed:
    """The family of each drink of one book, and those that it grew from; each is looked at once."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._found: dict[str, tuple[str, ...]] = {}

    def of(self, drink: Drink) -> tuple[str, ...]:
        if drink.name not in self._found:
            self._found[drink.name] = tuple(self._line(drink.family or classify(drink, self._book).family))
        return self._found[drink.name]

    def _line(self, family: str | None) -> Iterator[str]:
        seen: set[str] = set()
        while family is not None and family not in seen:
            yield family
            seen.add(family)
            family = self._book.families[family].branch_of


def branches(family: str, book: Book) -> tuple[FamilyRule, ...]:
    """The families that grew from this one."""
    return tuple(rule for rule in book.families.values() if rule.branch_of == family)


class Shapes:
    """Drinks of one book as parts; each pour is measured once, and kept with the book's shelf."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._poured: dict[Pour, Part] = book.notes("a pour as a part")
        self._garnish: dict[str, Part] = book.notes("a garnish as a part")

    def of(self, drink: Drink) -> tuple[Part, ...]:
        """Everything in and on a drink, garnish last."""
        return (*(self._part(pour) for pour in drink.pours), *(self._on_top(name) for name in drink.garnish))

    def _part(self, pour: Pour) -> Part:
        part = self._poured.get(pour)
        if part is None:
            words, ml = self._words(pour.ingredient, pour.role), portion(pour, self._book).ml or ZERO
            part = self._poured[pour] = Part(pour.ingredient, words, ml, pour.amount.unit in COUNTED)
        return part

    def _on_top(self, garnish: str) -> Part:
        if garnish not in self._garnish:
            self._garnish[garnish] = Part(garnish, self._words(garnish, Role.GARNISH), ZERO)
        return self._garnish[garnish]

    def _words(self, name: str, role: Role) -> frozenset[str]:
        ingredient = self._book.ingredients[name]
        return frozenset({role.value, ingredient.kind.casefold(), name.casefold()} - {""})


def shows(structure: Structure, drink: Drink, parts: tuple[Part, ...]) -> bool:
    """Whether a drink shows the whole of a structure."""
    return next(unmet(structure, drink, parts), None) is None


def unmet(structure: Structure, drink: Drink, parts: tuple[Part, ...]) -> Iterator[str]:
    """What of a structure a drink does not show: nothing when it shows it all."""
    words = frozenset[str]().union(*[part.words for part in parts])
    yield from (f"has {term}" for term in structure.has if _words_of(term).isdisjoint(words))
    yield from (f"lacks {term}" for term in structure.lacks if not _words_of(term).isdisjoint(words))
    if structure.methods and drink.method not in structure.methods:
        yield "method"
    if structure.ice and drink.ice not in structure.ice:
        yield "ice"
    yield from _out_of_share(structure, parts)
    yield from _uneven(structure, parts)


def _out_of_share(structure: Structure, parts: tuple[Part, ...]) -> Iterator[str]:
    total = sum((part.ml for part in parts), ZERO)
    for term, (low, high) in structure.share.items():
        poured = sum((part.ml for part in parts if part.meets(term)), ZERO)
        if not total or not low <= poured / total <= high:
            yield f"share {term}"


def _uneven(structure: Structure, parts: tuple[Part, ...]) -> Iterator[str]:
    total = sum((part.ml for part in parts), ZERO)
    main = [part.ml for part in parts if part.ml and part.ml >= MAIN_PART * total]
    if structure.parts and not structure.parts[0] <= len(main) <= structure.parts[1]:
        yield "parts"
    if structure.spread is not None and (not main or max(main) > structure.spread * min(main)):
        yield "spread"


def _filled(rule: FamilyRule, parts: tuple[Part, ...]) -> tuple[Slot, ...]:
    slots = _in_slots(rule, parts)
    return tuple(Slot(term, tuple(part.name for part in found)) for term, found in slots.items() if found)


def _in_slots(rule: FamilyRule, parts: tuple[Part, ...]) -> dict[str, list[Part]]:
    """The slots of a family and the parts that fill them; each part fills the first slot whose term it meets."""
    slots: dict[str, list[Part]] = {term: [] for term in rule.slots}
    for part in parts:
        term = next((term for term in rule.slots if part.meets(term)), None)
        if term is not None:
            slots[term].append(part)
    return slots


def _slot_range(term: str, filled: list[list[Part]]) -> SlotRange:
    used = Counter(part.name for parts in filled for part in parts)
    names = tuple(name for name, _ in used.most_common())
    poured = [volume for parts in filled if (volume := sum((part.ml for part in parts), ZERO))]
    if not poured or any(part.counted for parts in filled for part in parts):
        return SlotRange(term, None, names, len(filled))
    low, usual, high = (quantity(v, "milliliter") for v in (min(poured), median_low(poured), max(poured)))
    return SlotRange(term, Poured(low, usual, high), names, len(filled))
