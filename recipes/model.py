"""What the book holds: drinks, ingredients, glasses and the house's own settings. Frozen values and look-up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Any, TypeVar, cast

from recipes.units import Amount, Measures, Quantity, Unit, quantity

T = TypeVar("T")


class Role(StrEnum):
    """The slot an ingredient fills in a drink's formula."""

    BASE = "base"
    FORTIFIED = "fortified"
    LIQUEUR = "liqueur"
    BITTER_LIQUEUR = "bitter liqueur"
    ACID = "acid"
    JUICE = "juice"
    SWEETENER = "sweetener"
    LENGTHENER = "lengthener"
    BITTERS = "bitters"
    EGG = "egg"
    DAIRY = "dairy"
    HERB = "herb"
    SALT = "salt"
    GARNISH = "garnish"


class Method(StrEnum):
    """How a drink is mixed."""

    SHAKEN = "shaken"
    STIRRED = "stirred"
    BUILT = "built"
    BLENDED = "blended"
    THROWN = "thrown"
    SWIZZLED = "swizzled"


class Ice(StrEnum):
    """What is in the glass when it is served."""

    NONE = "none"
    CUBED = "cubed"
    LARGE = "large cube"
    CRUSHED = "crushed"


@dataclass(frozen=True)
class Sourced:
    """A value and where it comes from (an id in sources.toml)."""

    value: Quantity
    source: str


@dataclass(frozen=True)
class Pack:
    """What is bought, what it costs, and what of it can be poured."""

    size: Quantity  # volume, mass or pieces in one pack
    price: Quantity  # money for one pack
    usable: Sourced  # volume, mass or pieces that one pack yields (a lime: 27 mL of juice)


@dataclass(frozen=True)
class Pour:
    """One line of a recipe."""

    ingredient: str
    amount: Amount
    role: Role
    note: str = ""  # 'to top', 'to rinse', 'muddled'


@dataclass(frozen=True)
class HouseRecipe:
    """How an ingredient is made in the house: a syrup, a cordial, a batch."""

    pours: tuple[Pour, ...]
    makes: Quantity  # volume yielded
    steps: tuple[str, ...]


@dataclass(frozen=True)
class Ingredient:
    """Something on the shelf. A value of None is unknown: never zero, never safe."""

    name: str
    role: Role
    kind: str = ""  # what it is among its role: 'gin', 'rum', 'orange liqueur', 'citrus'
    spoken: tuple[str, ...] = ()  # other names people say
    sounds_like: tuple[str, ...] = ()  # how to say it, respelled in common English words
    abv: Sourced | None = None  # % vol at 20 °C
    sugar: Sourced | None = None  # g/L
    acid: Sourced | None = None  # % w/v as citric acid
    density: Sourced | None = None  # g/mL at 20 °C
    bitterness: int | None = None  # 0 none .. 5 as aromatic bitters, house scale
    flavour: tuple[str, ...] = ()
    allergens: frozenset[str] | None = None  # names of the EU 14 and US 9; empty set: none by our data
    vegan: bool | None = None  # False: from animals, or made with them; True: the label was read, and it is not
    storage: str = ""
    shelf_life: Quantity | None = None  # days once opened or made
    caution: str = ""
    stand_ins: tuple[str, ...] = ()  # ingredients a bar would reach for instead, best first
    par: Quantity | None = None  # the least to have at opening: mL, g or pieces
    pack: Pack | None = None
    made: HouseRecipe | None = None
    each: Sourced | None = None  # volume or mass of one piece, where pours count it: an egg, a sugar cube


@dataclass(frozen=True)
class Glass:
    """A glass and how much it holds to the brim."""

    name: str
    capacity: Quantity  # volume
    spoken: tuple[str, ...] = ()


@dataclass(frozen=True)
class Drink:
    """A drink of the book."""

    name: str
    shelf: str
    pours: tuple[Pour, ...]
    method: Method
    glass: str
    ice: Ice
    garnish: tuple[str, ...]  # ingredient names with role garnish
    steps: tuple[str, ...]
    spoken: tuple[str, ...] = ()
    sounds_like: tuple[str, ...] = ()
    price: Quantity | None = None  # money on the menu, as the guest pays it
    family: str | None = None  # the family handbooks give it; None for the house's own
    first_print: str = ""  # 'by 1930'
    source: str = ""  # an id in sources.toml
    note: str = ""
    taste: str = ""  # one line a bartender would say

    def pour_of(self, ingredient: str) -> Pour | None:
        """The first pour of that ingredient, or None."""
        return next((p for p in self.pours if p.ingredient == ingredient), None)


@dataclass(frozen=True)
class House:
    """Settings of the bar, from house.toml."""

    name: str
    currency: str  # ISO 4217 code
    symbol: str
    measures: Measures
    jigger_step: Amount  # the finest step a jigger is read to: 1/4 oz
    metric_step: Amount  # the same in millilitres: 2.5 ml
    bottle: Quantity  # volume of the usual bottle
    sales_tax: Decimal  # fraction added to or held in menu prices
    price_includes_tax: bool
    waste: Decimal  # fraction of every pour lost to spills and the drip tray
    target_pour_cost: Decimal  # fraction
    price_step: Quantity  # money: the menu's rounding step
    covers: int  # guests on an ordinary night
    drinks_per_cover: Decimal  # mixed drinks that a guest has, on average
    wake_phrase: str = ""  # said before a question when nobody holds the button; empty: none
    pin_also_for: frozenset[str] = frozenset()  # of 'costs', 'stock', 'riffs': what else is the manager's

    def physical(self, asked: Amount) -> Quantity:
        """What was asked for as a volume (mL), a mass (g) or a count (piece), a bottle being the house's usual one.

        Raises ValueError for parts.
        """
        if asked.unit is Unit.BOTTLE:
            return quantity(self.bottle.m_as("milliliter") * asked.number, "milliliter")
        return self.measures.physical(asked)


@dataclass(frozen=True)
class Structure:
    """What a drink must show to be of a family. An empty field asks nothing.

    A term is a role, a kind or a name of an ingredient; 'acid or cordial' is met by either.
    """

    has: tuple[str, ...] = ()  # terms that must each be met by a pour or a garnish
    lacks: tuple[str, ...] = ()  # terms that none may meet
    methods: frozenset[Method] = frozenset()  # one of these
    ice: frozenset[Ice] = frozenset()  # one of these in the glass
    share: Mapping[str, tuple[Decimal, Decimal]] = field(default_factory=lambda: MappingProxyType({}))
    # term -> smallest and largest fraction of what is poured
    parts: tuple[int, int] | None = None  # fewest and most main parts (each a tenth of the drink or more)
    spread: Decimal | None = None  # the largest main part is at most this many times the smallest


@dataclass(frozen=True)
class FamilyRule:
    """A family of drinks as the trade teaches it, and the structure that tells it."""

    id: str  # what `family` of a drink holds: 'egg sour'
    title: str
    reason: str  # in words: 'a base, a sweet liqueur and citrus'
    when: Structure
    slots: tuple[str, ...]  # the terms of its formula, in the order a bar would say them
    branch_of: str | None = None  # id of the family it grew from
    spoken: tuple[str, ...] = ()


@dataclass(frozen=True)
class Source:
    """Where a value comes from, as the book's readers can look it up."""

    id: str
    title: str
    kind: str  # 'published', 'label', 'common practice', 'from memory', 'house choice'


@dataclass(frozen=True)
class Book:
    """Everything the engine knows, by name. Names are unique without regard to case."""

    house: House
    ingredients: Mapping[str, Ingredient]
    drinks: Mapping[str, Drink]
    glasses: Mapping[str, Glass]
    sources: Mapping[str, Source]
    shelves: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))  # shelf id -> title
    shelf_names: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))  # id -> spoken
    families: Mapping[str, FamilyRule] = field(default_factory=lambda: MappingProxyType({}))  # by id, first rule first
    worked_out: dict[object, object] = field(default_factory=dict, init=False, repr=False, compare=False)
    # of this very book, by what worked it out
    measured: dict[str, dict[Any, Any]] = field(default_factory=dict, init=False, repr=False, compare=False)
    # of its ingredients, whatever they cost and whichever drinks pour them: editions of one shelf share it

    def once(self, work: Callable[[Book], T]) -> T:
        """What `work` makes of this book: done when it is first asked for, and kept with the book."""
        if work not in self.worked_out:
            self.worked_out[work] = work(self)
        return cast(T, self.worked_out[work])

    def notes(self, what: str) -> dict[Any, Any]:
        """What was measured of the ingredients so far, by whoever keeps notes under this name; nothing of prices."""
        return self.measured.setdefault(what, {})

    def drinks_on(self, shelf: str) -> tuple[Drink, ...]:
        """The drinks of one shelf, in the order of its file."""
        return tuple(d for d in self.drinks.values() if d.shelf == shelf)

    def with_prices(self, prices: Mapping[str, Quantity]) -> Book:
        """The same book with other pack prices (money) for some ingredients; an unknown name is a KeyError."""
        ingredients = dict(self.ingredients)
        for name, price in prices.items():
            old = ingredients[name]
            if old.pack is None:
                raise KeyError(name)
            ingredients[name] = replace(old, pack=replace(old.pack, price=price))
        return self._edition(replace(self, ingredients=MappingProxyType(ingredients)))

    def with_pars(self, pars: Mapping[str, Quantity]) -> Book:
        """The same book with other pars (mL, g or pieces) for some ingredients; an unknown name is a KeyError."""
        changed = {name: replace(self.ingredients[name], par=par) for name, par in pars.items()}
        return self._edition(replace(self, ingredients=MappingProxyType({**self.ingredients, **changed})))

    def with_drinks(self, more: Iterable[Drink]) -> Book:
        """The same book with these drinks added, or put in place of those of the same name."""
        drinks = dict(self.drinks) | {drink.name: drink for drink in more}
        return self._edition(replace(self, drinks=MappingProxyType(drinks)))

    def _edition(self, book: Book) -> Book:
        """That book, of the same shelf as this one, with all that was measured of it."""
        object.__setattr__(book, "measured", self.measured)
        return book
