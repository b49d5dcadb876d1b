"""How a drink is balanced, and what is not known of it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recipes.balance import Balance, balance, meets_ice, profile
from recipes.composition import Compositions
from recipes.ethanol import ETHANOL_G_ML
from recipes.mixing import Gap, Lack, mix
from recipes.model import Book, Drink, Ice, Method, Pour, Role
from recipes.units import Amount, Unit, quantity
from recipes.washline import Fill
from tests.conftest import pours
from tests.known_book import drink_of, make_known_book, number, sourced, with_ingredient

BOOK = make_known_book()
NAMES = ("gin", "rye whiskey", "sweet vermouth", "lime juice", "sugar syrup", "aromatic bitters", "soda water")
LINES = st.tuples(st.sampled_from(NAMES), st.integers(1, 24))
POURS = st.lists(LINES, min_size=1, max_size=6).map(
    lambda lines: pours(*(f"{Decimal(eighths) / 8} oz {name}" for name, eighths in lines))
)
METHODS = st.sampled_from(Method)
LITTLE = Decimal("1e-9")


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


def of(name: str, book: Book) -> Balance:
    """The balance of a drink of the small book."""
    return balance(book.drinks[name], book)


class TestDaiquiri:
    """A shaken sour, every number by hand: 60/22.5/22.5 of 40 % rum, lime and simple syrup, in ounces."""

    def test_strength(self, book: Book) -> None:
        """Two ounces of 40 in three and a half are 22.9 % before the ice and 15.0 after."""
        found = of("Daiquiri", book)
        assert abs(number(found.start_abv, "percent") - Decimal("22.9")) < Decimal("0.1")
        assert abs(number(found.abv, "percent") - Decimal("15.0")) < Decimal("0.1")

    def test_water(self, book: Book) -> None:
        """A shaken drink of 22.9 % takes 0.52 of its volume in water."""
        found = of("Daiquiri", book)
        assert found.dilution is not None
        assert abs(found.dilution - Decimal("0.5196")) < Decimal("0.001")
        assert abs(number(found.water, "milliliter") - number(found.volume, "milliliter") * found.dilution) < LITTLE

    def test_sugar_acid_and_their_ratio(self, book: Book) -> None:
        """14.0 g of sugar and 1.33 g of acid in 157 mL: 89 g/L, 0.85 %, 10.5 to one."""
        found = of("Daiquiri", book)
        assert abs(number(found.sugar, "gram/liter") - 89) < 1
        assert abs(number(found.acid, "gram/deciliter") - Decimal("0.846")) < Decimal("0.005")
        assert found.ratio is not None
        assert abs(found.ratio - Decimal("10.5")) < Decimal("0.1")

    def test_alcohol_and_standard_drinks(self, book: Book) -> None:
        """Two ounces of 40 % are 1.33 US standard drinks, 18.7 g."""
        found = of("Daiquiri", book)
        assert abs(number(found.alcohol, "gram") - Decimal("18.67")) < Decimal("0.01")
        assert found.standard is not None
        assert abs(found.standard.us - Decimal("1.333")) < Decimal("0.001")
        assert found.standard.uk > found.standard.au > found.standard.us

    def test_wash_line(self, book: Book) -> None:
        """157 mL stand seven eighths up a coupe of 180."""
        found = of("Daiquiri", book)
        assert found.wash is not None
        assert found.wash.fill is Fill.FITS
        assert abs(found.wash.line - Decimal("0.874")) < Decimal("0.005")


class TestOtherDrinks:
    """What other methods and parts do."""

    def test_bitterness_is_weighted_by_volume(self, book: Book) -> None:
        """An ounce of vermouth at two and two dashes of bitters at five, over what is in the glass."""
        found = of("Manhattan", book)
        served = number(found.served, "milliliter")
        expected = (Decimal("29.5735295625") * 2 + Decimal("1.8") * 5) / served
        assert found.bitterness is not None
        assert abs(found.bitterness - expected) < LITTLE

    def test_soda_meets_no_ice_before_it_is_poured(self, book: Book) -> None:
        """The rickey's water comes from gin and lime alone, and its ice gives back the room it melts from."""
        found = of("Gin Rickey", book)
        assert abs(number(found.start_abv, "percent") - 32) < Decimal("0.2")
        assert number(found.served, "milliliter") > number(found.volume, "milliliter")
        assert found.wash is not None
        assert found.wash.room > quantity("264", "milliliter")  # 450 mL less its cubes

    @pytest.mark.parametrize(
        ("method", "melts_there"),
        [(Method.BUILT, True), (Method.SWIZZLED, True), (Method.SHAKEN, False), (Method.STIRRED, False)],
    )
    def test_only_what_is_mixed_in_the_glass_melts_the_ice_it_is_served_on(
        self, method: Method, melts_there: bool, book: Book
    ) -> None:
        """A swizzle's ice gives back its room; a shaken drink is strained onto fresh ice."""
        found = balance(drink_of(pours("2 oz gin", "0.5 oz lime juice"), method, Ice.CRUSHED), book)
        assert found.wash is not None
        assert (found.wash.room > quantity("81", "milliliter")) is melts_there  # 180 mL less its crushed ice

    @pytest.mark.parametrize(
        ("line", "meets"), [("1 oz gin, float", False), ("1 oz gin", True), ("1 oz gin, muddled", True)]
    )
    def test_a_float_is_poured_after_the_ice(self, line: str, meets: bool) -> None:
        """So is anything to top."""
        assert meets_ice(pours(line)[0]) is meets

    def test_a_drink_without_acid_has_no_ratio(self, book: Book) -> None:
        """Nothing is not unknown: the acid is zero, and nothing is named."""
        found = balance(drink_of(pours("2 oz rye whiskey", "10 g white sugar"), Method.STIRRED), book)
        assert found.acid == quantity(0, "gram/deciliter")
        assert found.ratio is None
        assert found.unknown == ()

    def test_a_drink_of_no_alcohol_has_none(self, book: Book) -> None:
        """Lime and soda."""
        found = balance(drink_of(pours("1 oz lime juice", "4 oz soda water, to top")), book)
        assert found.abv == quantity(0, "percent")
        assert found.alcohol == quantity(0, "gram")

    def test_only_herbs_are_no_drink(self, book: Book) -> None:
        """Mint alone fills no glass; its strengths are unknown rather than divided by nothing."""
        found = balance(drink_of(pours("8 leaf mint")), book)
        assert found.served == quantity(0, "milliliter")
        assert (found.sugar, found.acid, found.bitterness, found.dilution) == (None, None, None, None)


class TestUnknown:
    """Missing data is unknown, never zero."""

    def test_an_unknown_strength_leaves_the_ice_unknown(self, book: Book) -> None:
        """The Aviation's violet liqueur is a riddle, so its water and all that it thins are unknown."""
        found = of("Aviation", book)
        assert found.unknown == ("violet liqueur",)
        assert number(found.volume, "milliliter") > 80
        for value in (
            found.water,
            found.served,
            found.dilution,
            found.start_abv,
            found.abv,
            found.sugar,
            found.acid,
            found.ratio,
            found.bitterness,
            found.alcohol,
            found.standard,
            found.wash,
        ):
            assert value is None

    @pytest.mark.parametrize(
        ("lack", "unknown"),
        [
            ("sugar", {"sugar", "ratio"}),
            ("acid", {"acid", "ratio"}),
            ("bitterness", {"bitterness"}),
            ("density", set()),
        ],
    )
    def test_one_missing_number_hides_only_what_needs_it(self, lack: str, unknown: set[str], book: Book) -> None:
        """A rum of unknown sugar still has its strength."""
        rum = replace(book.ingredients["white rum"], **{lack: None})  # type: ignore[arg-type]
        found = of("Daiquiri", with_ingredient(book, rum))
        shown = ("abv", "sugar", "acid", "ratio", "bitterness", "served", "alcohol", "wash")
        assert {name for name in shown if getattr(found, name) is None} == unknown
        assert found.unknown == (("white rum",) if unknown else ())

    def test_a_topping_of_unknown_strength_hides_the_strength_alone(self, book: Book) -> None:
        """The ice met only what is known, so the volume stands."""
        soda = replace(book.ingredients["soda water"], abv=None)
        found = of("Gin Rickey", with_ingredient(book, soda))
        assert found.abv is None
        assert found.alcohol is None
        assert found.served is not None
        assert found.start_abv is not None

    def test_a_piece_of_unknown_size_leaves_everything_unknown(self, book: Book) -> None:
        """Nobody knows how much an unmeasured egg white is."""
        egg = replace(book.ingredients["egg white"], each=None)
        found = of("Clover Club", with_ingredient(book, egg))
        assert found.volume is None
        assert found.served is None
        assert found.gaps == (Gap("egg white", Lack.AMOUNT),)


@settings(max_examples=60, deadline=None)
@given(POURS, METHODS)
def test_the_ice_adds_only_water(lines: tuple[Pour, ...], method: Method) -> None:
    """Ethanol, sugar and acid in the glass are those that were poured."""
    found = balance(drink_of(lines, method, Ice.CUBED), BOOK)
    shelf = Compositions(BOOK)
    poured = mix(shelf.of(line) for line in lines)
    served = number(found.served, "milliliter")
    assert abs(number(found.abv, "percent") / 100 * served * ETHANOL_G_ML - poured.ethanol_g) < LITTLE
    assert number(found.alcohol, "gram") == poured.ethanol_g
    assert abs(number(found.sugar, "gram/milliliter") * served - poured.sugar_g) < LITTLE
    assert abs(number(found.acid, "gram/milliliter") * served - poured.acid_g) < LITTLE


@settings(max_examples=60, deadline=None)
@given(POURS, METHODS, st.integers(2, 12))
def test_a_bigger_drink_of_the_same_is_balanced_the_same(lines: tuple[Pour, ...], method: Method, times: int) -> None:
    """Scaling is linear: volumes grow, strengths stay."""
    more = tuple(replace(line, amount=line.amount.times(times)) for line in lines)
    shelf = Compositions(BOOK)
    one, many = (profile(drink_of(each, method), shelf) for each in (lines, more))
    assert one.served_ml is not None
    assert many.served_ml is not None
    assert abs(many.served_ml - one.served_ml * times) < LITTLE
    for name in ("abv", "sugar", "acid", "bitterness"):
        assert abs(getattr(many, name) - getattr(one, name)) < LITTLE


@settings(max_examples=30, deadline=None)
@given(POURS)
def test_the_order_of_the_pours_does_not_matter(lines: tuple[Pour, ...]) -> None:
    """A spec read backwards is the same drink."""
    shelf = Compositions(BOOK)
    one, other = (profile(drink_of(each), shelf) for each in (lines, lines[::-1]))
    assert one.served_ml is not None
    assert other.served_ml is not None
    assert abs(one.served_ml - other.served_ml) < LITTLE
    assert one.gaps == other.gaps


def test_more_syrup_makes_it_sweeter_and_weaker() -> None:
    """On any sour, more syrup means more sugar, less strength and less acid."""

    def sour(syrup: str) -> Balance:
        return balance(drink_of(pours("2 oz gin", "0.75 oz lime juice", f"{syrup} oz sugar syrup")), BOOK)

    dry, sweet = sour("0.5"), sour("1")
    assert number(sweet.sugar, "gram/liter") > number(dry.sugar, "gram/liter")
    assert number(sweet.abv, "percent") < number(dry.abv, "percent")
    assert number(sweet.acid, "gram/deciliter") < number(dry.acid, "gram/deciliter")


def test_an_unknown_name_or_glass_is_a_key_error(book: Book) -> None:
    """The loader keeps such drinks out."""
    stranger = (Pour("absinthe", Amount(Decimal(1), Unit.OUNCE), Role.BASE),)
    drinks: tuple[Drink, ...] = (drink_of(stranger), drink_of(pours("2 oz gin"), glass="bucket"))
    for drink in drinks:
        with pytest.raises(KeyError):
            balance(drink, book)


def test_overproof_and_sugar_shrink_within_the_physics(book: Book) -> None:
    """Equal parts of 96 % and water come to less than their sum."""
    strong = replace(book.ingredients["gin"], abv=sourced("96", "percent"), density=None)
    shelf = Compositions(with_ingredient(book, strong))
    together = mix(shelf.of(line) for line in pours("50 ml gin", "50 ml water"))
    assert Decimal("96.4") < together.ml < Decimal("97.2")
