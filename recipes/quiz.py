"""Quiz questions from the book, and what is still missed by the marks so far.

Which question comes at which turn is fixed by the turn alone: every drink once a lap, a different kind of question each
lap, so that a trainee who goes on where the last round ended meets everything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import gcd

from recipes.changes import changes, is_unmeasured, near
from recipes.families import family_of
from recipes.model import Book, Drink, Pour
from recipes.safety import contents, names_in

GOLDEN = Decimal("0.618")  # of the way round: neighbours of a shelf do not follow each other
FEWEST_TO_HIDE_ONE = 3  # pours a drink has when one of them can be asked for
NO_ALLERGEN = "none"  # by our data: the answer for a drink that holds none of them


class Kind(StrEnum):
    """What is asked about a drink."""

    BUILD = "build"
    AMOUNT = "amount"
    METHOD = "method"
    GLASS = "glass"
    GARNISH = "garnish"
    FAMILY = "family"
    MISSING = "missing"
    NAME = "name"
    CHANGE = "change"
    ALLERGENS = "allergens"


@dataclass(frozen=True)
class Question:
    """One thing asked about one drink."""

    kind: Kind
    drink: str
    ingredient: str = ""  # whose amount is asked, or which one is hidden
    other: str = ""  # the drink from which it is asked what changes

    @property
    def subject(self) -> str:
        """What is asked, so that marks of it can be found again: 'amount of lime juice', 'change from Gimlet'."""
        if self.other:
            return f"{self.kind.value} from {self.other}"
        return f"{self.kind.value} of {self.ingredient}" if self.ingredient else self.kind.value

    @classmethod
    def of(cls, drink: str, subject: str) -> Question:
        """The question that has this subject. Raises ValueError when none can."""
        kind, _, rest = subject.partition(" ")
        word, _, name = rest.partition(" ")
        if word == "from":
            return cls(Kind(kind), drink, other=name)
        return cls(Kind(kind), drink, name)


@dataclass(frozen=True)
class Mark:
    """An earlier answer's mark; `subject` as in Question."""

    drink: str
    subject: str
    points: int
    out_of: int


@dataclass(frozen=True)
class Standing:
    """How well a drink, or a family, is known by the latest answers."""

    name: str
    points: int
    out_of: int

    @property
    def share(self) -> Decimal:
        """The fraction of the points that was got."""
        return Decimal(self.points) / self.out_of


# Questions


def pool(book: Book, shelf: str | None = None, family: str | None = None) -> tuple[Drink, ...]:
    """The drinks to ask about: of a shelf, of a family and its branches, or all."""
    drinks = book.drinks_on(shelf) if shelf else tuple(book.drinks.values())
    if family is None:
        return drinks
    wanted = {family, *(rule.id for rule in book.families.values() if rule.branch_of == family)}
    return tuple(drink for drink in drinks if family_of(drink, book) in wanted)


def question(drinks: Sequence[Drink], book: Book, turn: int, kinds: Sequence[Kind] = tuple(Kind)) -> Question:
    """The question of this turn (from 0). Drinks of which nothing of these kinds can be asked are asked their build.

    Raises ValueError when there are no drinks.
    """
    if not drinks:
        raise ValueError("no drinks to ask about")
    lap, place = divmod(turn, len(drinks))
    drink = drinks[place * _stride(len(drinks)) % len(drinks)]
    turned = [kinds[(place + lap + i) % len(kinds)] for i in range(len(kinds))]
    kind = next((kind for kind in turned if _can_be_asked(kind, drink, book)), Kind.BUILD)
    if kind is Kind.CHANGE:
        others = near(drink, book)
        return Question(kind, drink.name, other=others[(place + lap) % len(others)])
    if kind not in (Kind.AMOUNT, Kind.MISSING):
        return Question(kind, drink.name)
    pours = _measured(drink) if kind is Kind.AMOUNT else drink.pours
    return Question(kind, drink.name, pours[(place + lap) % len(pours)].ingredient)


def still_asked(asked: Question, drink: Drink, book: Book) -> bool:
    """Whether a question that was once asked about a drink can be asked of it as the book now has it."""
    if asked.kind is Kind.CHANGE:
        return asked.other in near(drink, book)
    pours = _measured(drink) if asked.kind is Kind.AMOUNT else drink.pours
    there = not asked.ingredient or any(pour.ingredient == asked.ingredient for pour in pours)
    return there and _can_be_asked(asked.kind, drink, book)


def is_of(asked: Question, book: Book) -> bool:
    """Whether the book has every drink that the question is about."""
    return asked.drink in book.drinks and (not asked.other or asked.other in book.drinks)


def _stride(count: int) -> int:
    """The step nearest below the golden part of the way round that meets every drink before any again."""
    return next(step for step in range(max(1, int(count * GOLDEN)), 0, -1) if gcd(step, count) == 1)


def _can_be_asked(kind: Kind, drink: Drink, book: Book) -> bool:
    match kind:
        case Kind.AMOUNT:
            return bool(_measured(drink))
        case Kind.GARNISH:
            return bool(drink.garnish)
        case Kind.FAMILY:
            return family_of(drink, book) is not None
        case Kind.MISSING:
            return len(drink.pours) >= FEWEST_TO_HIDE_ONE
        case Kind.NAME:
            return _is_told_by_its_build(drink, book)
        case Kind.CHANGE:
            return bool(near(drink, book))
        case Kind.ALLERGENS:
            return not contents(names_in(drink), book).unknown
    return True


def _is_told_by_its_build(drink: Drink, book: Book) -> bool:
    """Whether no other drink is built the same, and no pour gives the name away."""
    name = drink.name.casefold()
    named = any(name in pour.ingredient.casefold() for pour in drink.pours)
    return not named and len(book.once(_Builds).same[_build(drink)]) == 1


class _Builds:
    """The drinks of a book by what is poured, how much of it, and how it is mixed."""

    def __init__(self, book: Book) -> None:
        self.same: dict[object, list[str]] = {}
        for drink in book.drinks.values():
            self.same.setdefault(_build(drink), []).append(drink.name)


def _build(drink: Drink) -> object:
    return frozenset((pour.ingredient, pour.amount) for pour in drink.pours), drink.method


def _measured(drink: Drink) -> tuple[Pour, ...]:
    return tuple(pour for pour in drink.pours if not is_unmeasured(pour))


def right_names(asked: Question, book: Book) -> tuple[str, ...]:
    """What a question that is answered by names wants: a method, garnishes, ingredients, a drink, allergens."""
    drink = book.drinks[asked.drink]
    answers: dict[Kind, Callable[[], tuple[str, ...]]] = {
        Kind.BUILD: lambda: tuple(pour.ingredient for pour in drink.pours),
        Kind.METHOD: lambda: (drink.method.value,),
        Kind.GLASS: lambda: (drink.glass,),
        Kind.GARNISH: lambda: drink.garnish,
        Kind.FAMILY: lambda: (family_of(drink, book) or "",),
        Kind.NAME: lambda: (drink.name,),
        Kind.CHANGE: lambda: _changed(book.drinks[asked.other], drink),
        Kind.ALLERGENS: lambda: tuple(contents(names_in(drink), book).by_allergen) or (NO_ALLERGEN,),
    }
    return answers.get(asked.kind, lambda: (asked.ingredient,))()


def _changed(first: Drink, second: Drink) -> tuple[str, ...]:
    """All that has to be named of what changes: ingredients, and the method where it is another."""
    found = changes(first, second)
    return (*found.out, *found.comes_in, *found.other_amount, *((second.method.value,) if found.other_method else ()))


# What is still missed


def latest(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """The last mark of each question; `marks` are oldest first."""
    return tuple({(mark.drink, mark.subject): mark for mark in marks}.values())


def standings(marks: Iterable[Mark], group: Callable[[Mark], str | None]) -> tuple[Standing, ...]:
    """How well each group (a drink, a family) is known by its latest answers, the least known first."""
    points: dict[str, list[int]] = {}
    for one in latest(marks):
        name = group(one)
        if name is not None and one.out_of:
            total = points.setdefault(name, [0, 0])
            total[0] += one.points
            total[1] += one.out_of
    found = [Standing(name, got, out_of) for name, (got, out_of) in points.items()]
    return tuple(sorted(found, key=lambda standing: (standing.share, standing.name)))
