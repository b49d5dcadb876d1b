"""Prep for tonight: from covers and what sells to juices, house-made things and garnishes, in the order to do them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal
from enum import IntEnum

from recipes.model import Book, Drink, Ingredient, Role
from recipes.portions import WEDGES
from recipes.stocktake import OnHand, is_pressed
from recipes.units import Amount, Kind, Quantity, Unit, measured, quantity

ZERO = Decimal(0)


class Stage(IntEnum):
    """When in the afternoon a thing is done; lower is earlier (common practice)."""

    HOUSE_MADE = 1  # syrups and cordials need time to cool
    GARNISH = 2  # peel and cut before the fruit is juiced
    JUICE = 3  # as late as can be: it fades within hours


@dataclass(frozen=True)
class Part:
    """One thing that goes into a house-made one, for the amount to be made."""

    ingredient: str
    amount: Amount


@dataclass(frozen=True)
class Task:
    """One thing to prepare."""

    ingredient: Ingredient
    stage: Stage
    need: Quantity  # mL, g or pieces for tonight, or the par if that is more
    on_hand: Quantity | None  # ready, in the measure of the need; None: nobody has counted it
    make: Quantity  # what is still to be made; none of it when there is enough
    packs: Decimal | None  # fruits or packs to open, whole; None for house-made things
    fruit: Decimal | None = None  # of them, how many were counted in the house; None: nobody has
    parts: tuple[Part, ...] = ()  # for house-made things
    steps: tuple[str, ...] = ()

    @property
    def is_by_par(self) -> bool:
        """Whether the par asks for it, and tonight's drinks for no more."""
        return self.ingredient.par is not None and measured(self.ingredient.par) == measured(self.need)

    @property
    def shelf_life(self) -> Quantity | None:
        """How long it keeps, in days; None when the book does not say."""
        return self.ingredient.shelf_life


@dataclass
class Needs:
    """A running total by ingredient, while a sheet is worked out: plain numbers of mL, g or pieces."""

    book: Book
    total: dict[str, tuple[Decimal, Kind]] = field(default_factory=dict)
    unclear: list[str] = field(default_factory=list)

    def add(self, name: str, number: Decimal, unit: Kind) -> None:
        """Add an amount, brought to the measure the total is in; where that cannot be done the name is noted."""
        sofar, measure = self.total.get(name, (ZERO, unit))
        added = _in_measure(measure, number, unit, self.book.ingredients[name])
        if added is None:
            self.unclear.append(name)
        else:
            self.total[name] = sofar + added, measure

    def at_least(self, ingredient: Ingredient, par: Quantity) -> None:
        """Raise an amount to the par."""
        number, unit = measured(par)
        sofar, measure = self.total.get(ingredient.name, (ZERO, unit))
        least = _in_measure(measure, number, unit, ingredient)
        if least is None:
            self.unclear.append(ingredient.name)
        else:
            self.total[ingredient.name] = max(sofar, least), measure


@dataclass(frozen=True)
class Sheet:
    """The prep sheet of one night."""

    drinks: Decimal  # drinks expected in all
    tasks: tuple[Task, ...]
    enough: tuple[Task, ...] = ()  # what need not be made: as much as that was counted
    unclear: tuple[str, ...] = ()  # weighed here, poured there, and no density to add the two: count these by hand


def prep(
    book: Book,
    mix: Mapping[str, Decimal],
    drinks: Decimal,
    on_hand: Mapping[str, OnHand] | None = None,
) -> Sheet:
    """What to prepare for so many drinks.

    `mix` gives the share of each drink by name (they are scaled to add up to one); `on_hand` is what was counted, by
    ingredient. No less than an ingredient's par is prepared, and what a house-made thing needs is added to what the
    drinks need.
    Raises KeyError for an unknown drink, ValueError for an empty mix.
    """
    if not mix or sum(mix.values()) <= 0:
        raise ValueError("mix")
    hand = on_hand or {}
    needs = Needs(book)
    total = sum(mix.values())
    measures = book.house.measures
    for (name, unit), number in _poured(book, {n: share * drinks / total for n, share in mix.items()}).items():
        needs.add(name, *measures.size(Amount(number, unit)))
    for ingredient in book.ingredients.values():
        if ingredient.par is not None:
            needs.at_least(ingredient, ingredient.par)
    tasks: list[Task] = []
    for name in _users_first(needs.total, book):
        task = _task(book.ingredients[name], needs, hand.get(name, OnHand())) if name in needs.total else None
        if task is None:
            continue
        tasks.append(task)
        for part in task.parts:
            needs.add(part.ingredient, *measures.size(part.amount))
    todo, enough = ([task for task in tasks if bool(task.make.magnitude) is wanted] for wanted in (True, False))
    return Sheet(drinks, _in_order(todo), _in_order(enough), tuple(dict.fromkeys(needs.unclear)))


def is_prepared(ingredient: Ingredient) -> bool:
    """Whether a bar prepares it before service: makes, cuts or presses it."""
    return _stage(ingredient) is not None


def even_mix(drinks: Iterable[Drink]) -> dict[str, Decimal]:
    """Every drink sells alike: the honest guess where no sales are known."""
    return {drink.name: Decimal(1) for drink in drinks}


def sold_mix(drinks: Iterable[Drink], sold: Mapping[str, int]) -> dict[str, Decimal]:
    """The drinks as they last sold; empty where none of them is known to have sold."""
    return {drink.name: Decimal(sold[drink.name]) for drink in drinks if sold.get(drink.name)}


def _in_measure(measure: Kind, number: Decimal, unit: Kind, ingredient: Ingredient) -> Decimal | None:
    """A number of mL, g or pieces in another of these, by density or by what one piece holds; None if unknown."""
    if unit == measure:
        return number
    known: dict[Kind, Decimal] = {unit: number}
    for _ in range(2):  # pieces to grams may go by way of millilitres
        if ingredient.each is not None:
            held, of = measured(ingredient.each.value)
            _link(known, "piece", of, held)
        if ingredient.density is not None:
            _link(known, "milliliter", "gram", ingredient.density.value.m_as("gram/milliliter"))
        if measure in known:
            return known[measure]
    return None


def _link(known: dict[Kind, Decimal], one: Kind, other: Kind, factor: Decimal) -> None:
    """Add what follows from one of a measure being so much of the other."""
    if one in known:
        known.setdefault(other, known[one] * factor)
    elif other in known:
        known.setdefault(one, known[other] / factor)


def _poured(book: Book, counts: Mapping[str, Decimal]) -> dict[tuple[str, Unit], Decimal]:
    """What so many of each drink take, as the book measures it, with the house's waste on what is poured."""
    poured: dict[tuple[str, Unit], Decimal] = defaultdict(Decimal)
    on_top: dict[tuple[str, Unit], Decimal] = defaultdict(Decimal)
    for name, count in counts.items():
        drink = book.drinks[name]
        for pour in drink.pours:
            poured[pour.ingredient, pour.amount.unit] += pour.amount.number * count
        for garnish in drink.garnish:
            on_top[garnish, Unit.PIECE] += count
    wasted = 1 + book.house.waste
    for key, number in poured.items():
        on_top[key] += number * (wasted / WEDGES if key[1] is Unit.WEDGE else wasted)
    return on_top


def _users_first(names: Iterable[str], book: Book) -> list[str]:
    """The names and all they are made of, each after everything that is made of it."""
    order: dict[str, None] = {}

    def visit(name: str) -> None:
        if name in order:
            return
        made = book.ingredients[name].made
        for pour in made.pours if made else ():
            visit(pour.ingredient)
        order[name] = None

    for name in names:
        visit(name)
    return list(order)[::-1]


def _task(ingredient: Ingredient, needs: Needs, hand: OnHand) -> Task | None:
    """What is to be done for one need; None for what a bar does not prepare."""
    stage = _stage(ingredient)
    if stage is None:
        return None
    need, unit = needs.total[ingredient.name]
    if unit == "piece":
        need = need.to_integral_value(ROUND_CEILING)  # nobody cuts a fifth of a twist
    ready = None if hand.ready is None else _in_measure(unit, *measured(hand.ready), ingredient)
    if ready is None and hand.ready is not None:
        needs.unclear.append(ingredient.name)
    left = need if ready is None else max(need - ready, ZERO)
    there = None if ready is None else quantity(ready, unit)
    amounts = quantity(need, unit), there, quantity(left, unit)
    if ingredient.made is None:
        return Task(ingredient, stage, *amounts, _packs(ingredient, left, unit), hand.fruit)
    return Task(ingredient, stage, *amounts, None, parts=_parts(ingredient, left, unit), steps=ingredient.made.steps)


def _parts(ingredient: Ingredient, left: Decimal, unit: Kind) -> tuple[Part, ...]:
    """What goes into so much of a house-made thing; nothing where none is made, or nobody knows how much it is."""
    if ingredient.made is None or not left:
        return ()
    makes, measure = measured(ingredient.made.makes)
    wanted = _in_measure(measure, left, unit, ingredient)
    if wanted is None:
        return ()
    return tuple(Part(pour.ingredient, pour.amount.times(wanted / makes)) for pour in ingredient.made.pours)


def _stage(ingredient: Ingredient) -> Stage | None:
    if ingredient.made is not None:
        return Stage.HOUSE_MADE
    if ingredient.role is Role.GARNISH:
        return Stage.GARNISH
    by_the_piece = ingredient.pack is not None and measured(ingredient.pack.size)[1] == "piece"
    return Stage.JUICE if by_the_piece and ingredient.role in {Role.ACID, Role.JUICE} else None


def _packs(ingredient: Ingredient, amount: Decimal, unit: Kind) -> Decimal | None:
    """The fruits or packs to open, whole; None where that is not known."""
    if ingredient.pack is None:
        return None
    usable, measure = measured(ingredient.pack.usable.value)
    wanted = _in_measure(measure, amount, unit, ingredient)
    if wanted is None:
        return None
    in_one = measured(ingredient.pack.size)[0] if is_pressed(ingredient) else 1  # fruit is counted one by one
    return (wanted / usable * in_one).to_integral_value(ROUND_CEILING)


def _in_order(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """By stage, but what goes into another thing comes before it; within a stage the longest-keeping first."""
    todo = {task.ingredient.name: task for task in tasks}
    order: dict[str, Task] = {}

    def add(task: Task) -> None:
        if task.ingredient.name in order:
            return
        for part in task.parts:
            if part.ingredient in todo:
                add(todo[part.ingredient])
        order[task.ingredient.name] = task

    for task in sorted(todo.values(), key=lambda t: (t.stage, -_days(t), t.ingredient.name)):
        add(task)
    return tuple(order.values())


def _days(task: Task) -> Decimal:
    return Decimal(0) if task.shelf_life is None else Decimal(task.shelf_life.to("day").magnitude)
