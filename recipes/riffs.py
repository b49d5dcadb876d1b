"""Riffs: one slot of a drink filled with something else, the formula kept.

A swap names the pour that goes and the ingredient that comes. What comes takes the slot's role, amount and note; only
what a jigger does not measure (a cube, a piece) becomes ounces when the newcomer is poured.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from recipes.compare import Comparison, compare
from recipes.families import classify
from recipes.model import Book, Drink, Ingredient, Pour, Role
from recipes.portions import FLAVOUR_ONLY, portion
from recipes.rebalance import MOVED_ROLES, Aim, Moved, as_before, band, distance, moves, rebalance, search
from recipes.spec import to_step
from recipes.units import POURED, Amount, Unit
from recipes.vectors import Vectors

# Which other slots an ingredient can be moved into, beside that of its own role.
NEAR = {
    Role.BASE: frozenset({Role.FORTIFIED, Role.LIQUEUR}),
    Role.FORTIFIED: frozenset({Role.BITTER_LIQUEUR, Role.LIQUEUR, Role.BASE}),
    Role.LIQUEUR: frozenset({Role.SWEETENER, Role.BITTER_LIQUEUR, Role.FORTIFIED}),
    Role.BITTER_LIQUEUR: frozenset({Role.LIQUEUR, Role.FORTIFIED}),
    Role.ACID: frozenset({Role.JUICE}),
    Role.JUICE: frozenset({Role.ACID}),
    Role.SWEETENER: frozenset({Role.LIQUEUR}),
    Role.EGG: frozenset({Role.DAIRY}),
    Role.DAIRY: frozenset({Role.EGG}),
}
# In which order a bar thinks of changing a drink's slots.
THOUGHT_OF = (
    Role.BASE,
    Role.LIQUEUR,
    Role.BITTER_LIQUEUR,
    Role.FORTIFIED,
    Role.SWEETENER,
    Role.JUICE,
    Role.ACID,
    Role.BITTERS,
    Role.DAIRY,
    Role.EGG,
    Role.LENGTHENER,
    Role.HERB,
    Role.SALT,
    Role.GARNISH,
)
# What makes a swap better or worse, in steps that a guest would just notice (house choice).
NEAR_ROLE = 6.0
OTHER_ROLE = 30.0
SHARED_FLAVOUR = 0.5  # for each word
LISTED = (1.5, 1.0, 0.5)  # the book itself names it as a stand-in: first, second, after that
WORTH_OFFERING = 8.0  # a score below this is still the same drink at heart
TOO_FAR = 3.0  # from the old balance: beyond this it is another drink, and its own family tells how it should be
RIFFS = "riffs"  # the shelf that riffs are kept on


@dataclass(frozen=True)
class Riff:
    """A drink with one slot changed, and what that does to it."""

    went: Pour
    came: Pour
    moved: tuple[Moved, ...]  # by re-balancing, beside the swap itself
    family: str | None  # brought to this family's band; None: to the balance the drink had
    distance: float  # from it, in steps that a guest would just notice
    before: float  # the same before re-balancing
    sides: Comparison  # the drink as it was, and the riff
    known_as: str | None  # a drink of the book made of the same things
    as_known: bool  # and poured as the book pours that one

    @property
    def drink(self) -> Drink:
        """The new drink, under a provisional name."""
        return self.sides.second


@dataclass(frozen=True)
class Offer:
    """A swap that could be made; the lower its score the better."""

    went: Pour
    coming: str
    distance: float  # after re-balancing, in steps that a guest would just notice
    shared: tuple[str, ...]  # flavour words of both
    score: float

    @property
    def is_worth_offering(self) -> bool:
        """Whether a bar would think of it."""
        return self.score < WORTH_OFFERING


def main_slots(drink: Drink) -> tuple[Pour, ...]:
    """The pours of a drink in the order a bar would think of changing them: the base first, the length last."""
    return tuple(sorted(drink.pours, key=lambda pour: (THOUGHT_OF.index(pour.role), -reach(pour))))


def slot_of(drink: Drink, word: str) -> Pour | None:
    """The pour of that ingredient, or the largest of that role ('base'); None when there is none."""
    by_name = drink.pour_of(word)
    return by_name or max((p for p in drink.pours if p.role.value == word), key=reach, default=None)


def slot_for(drink: Drink, coming: str, book: Book) -> Pour | None:
    """The pour that an ingredient would take the place of: of its kind, else of its role, else of a near role."""
    newcomer = book.ingredients[coming]
    kinds = [p for p in drink.pours if newcomer.kind and book.ingredients[p.ingredient].kind == newcomer.kind]
    same = [p for p in drink.pours if p.role is newcomer.role]
    near = [p for p in drink.pours if p.role in NEAR.get(newcomer.role, frozenset())]
    return next((max(pours, key=reach) for pours in (kinds, same, near) if pours), None)


def swap(drink: Drink, went: Pour, coming: str, book: Book) -> Drink:
    """The drink with one pour's ingredient replaced, under a provisional name; amounts are kept.

    Raises KeyError for an ingredient the book does not have, ValueError when the drink already pours it.
    """
    if drink.pour_of(coming) is not None:
        raise ValueError(coming)
    newcomer = book.ingredients[coming]
    came = replace(went, ingredient=coming, amount=_as_poured(went, newcomer, book))
    return replace(
        drink,
        name=_provisional_name(drink, went, coming, book),
        shelf=RIFFS,
        pours=tuple(came if pour is went else pour for pour in drink.pours),
        steps=tuple(_renamed(step, went.ingredient, coming) for step in drink.steps),
        spoken=(),
        sounds_like=(),
        family=None,
        first_print="",
        source="",
        note=f"{drink.name} with {coming} for {went.ingredient}",
        taste="",
    )


def riff(drink: Drink, went: Pour, coming: str, book: Book) -> Riff:
    """The swap, re-balanced and set beside the drink.

    A swap that makes a drink of the book, but for amounts that may move, is poured as the book has it: so a riff
    swapped back is the original. Any other is brought to the balance that the drink had; where the jigger cannot reach
    that, and the swap made it a drink of another family, to that family's band, if that is nearer. Raises KeyError for
    an unknown ingredient, ValueError when the drink already pours it.
    """
    vectors = Vectors(book)
    swapped, slot, aim = swap(drink, went, coming, book), drink.pours.index(went), as_before(drink, vectors)
    known = _in_the_book(swapped, slot, aim, vectors)
    if known is not None:
        settled, family = replace(swapped, pours=known.pours), None
    else:
        settled, aim, family = _brought_back(drink, swapped, slot, aim, vectors)
    ended, began = (float(distance(vectors.drink(one), aim)) for one in (settled, swapped))
    return Riff(
        went=went,
        came=settled.pours[slot],
        moved=moves(swapped, settled),
        family=family,
        distance=ended,
        before=began,
        sides=compare(drink, settled, book),
        known_as=known.name if known else _known_as(settled, book),
        as_known=known is not None,
    )


def _in_the_book(swapped: Drink, slot: int, aim: Aim, vectors: Vectors) -> Drink | None:
    """The book's drink of the same lines, but for amounts that may move; of several, the nearest to the aim."""
    lines = _lines(swapped, slot)
    same = [
        drink
        for drink in vectors.book.drinks.values()
        if (drink.method, drink.ice, len(drink.pours)) == (swapped.method, swapped.ice, len(lines))
        and drink.pours[slot].ingredient == swapped.pours[slot].ingredient
        and _lines(drink, slot) == lines
    ]
    return min(same, key=lambda drink: float(distance(vectors.drink(drink), aim)), default=None)


def _lines(drink: Drink, slot: int) -> list[tuple[str, Role, str, Amount | None]]:
    """What is poured, without the amounts that re-balancing moves: of the slot, of what is sour and what is sweet."""
    return [
        (pour.ingredient, pour.role, pour.note, None if index == slot or pour.role in MOVED_ROLES else pour.amount)
        for index, pour in enumerate(drink.pours)
    ]


def _brought_back(drink: Drink, swapped: Drink, slot: int, aim: Aim, vectors: Vectors) -> tuple[Drink, Aim, str | None]:
    """The swap re-balanced, what it was brought to, and the family if that is a family's band."""
    near, found = rebalance(swapped, slot, aim, vectors)
    family = _new_family(drink, swapped, slot, vectors.book) if found.distance > TOO_FAR else None
    if family is not None:
        of_kin = band(family, vectors)
        as_kin, kin = rebalance(swapped, slot, of_kin, vectors)
        if kin.distance < found.distance:
            return as_kin, of_kin, family
    return near, aim, None


def best_swaps(
    drink: Drink, book: Book, out: Iterable[str] = (), slots: Iterable[Pour] | None = None
) -> tuple[Offer, ...]:
    """Every ingredient of the shelf in every slot (or the given ones), re-balanced to the drink as it was, best first.

    What is out, what the drink already pours and what is never poured (herbs, garnish, salt) is left out.
    """
    vectors = Vectors(book)
    aim = as_before(drink, vectors)
    inside = {pour.ingredient for pour in drink.pours} | set(out)
    coming = [i for i in book.ingredients.values() if i.name not in inside and i.role not in FLAVOUR_ONLY]
    wanted = drink.pours if slots is None else tuple(slots)
    offers = [offer for pour in wanted for offer in _offers(drink, pour, coming, aim, vectors)]
    return tuple(sorted(offers, key=lambda offer: offer.score))


def _offers(drink: Drink, went: Pour, coming: list[Ingredient], aim: Aim, vectors: Vectors) -> list[Offer]:
    """The shelf in one slot, all at once for those that begin with the same amount."""
    groups: dict[Amount, list[Ingredient]] = {}
    for newcomer in coming:
        groups.setdefault(_as_poured(went, newcomer, vectors.book), []).append(newcomer)
    slot = drink.pours.index(went)
    offers = []
    for amount, group in groups.items():
        pours = (*drink.pours[:slot], replace(went, amount=amount), *drink.pours[slot + 1 :])
        found = search(replace(drink, pours=pours), slot, [i.name for i in group], aim, vectors)
        offers += [_offer(went, i, s.distance, vectors.book) for i, s in zip(group, found, strict=True)]
    return offers


def _offer(went: Pour, newcomer: Ingredient, distance: float, book: Book) -> Offer:
    old = book.ingredients[went.ingredient]
    shared = tuple(word for word in old.flavour if word in newcomer.flavour)
    score = distance - SHARED_FLAVOUR * len(shared)
    if newcomer.name in old.stand_ins:
        score -= LISTED[min(old.stand_ins.index(newcomer.name), len(LISTED) - 1)]
    if newcomer.role is not went.role:
        score += NEAR_ROLE if went.role in NEAR.get(newcomer.role, frozenset()) else OTHER_ROLE
    return Offer(went, newcomer.name, distance, shared, score)


def _as_poured(went: Pour, newcomer: Ingredient, book: Book) -> Amount:
    """The slot's own amount; where that is counted and the newcomer is poured, as much by the jigger or the spoon."""
    if went.amount.unit in POURED or newcomer.role in FLAVOUR_ONLY or newcomer.each is not None:
        return went.amount
    step = book.house.jigger_step.number
    ounces = (portion(went, book).ml or Decimal(0)) / book.house.measures.ounce.m_as("milliliter")
    if ounces < step / 2:
        return Amount(Decimal(1), Unit.BARSPOON)
    return Amount(max(step, to_step(ounces, step)), Unit.OUNCE)


def _provisional_name(drink: Drink, went: Pour, coming: str, book: Book) -> str:
    name = f"{coming.title()} {drink.name}" if went.role is Role.BASE else f"{drink.name} with {coming}"
    return f"{name} riff" if name in book.drinks else name


def _renamed(step: str, old: str, new: str) -> str:
    return re.sub(rf"\b{re.escape(old)}\b", new, step, flags=re.IGNORECASE)


def _new_family(drink: Drink, swapped: Drink, slot: int, book: Book) -> str | None:
    """The family that a swap makes of a drink, with what came in taken for what it is.

    None when it stays in the family, or comes into one without classics to measure it by.
    """
    came = swapped.pours[slot]
    own = replace(came, role=book.ingredients[came.ingredient].role)
    pours = (*swapped.pours[:slot], own, *swapped.pours[slot + 1 :])
    family = classify(replace(swapped, pours=pours), book).family
    classics = {drink.family for drink in book.drinks.values() if drink.family is not None}
    return family if family in classics and family != classify(drink, book).family else None


def _known_as(drink: Drink, book: Book) -> str | None:
    made_of = {pour.ingredient for pour in drink.pours}
    twins = (d.name for d in book.drinks.values() if {pour.ingredient for pour in d.pours} == made_of)
    return next(twins, None)


def reach(pour: Pour) -> Decimal:
    """What the jigger takes of it, to tell the main pour among several."""
    return pour.amount.number if pour.amount.unit in POURED - {Unit.DASH, Unit.DROP} else Decimal(0)
