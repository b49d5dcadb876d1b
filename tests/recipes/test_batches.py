"""What goes into a batch, what waits for the order, and why."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recipes.balance import balance
from recipes.batches import Batch, Filling, Hold, Line, Serves, Warn, batch, hold
from recipes.errors import BatchError
from recipes.mixing import Gap, Lack
from recipes.model import Book, Method, Pour, Role
from recipes.units import Amount, Unit, quantity
from tests.conftest import pack, pours
from tests.known_book import drink_of, make_known_book, number, with_ingredient

BOOK = make_known_book()
KNOWN_DRINKS = ("Gimlet", "Daiquiri", "Manhattan", "Clover Club", "Southside", "Gin Rickey")


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


def of(name: str, book: Book, count: int = 20) -> Batch:
    """A batch of a drink of the small book."""
    return batch(book.drinks[name], Serves(Decimal(count)), book)


def line(made: Batch, ingredient: str) -> Line:
    """The line of one ingredient."""
    return next(found for found in made.lines if found.ingredient == ingredient)


class TestManhattans:
    """Twenty stirred drinks, bottled ready to pour."""

    def test_twenty_times_the_spec(self, book: Book) -> None:
        """Forty ounces of rye, twenty of vermouth, forty dashes of bitters."""
        made = of("Manhattan", book)
        assert abs(number(line(made, "rye whiskey").volume, "milliliter") - Decimal("1182.94")) < Decimal("0.01")
        assert abs(number(line(made, "sweet vermouth").volume, "milliliter") - Decimal("591.47")) < Decimal("0.01")
        assert line(made, "aromatic bitters").volume == quantity(36, "milliliter")

    def test_by_weight_as_well(self, book: Book) -> None:
        """Rye at 0.940 g/mL."""
        rye = line(of("Manhattan", book), "rye whiskey")
        assert number(rye.mass, "gram") == number(rye.volume, "milliliter") * Decimal("0.940")

    def test_it_holds_the_water_that_ice_would_give(self, book: Book) -> None:
        """A serve from the bottle is the drink as served: same volume, same strength."""
        made, served = of("Manhattan", book), balance(book.drinks["Manhattan"], book)
        assert made.ready
        assert made.lines[-1].ingredient == "water"
        assert abs(number(made.pour, "milliliter") - number(served.served, "milliliter")) < Decimal("1e-9")
        assert abs(number(made.abv, "percent") - number(served.abv, "percent")) < Decimal("1e-9")

    def test_order_of_mixing(self, book: Book) -> None:
        """Small and strong first, the spirit after, water last."""
        assert [found.ingredient for found in of("Manhattan", book).lines] == [
            "aromatic bitters",
            "sweet vermouth",
            "rye whiskey",
            "water",
        ]

    def test_packs_to_open(self, book: Book) -> None:
        """1183 mL of rye are two bottles of 750; 591 mL of vermouth are one of a litre."""
        made = of("Manhattan", book)
        assert [line(made, name).packs for name in ("rye whiskey", "sweet vermouth", "water")] == [2, 1, None]

    def test_what_is_told_with_it(self, book: Book) -> None:
        """The law, the bitters, and a freezer that would make it slush."""
        assert of("Manhattan", book).warnings == (Warn.LAW, Warn.BITTERS, Warn.SLUSH)

    def test_label_lists_most_first(self, book: Book) -> None:
        """Rye, vermouth, bitters; it keeps as long as the vermouth."""
        made = of("Manhattan", book)
        assert made.label.contents == ("rye whiskey", "sweet vermouth", "aromatic bitters")
        assert made.label.keeps == quantity(30, "day")


class TestHold:
    """What is not batched ahead, and why."""

    @pytest.mark.parametrize(
        ("written", "why"),
        [
            ("0.75 oz lime juice", Hold.JUICE),
            ("1 piece egg white", Hold.EGG),
            ("4 oz soda water, to top", Hold.BUBBLES),
            ("8 leaf mint", Hold.MUDDLED),
            ("4 oz water, hot", Hold.HOT),
            ("1 oz water", None),
            ("2 oz gin", None),
            ("0.75 oz sugar syrup", None),
        ],
    )
    def test_each_for_its_reason(self, written: str, why: Hold | None, book: Book) -> None:
        """Fresh juice, egg, bubbles, what is muddled and what is hot wait; spirits and syrups do not."""
        assert hold(pours(written)[0], book) is why

    def test_dairy_waits(self, book: Book) -> None:
        """Cream is added to order."""
        assert hold(Pour("gin", Amount(Decimal(1), Unit.OUNCE), Role.DAIRY), book) is Hold.DAIRY

    @pytest.mark.parametrize(("days", "why"), [(None, Hold.JUICE), (3, Hold.JUICE), (4, None)])
    def test_a_juice_that_keeps_may_be_batched(self, days: int | None, why: Hold | None, book: Book) -> None:
        """Verjus keeps for weeks; a juice of unknown life does not count as keeping."""
        juice = replace(book.ingredients["lime juice"], shelf_life=None if days is None else quantity(days, "day"))
        assert hold(pours("1 oz lime juice")[0], with_ingredient(book, juice)) is why

    def test_a_herb_by_the_dash_may_be_batched(self, book: Book) -> None:
        """Flower water is poured, not bruised."""
        assert hold(pours("2 dash mint")[0], book) is None

    def test_a_sour_leaves_its_juice_for_the_order(self, book: Book) -> None:
        """Rum and syrup ahead, lime to order; it is shaken then, so no water goes in."""
        made = of("Daiquiri", book)
        assert [found.ingredient for found in made.lines] == ["sugar syrup", "white rum"]
        assert [(held.pour.ingredient, held.why) for held in made.held] == [("lime juice", Hold.JUICE)]
        assert not made.ready

    def test_a_drink_stirred_with_juice_is_not_ready_to_pour(self, book: Book) -> None:
        """What waits for the order meets the ice with the rest."""
        drink = drink_of(pours("2 oz rye whiskey", "0.25 oz lemon juice"), Method.STIRRED)
        assert not batch(drink, Serves(Decimal(10)), book).ready

    def test_nothing_to_batch(self, book: Book) -> None:
        """Lime and soda both wait, so there is no batch."""
        drink = drink_of(pours("1 oz lime juice", "4 oz soda water, to top"))
        with pytest.raises(BatchError) as caught:
            batch(drink, Serves(Decimal(10)), book)
        assert caught.value.unknown == ()


class TestSize:
    """A batch for a volume."""

    @pytest.mark.parametrize("name", KNOWN_DRINKS)
    def test_it_fills_the_volume(self, name: str, book: Book) -> None:
        """Two bottles of 750 are filled to the last drop."""
        made = batch(book.drinks[name], Filling(quantity("1.5", "liter")), book)
        assert abs(number(made.volume, "milliliter") - 1500) < Decimal("1e-9")
        assert abs(number(made.pour, "milliliter") * made.serves - 1500) < Decimal("1e-9")

    @pytest.mark.parametrize("size", [Serves(Decimal(0)), Serves(Decimal(-3)), Filling(quantity(0, "milliliter"))])
    def test_there_is_no_batch_of_nothing(self, size: Serves | Filling, book: Book) -> None:
        """None, or less than none."""
        with pytest.raises(BatchError):
            batch(book.drinks["Manhattan"], size, book)

    def test_a_drink_of_herbs_fills_nothing(self, book: Book) -> None:
        """A pinch of salt has no volume to fill a keg with."""
        drink = drink_of((Pour("mint", Amount(Decimal(1), Unit.PINCH), Role.HERB),))
        with pytest.raises(BatchError):
            batch(drink, Filling(quantity(1, "liter")), book)


class TestUnknown:
    """What the book does not tell."""

    def test_an_unknown_strength_leaves_the_water_unknown(self, book: Book) -> None:
        """How much water a stirred drink takes depends on its strength."""
        drink = drink_of(pours("2 oz gin", "1 oz violet liqueur"), Method.STIRRED)
        made = batch(drink, Serves(Decimal(10)), book)
        assert made.lines[-1] == Line("water", None, None, None)
        assert (made.volume, made.pour, made.abv, made.mass, made.containers) == (None, None, None, None, ())
        assert Gap("violet liqueur", Lack.ABV) in made.gaps
        assert made.warnings[-1] is Warn.NO_DATE

    def test_a_volume_cannot_be_filled_from_the_unknown(self, book: Book) -> None:
        """The error names the bottle to read."""
        drink = drink_of(pours("2 oz gin", "1 oz violet liqueur"), Method.STIRRED)
        with pytest.raises(BatchError) as caught:
            batch(drink, Filling(quantity(1, "liter")), book)
        assert caught.value.unknown == ("violet liqueur",)

    def test_a_shaken_batch_is_sized_without_its_strength(self, book: Book) -> None:
        """It meets its ice to order, so the volume is known and the strength is not."""
        made = of("Aviation", book)
        assert number(made.volume, "milliliter") > 1000
        assert (made.abv, made.mass) == (None, None)
        assert line(made, "violet liqueur").mass is None
        assert line(made, "violet liqueur").packs is None

    def test_a_piece_of_unknown_size_is_an_unknown_line(self, book: Book) -> None:
        """Three pieces of what, exactly?"""
        made = batch(drink_of(pours("2 oz gin", "1 piece sugar syrup")), Serves(Decimal(10)), book)
        assert line(made, "sugar syrup") == Line("sugar syrup", None, None, None)
        assert made.volume is None


def test_dry_sugar_is_weighed(book: Book) -> None:
    """Twenty times four grams of sugar are 80 g of a kilo's pack, and no millilitres."""
    made = batch(drink_of(pours("2 oz gin", "4 g white sugar"), Method.STIRRED), Serves(Decimal(20)), book)
    assert line(made, "white sugar") == Line("white sugar", None, quantity(80, "gram"), Decimal(1))


def test_a_pinch_is_weighed_though_it_takes_no_room(book: Book) -> None:
    """Twenty pinches of salt are six grams."""
    salted = drink_of((*pours("2 oz gin"), Pour("mint", Amount(Decimal(1), Unit.PINCH), Role.SALT)))
    made = batch(salted, Serves(Decimal(20)), book)
    assert line(made, "mint") == Line("mint", None, quantity(6, "gram"), None)
    assert made.lines[0].ingredient == "mint"


def test_a_strong_batch_stays_liquid_in_the_freezer(book: Book) -> None:
    """At 36 % vol a shaken base freezes below -18, and no slush is warned of where no water went in."""
    assert Warn.SLUSH not in of("Gimlet", book).warnings


@pytest.mark.parametrize(
    ("lines", "warned"),
    [
        (("20 g white sugar", "2 dash aromatic bitters"), True),
        (("20 g white sugar", "1 oz water"), False),
        (("0.5 oz sugar syrup", "2 oz gin"), False),
        (("20 g white sugar",), True),
        (("1 oz sugar syrup", "1 oz violet liqueur"), False),
    ],
    ids=["sugar in bitters", "sugar in water", "syrup and gin", "sugar alone", "unknown"],
)
def test_more_sugar_than_the_water_holds_is_warned_of(lines: tuple[str, ...], warned: bool, book: Book) -> None:
    """Above 64.7 % of sugar in the sugar and water, crystals fall at fridge temperature."""
    made = batch(drink_of(pours(*lines)), Serves(Decimal(20)), book)
    assert (Warn.CRYSTALS in made.warnings) is warned


def test_a_pack_by_the_piece_is_not_counted_by_volume(book: Book) -> None:
    """A jar of pieces does not say how much it pours."""
    gin = replace(book.ingredients["gin"], pack=pack("12 piece", "24.00"))
    made = of("Gimlet", with_ingredient(book, gin))
    assert line(made, "gin").packs is None


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(KNOWN_DRINKS), st.integers(1, 500))
def test_a_batch_is_so_many_times_one(name: str, count: int) -> None:
    """Scaling is linear: volume and weight grow with the count, strength and pour stay."""
    one, many = of(name, BOOK, 1), of(name, BOOK, count)
    little = Decimal("1e-9")
    assert abs(number(many.volume, "milliliter") - number(one.volume, "milliliter") * count) < little
    assert abs(number(many.mass, "gram") - number(one.mass, "gram") * count) < little
    assert abs(number(many.abv, "percent") - number(one.abv, "percent")) < little
    assert abs(number(many.pour, "milliliter") - number(one.pour, "milliliter")) < little


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(KNOWN_DRINKS), st.integers(1, 500))
def test_the_lines_weigh_what_the_batch_weighs(name: str, count: int) -> None:
    """Mass is conserved to the gram, though volume shrinks."""
    made = of(name, BOOK, count)
    lines = [number(found.mass, "gram") for found in made.lines]
    assert abs(sum(lines, Decimal(0)) - number(made.mass, "gram")) < Decimal("1e-9")
    volumes = [number(found.volume, "milliliter") for found in made.lines]
    assert number(made.volume, "milliliter") <= sum(volumes, Decimal(0)) * Decimal("1.001")
