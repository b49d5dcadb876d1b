"""A drink made ahead for many: what goes in, by volume and by weight, what must wait for the order, and why.

A stirred or thrown drink with nothing to wait for takes its water in the bottle, so that it is poured cold and ready;
any other drink meets its ice to order. Nothing is rounded here.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum

from recipes.bottling import TO_A_THOUSANDTH, Container, Label, containers, label
from recipes.composition import Compositions
from recipes.dilution import dilution
from recipes.errors import BatchError
from recipes.ethanol import freezing_point
from recipes.mixing import Gap, Lack, Liquid, mix, water
from recipes.model import Book, Drink, Ingredient, Method, Pack, Pour, Role
from recipes.portions import portion
from recipes.sucrose import may_crystallise
from recipes.units import COUNTED, POURED, WEIGHED, Quantity, Unit, quantity

FRESH_DAYS = 3  # a juice that keeps no longer is squeezed on the day (common practice)
FREEZER = Decimal(-18)  # degrees Celsius
STILL = frozenset({"water", "tea", "coffee", "wine"})  # kinds of lengthener that have no bubbles to lose
WATER = "water"
SERVED_HOT = "hot"  # how the note of a hot pour begins
POURED_READY = frozenset({Method.STIRRED, Method.THROWN})

# Small and strong first, so that a slip costs little; the spirit after; thin things rinse the measures clean.
ORDER = (
    Role.SALT,
    Role.HERB,
    Role.BITTERS,
    Role.SWEETENER,
    Role.LIQUEUR,
    Role.BITTER_LIQUEUR,
    Role.FORTIFIED,
    Role.BASE,
    Role.ACID,
    Role.JUICE,
    Role.LENGTHENER,
)  # common practice


class Hold(StrEnum):
    """Why an ingredient waits for the order."""

    JUICE = "fresh juice"  # fades within hours
    EGG = "egg"  # raw egg does not stand
    DAIRY = "dairy"  # curdles and spoils
    BUBBLES = "bubbles"  # goes flat
    HOT = "hot"  # goes in hot
    MUDDLED = "muddled"  # bruised leaves and fruit turn bitter and brown


class Warn(StrEnum):
    """What to be told with a batch."""

    LAW = "law"  # pre-mixing is restricted in places (27 CFR 31.233 in the United States)
    BITTERS = "bitters"  # grow louder as they stand: add by taste (common practice)
    SLUSH = "slush"  # freezes in a freezer
    CRYSTALS = "crystals"  # more sugar than its water holds in a fridge
    NO_DATE = "no date"  # an ingredient that spoils has no shelf life in the book


@dataclass(frozen=True)
class Serves:
    """A batch for so many serves."""

    count: Decimal


@dataclass(frozen=True)
class Filling:
    """A batch that fills a volume: a keg, a jug, so many bottles."""

    volume: Quantity


Size = Serves | Filling


@dataclass(frozen=True)
class Line:
    """One ingredient of a batch."""

    ingredient: str
    volume: Quantity | None  # mL; None for what is only weighed
    mass: Quantity | None  # g; None when its density is unknown
    packs: Decimal | None  # whole packs to open; None when the book does not know its pack


@dataclass(frozen=True)
class Held:
    """A pour that waits for the order, and why."""

    pour: Pour
    why: Hold


@dataclass(frozen=True)
class Batch:
    """A batch of a drink. None is unknown; `gaps` names what the book tells too little of."""

    drink: str
    serves: Decimal
    lines: tuple[Line, ...]  # in the order of mixing; the water that stands for ice last
    ready: bool  # poured as it is: that water is in the bottle
    held: tuple[Held, ...]  # for each serve
    volume: Quantity | None  # mL in all
    mass: Quantity | None  # g in all
    pour: Quantity | None  # mL of batch for each serve
    abv: Quantity | None  # % vol in the bottle
    containers: tuple[Container, ...]  # ways to hold it, best first
    label: Label
    warnings: tuple[Warn, ...]
    gaps: tuple[Gap, ...]


def batch(drink: Drink, size: Size, book: Book) -> Batch:
    """The batch of a drink for so many serves or to fill a volume.

    Raises BatchError when the size is not above zero, when nothing in the drink can be made ahead, or when a volume is
    to be filled and an ingredient's data does not let one serve be sized.
    """
    held = tuple(Held(pour, why) for pour in drink.pours if (why := hold(pour, book)))
    ahead = [pour for pour in drink.pours if not hold(pour, book) and pour.role is not Role.GARNISH]
    one = _one_serve(drink, ahead, ready=drink.method in POURED_READY and not held, book=book)
    serves = _serves(size, one, drink)
    whole = _bottled(one).times(serves)
    known = not one.liquid.lacks(Lack.AMOUNT) and one.water_ml is not None
    volume = quantity(whole.ml, "milliliter") if known else None
    abv = quantity(whole.strength * 100, "percent") if known and not whole.lacks(Lack.ABV) else None
    marked = label(_most_first(ahead, one.shelf), book)
    return Batch(
        drink=drink.name,
        serves=serves,
        lines=(*(_line(pour, serves, one.shelf) for pour in sorted(ahead, key=_turn)), *_water_line(one, serves)),
        ready=one.ready,
        held=held,
        volume=volume,
        mass=quantity(whole.mass_g, "gram") if known and not whole.lacks(Lack.DENSITY) else None,
        pour=quantity(whole.ml / serves, "milliliter") if known else None,
        abv=abv,
        containers=containers(volume, book) if volume is not None else (),
        label=marked,
        warnings=_warnings(ahead, marked, whole, one.ready),
        gaps=tuple(sorted(one.liquid.gaps, key=lambda gap: (gap.ingredient, gap.lack))),
    )


def hold(pour: Pour, book: Book) -> Hold | None:
    """Why a pour is not batched ahead, or None when it may be (common practice)."""
    ingredient = book.ingredients[pour.ingredient]
    match pour.role:
        case Role.ACID | Role.JUICE if _fades(ingredient):
            return Hold.JUICE
        case Role.EGG:
            return Hold.EGG
        case Role.DAIRY:
            return Hold.DAIRY
        case Role.LENGTHENER if pour.note.startswith(SERVED_HOT):
            return Hold.HOT
        case Role.LENGTHENER if ingredient.kind not in STILL:
            return Hold.BUBBLES
        case Role.HERB if pour.amount.unit in COUNTED | {Unit.GRAM}:
            return Hold.MUDDLED
        case _:
            return None


def _fades(juice: Ingredient) -> bool:
    return juice.shelf_life is None or juice.shelf_life.m_as("day") <= FRESH_DAYS


@dataclass(frozen=True)
class _One:
    """The part of one serve that is made ahead."""

    liquid: Liquid  # without water
    water_ml: Decimal | None  # None: unknown, as its strength is
    ready: bool
    shelf: Compositions


def _one_serve(drink: Drink, ahead: list[Pour], ready: bool, book: Book) -> _One:
    shelf = Compositions(book)
    liquid = mix(shelf.of(pour) for pour in ahead)
    if not ready:
        return _One(liquid, Decimal(0), ready, shelf)
    if liquid.lacks(Lack.AMOUNT, Lack.ABV):
        return _One(liquid, None, ready, shelf)
    return _One(liquid, liquid.ml * dilution(drink.method, liquid.strength, drink.ice), ready, shelf)


def _bottled(one: _One) -> Liquid:
    return mix((one.liquid, water(one.water_ml))) if one.water_ml else one.liquid


def _serves(size: Size, one: _One, drink: Drink) -> Decimal:
    if isinstance(size, Serves):
        serves = size.count
    else:
        if one.water_ml is None or one.liquid.lacks(Lack.AMOUNT):
            raise BatchError(drink.name, tuple(sorted({gap.ingredient for gap in one.liquid.gaps})))
        ml = _bottled(one).ml
        serves = size.volume.m_as("milliliter") / ml if ml else Decimal(0)
    if serves <= 0 or one.liquid == Liquid():
        raise BatchError(drink.name)
    return serves


def _most_first(ahead: list[Pour], shelf: Compositions) -> tuple[str, ...]:
    """The ingredients by volume, as a label lists them."""
    volumes: dict[str, Decimal] = {}
    for pour in ahead:
        volumes[pour.ingredient] = volumes.get(pour.ingredient, Decimal(0)) + shelf.of(pour).ml
    return tuple(sorted(volumes, key=lambda name: -volumes[name]))


def _turn(pour: Pour) -> tuple[int, str]:
    return ORDER.index(pour.role), pour.ingredient


def _line(pour: Pour, serves: Decimal, shelf: Compositions) -> Line:
    part, liquid = portion(pour, shelf.book), shelf.of(pour).times(serves)
    volume = None if part.ml is None or pour.amount.unit not in POURED or part.dry_g else part.ml * serves
    mass = _weighed(pour, shelf.book) * serves if pour.amount.unit in WEIGHED else liquid.mass_g
    known = pour.amount.unit in WEIGHED or not liquid.lacks(Lack.AMOUNT, Lack.DENSITY)
    line_volume = None if volume is None else quantity(volume, "milliliter")
    line_mass = quantity(mass, "gram") if known else None
    pack = shelf.book.ingredients[pour.ingredient].pack
    return Line(pour.ingredient, line_volume, line_mass, _packs(pack, line_volume, line_mass))


def _water_line(one: _One, serves: Decimal) -> tuple[Line, ...]:
    """The water of a batch that is poured as it is; unknown where the strength is."""
    if not one.ready:
        return ()
    if one.water_ml is None:
        return (Line(WATER, None, None, None),)
    added = water(one.water_ml * serves)
    return (Line(WATER, quantity(added.ml, "milliliter"), quantity(added.mass_g, "gram"), None),)


def _weighed(pour: Pour, book: Book) -> Decimal:
    grams: Decimal = book.house.measures.physical(pour.amount).m_as("gram")
    return grams


def _packs(pack: Pack | None, volume: Quantity | None, mass: Quantity | None) -> Decimal | None:
    """Whole packs that hold so much, by volume or else by weight."""
    if pack is None:
        return None
    need = volume if pack.usable.value.check("[volume]") else mass if pack.usable.value.check("[mass]") else None
    if need is None:
        return None
    share: Decimal = need.magnitude / pack.usable.value.m_as(str(need.units))
    return share.quantize(TO_A_THOUSANDTH).to_integral_value(ROUND_CEILING)


def _warnings(ahead: list[Pour], marked: Label, whole: Liquid, ready: bool) -> tuple[Warn, ...]:
    known = not whole.lacks(Lack.AMOUNT, Lack.ABV, Lack.SUGAR)
    told = {
        Warn.LAW: True,
        Warn.BITTERS: any(pour.role is Role.BITTERS for pour in ahead),
        Warn.SLUSH: known and ready and freezing_point(whole.strength) > FREEZER,
        Warn.CRYSTALS: known and may_crystallise(_brix(whole)),
        Warn.NO_DATE: bool(marked.undated),
    }
    return tuple(warning for warning, holds in told.items() if holds)


def _brix(whole: Liquid) -> Decimal:
    """Per cent of sugar by mass in the sugar and water of a liquid; ethanol dissolves hardly any."""
    watery = whole.sugar_g + whole.water_g
    return whole.sugar_g / watery * 100 if watery else Decimal(0)
