"""Water from ice, and finished drinks, against the published fits and tables of the trade."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from recipes.balance import Balance, balance
from recipes.dilution import dilution, shaken, stirred
from recipes.model import Ice, Method, Pour, Role
from recipes.units import Amount, Unit
from tests.checks.table import Row, table
from tests.conftest import pours
from tests.known_book import drink_of, make_known_book, number, sourced, with_ingredient

FITS = "Arnold, Liquid Intelligence (2014), p. 123, worked out from the printed fits"
RANGES = "Arnold, Liquid Intelligence (2014), p. 125-126, from memory"
NAIVE = "the same fits on trade specs (IBA) with volumes simply added"

POINTS = [  # strength, stirred, final strength, shaken, final strength, shaken with the sign lost
    ("0.15", "0.3047", "0.1150", "0.4290", "0.1050", "0.500"),
    ("0.20", "0.3458", "0.1486", "0.4887", "0.1343", "0.614"),
    ("0.25", "0.3809", "0.1810", "0.5406", "0.1623", "0.736"),
    ("0.30", "0.4099", "0.2128", "0.5846", "0.1893", "0.867"),
    ("0.35", "0.4329", "0.2443", "0.6207", "0.2160", "1.005"),
    ("0.40", "0.4498", "0.2759", "0.6491", "0.2426", "1.151"),
]


@table(*(Row(x, (x,), added, "0.0005", FITS) for x, added, *_ in POINTS))
def test_water_of_a_stirred_drink(row: Row) -> None:
    """Added water over starting volume."""
    assert row.agrees(stirred(row.numbers()[0]))


@table(*(Row(x, (x,), added, "0.0005", FITS) for x, _, _, added, *_ in POINTS))
def test_water_of_a_shaken_drink(row: Row) -> None:
    """Added water over starting volume."""
    assert row.agrees(shaken(row.numbers()[0]))


@table(
    *(Row(f"{x} stirred", (x, "stirred"), final, "0.0005", FITS) for x, _, final, *_ in POINTS),
    *(Row(f"{x} shaken", (x, "shaken"), final, "0.0005", FITS) for x, _, _, _, final, _ in POINTS),
)
def test_strength_after_the_ice(row: Row) -> None:
    """The strength is spread over the water as well."""
    x = Decimal(row.given[0])
    assert row.agrees(x / (1 + dilution(Method(row.given[1]), x, Ice.NONE)))


@table(*(Row(x, (x,), wrong, "0.001", "a faulty transcription of the shaken fit") for x, *_, wrong in POINTS))
def test_the_fit_is_not_the_one_that_lost_its_sign(row: Row) -> None:
    """One copy in print drops a minus; the shaken drink would then be a third stronger in water, or worse."""
    (x,) = row.numbers()
    assert not row.agrees(shaken(x))
    assert row.agrees(shaken(x) + 2 * Decimal("1.567") * x * x)


def weighed_up(parts: str, method: Method) -> Balance:
    """The balance of a mix written as '50@45 20@16': millilitres at a strength, and '8.4@sugar' in grams."""
    book = make_known_book()
    made = []
    for part in parts.split():
        amount, _, what = part.partition("@")
        if what == "sugar":
            made.append(Pour("white sugar", Amount(Decimal(amount), Unit.GRAM), Role.SWEETENER))
            continue
        liquid = replace(book.ingredients["gin"], name=what, abv=sourced(what, "percent"), density=None)
        book = with_ingredient(book, liquid)
        made.append(Pour(what, Amount(Decimal(amount), Unit.MILLILITRE), Role.BASE))
    return balance(drink_of(tuple(made), method), book)


MANHATTAN = ("50@45 20@16 0.9@44.7", "stirred")
SIDECAR = ("50@40 20@40 20@0", "shaken")
MARTINI = ("60@40 10@18", "stirred")
DAIQUIRI = ("60@40 20@0 8.4@sugar", "shaken")


@table(
    Row("manhattan, poured", (*MANHATTAN, "poured"), "70.9", "0.25", NAIVE),
    Row("manhattan, before ice", (*MANHATTAN, "start"), "36.82", "0.1", NAIVE),
    Row("manhattan, water", (*MANHATTAN, "water"), "31.2", "0.25", NAIVE),
    Row("manhattan, served", (*MANHATTAN, "served"), "102.1", "0.5", NAIVE),
    Row("manhattan, strength", (*MANHATTAN, "abv"), "25.57", "0.1", NAIVE),
    Row("sidecar, poured", (*SIDECAR, "poured"), "90", "0.25", NAIVE),
    Row("sidecar, before ice", (*SIDECAR, "start"), "31.11", "0.1", NAIVE),
    Row("sidecar, water", (*SIDECAR, "water"), "53.4", "0.25", NAIVE),
    Row("sidecar, served", (*SIDECAR, "served"), "143.4", "0.5", NAIVE),
    Row("sidecar, strength", (*SIDECAR, "abv"), "19.53", "0.1", NAIVE),
    Row("dry martini, poured", (*MARTINI, "poured"), "70", "0.25", NAIVE),
    Row("dry martini, before ice", (*MARTINI, "start"), "36.86", "0.1", NAIVE),
    Row("dry martini, water", (*MARTINI, "water"), "30.8", "0.25", NAIVE),
    Row("dry martini, served", (*MARTINI, "served"), "100.8", "0.5", NAIVE),
    Row("dry martini, strength", (*MARTINI, "abv"), "25.60", "0.1", NAIVE),
    Row("daiquiri, poured", (*DAIQUIRI, "poured"), "85.2", "0.25", NAIVE),
    Row("daiquiri, before ice", (*DAIQUIRI, "start"), "28.17", "0.1", NAIVE),
    Row("daiquiri, water", (*DAIQUIRI, "water"), "48.5", "0.25", NAIVE),
    Row("daiquiri, served", (*DAIQUIRI, "served"), "133.7", "0.5", NAIVE),
    Row("daiquiri, strength", (*DAIQUIRI, "abv"), "17.95", "0.1", NAIVE),
)
def test_trade_specs_through_the_ice(row: Row) -> None:
    """The source adds volumes; ours shrink as they mix, which is worth a third of a millilitre at most."""
    parts, method, what = row.given
    found = weighed_up(parts, Method(method))
    measured = {
        "poured": (found.volume, "milliliter"),
        "start": (found.start_abv, "percent"),
        "water": (found.water, "milliliter"),
        "served": (found.served, "milliliter"),
        "abv": (found.abv, "percent"),
    }
    assert row.agrees(number(*measured[what]))


@table(
    Row("manhattan", ("0.3682", "70.9", "stirred"), "31.2", "0.05", NAIVE),
    Row("sidecar", ("0.3111", "90", "shaken"), "53.4", "0.05", NAIVE),
    Row("dry martini", ("0.3686", "70", "stirred"), "30.8", "0.05", NAIVE),
    Row("daiquiri", ("0.2817", "85.2", "shaken"), "48.5", "0.05", NAIVE),
)
def test_water_of_trade_specs_from_the_same_start(row: Row) -> None:
    """From the same strength and volume, the same water to 0.05 mL."""
    strength, poured = (Decimal(given) for given in row.given[:2])
    assert row.agrees(poured * dilution(Method(row.given[2]), strength, Ice.NONE))


@table(
    Row("served, mL", ("served",), "159.5", "15.95", RANGES),
    Row("strength, % vol", ("abv",), "15.0", "1.5", RANGES),
    Row("sugar, g/L", ("sugar",), "89", "8.9", RANGES),
    Row("acid, %", ("acid",), "0.85", "0.085", RANGES),
)
def test_a_finished_daiquiri(row: Row) -> None:
    """White rum 60, lime 22.5, simple syrup 22.5, shaken: each number within 10 % of the published row."""
    book = make_known_book()
    found = balance(drink_of(pours("60 ml white rum", "22.5 ml lime juice", "22.5 ml sugar syrup")), book)
    measured = {
        "served": (found.served, "milliliter"),
        "abv": (found.abv, "percent"),
        "sugar": (found.sugar, "gram/liter"),
        "acid": (found.acid, "gram/deciliter"),
    }
    assert row.agrees(number(*measured[row.given[0]]))


@table(
    Row("daiquiri, served", ("served",), "159.53", "0.3", FITS),
    Row("daiquiri, strength", ("abv",), "15.04", "0.03", FITS),
)
def test_the_same_daiquiri_worked_out_by_hand(row: Row) -> None:
    """Arithmetic on the fit with the same ingredients, volumes simply added."""
    book = make_known_book()
    found = balance(drink_of(pours("60 ml white rum", "22.5 ml lime juice", "22.5 ml sugar syrup")), book)
    measured = {"served": (found.served, "milliliter"), "abv": (found.abv, "percent")}
    assert row.agrees(number(*measured[row.given[0]]))


@table(Row("built over ice", ("60@45 6.8@sugar 1.8@44.7",), "29.5", "2.5", RANGES, "27 to 32 % vol, 76 g/L sugar"))
def test_a_built_drink_lands_in_its_range(row: Row) -> None:
    """A strong old fashioned with the sugar that the book gives it, built on its ice: 27 to 32 % vol."""
    x = number(weighed_up(row.given[0], Method.STIRRED).start_abv, "percent") / 100
    assert row.agrees(100 * x / (1 + dilution(Method.BUILT, x, Ice.LARGE)))
