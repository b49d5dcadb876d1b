"""What more of a drink comes to."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.model import Book, Drink
from recipes.scaling import (
    Scaled,
    poured_volume,
    scale_to_bottles,
    scale_to_count,
    scale_to_use_up,
    scale_to_volume,
    whole_serves,
)
from recipes.spec import written
from recipes.units import Unit, quantity
from tests.conftest import make_tiny_book, pours

BOOK = make_tiny_book()
COUNTS = st.integers(2, 500)
NAMES = st.sampled_from(sorted(BOOK.drinks))
UNITS = st.sampled_from(["oz", "ml"])


def drink_of(*lines: str) -> Drink:
    """A drink of these lines."""
    return replace(BOOK.drinks["Gimlet"], pours=pours(*lines))


def measured(scaled: Scaled) -> list[str]:
    """The lines as they are measured."""
    return [written(line.rounded) for line in scaled.lines]


class TestByCount:
    """So many of a drink."""

    def test_three_gimlets_in_ounces(self, tiny_book: Book) -> None:
        """Three times two ounces, three times three quarters."""
        assert measured(scale_to_count(tiny_book.drinks["Gimlet"], tiny_book, 3)) == ["6 oz", "2 1/4 oz"]

    def test_three_gimlets_in_millilitres_stand_on_the_metric_step(self, tiny_book: Book) -> None:
        """66.54 ml goes to 67.5, 177.44 is read off a jug as 175, and the exact amount is kept."""
        scaled = scale_to_count(tiny_book.drinks["Gimlet"], tiny_book, 3, "ml")
        assert measured(scaled) == ["175 ml", "67.5 ml"]
        assert Decimal("177.441177375") == scaled.lines[0].exact.number

    def test_one_is_the_spec_itself(self, tiny_book: Book) -> None:
        """Scaling to one rounds nothing that the book writes."""
        drink = drink_of("1.625 oz gin", "0.125 oz sugar syrup")
        assert measured(scale_to_count(drink, tiny_book, 1)) == ["1 5/8 oz", "1/8 oz"]

    @pytest.mark.parametrize(
        ("line", "count", "expected"),
        [
            ("2 dash aromatic bitters", 4, "8 dashes"),
            ("2 dash aromatic bitters", 5, "9 ml"),
            ("1 dash aromatic bitters", 12, "11 ml"),
            ("1 barspoon sugar syrup", 4, "4 barspoons"),
            ("1 barspoon sugar syrup", 6, "1 oz"),
            ("1 drop aromatic bitters", 20, "20 drops"),
            ("1 piece egg white", 3, "3"),
            ("0.5 piece egg white", 3, "1 1/2"),
            ("8 leaf mint", 6, "48 leaves"),
            ("45 ml gin", 2, "3 oz"),
            ("2.5 ml gin", 2, "5 ml"),
            ("1 pinch white sugar", 20, "6 g"),
            ("2.5 g white sugar", 3, "7.5 g"),
            ("0.5 kg white sugar", 3, "1,500 g"),
            ("0.25 bottle gin", 3, "3/4 bottle"),
        ],
    )
    def test_small_things_are_counted_out_until_there_are_too_many(self, line: str, count: int, expected: str) -> None:
        """Dashes above eight are millilitres, barspoons above four go to the jigger, eggs stay eggs."""
        assert [expected] == measured(scale_to_count(drink_of(line), BOOK, count))

    def test_a_part_of_an_egg_is_never_rounded_to_no_egg(self) -> None:
        """A fifth of a batch with one egg white still has half a one, with a warning."""
        (line,) = scale_to_count(drink_of("1 piece egg white"), BOOK, Decimal("0.2")).lines
        assert (Decimal("0.5"), True) == (line.rounded.number, line.warning)

    @pytest.mark.parametrize(("count", "warned"), [(2, ["lime juice"]), (4, ["lime juice"]), (5, []), (10, [])])
    def test_a_line_that_rounding_moves_too_far_is_named(self, count: int, warned: list[str]) -> None:
        """Four times a fifth of an ounce is no quarter, and 3/4 oz is 6 % short; five times it is one ounce."""
        drink = drink_of("2 oz gin", "0.2 oz lime juice")
        lines = scale_to_count(drink, BOOK, count).lines
        assert warned == [line.pour.ingredient for line in lines if line.warning]


class TestByVolume:
    """As much as fills a jug."""

    def test_a_litre_of_daiquiri(self, tiny_book: Book) -> None:
        """Two to three quarters to three quarters is 571, 214 and 214 millilitres of a litre."""
        scaled = scale_to_volume(tiny_book.drinks["Daiquiri"], tiny_book, quantity(1, "liter"))
        assert measured(scaled) == ["570 ml", "215 ml", "215 ml"]
        assert Decimal("571.43") == round(scaled.lines[0].exact.number, 2)

    @given(NAMES, st.integers(100, 20000))
    def test_what_is_poured_comes_to_the_target(self, name: str, millilitres: int) -> None:
        """The exact amounts add up to the volume asked for."""
        scaled = scale_to_volume(BOOK.drinks[name], BOOK, quantity(millilitres, "milliliter"))
        assert abs(scaled.volume.m_as("milliliter") - millilitres) < Decimal("1e-9")

    def test_an_egg_white_of_no_known_size_is_named(self, tiny_book: Book) -> None:
        """The volume is without it, and says so."""
        assert poured_volume(tiny_book.drinks["Clover Club"], tiny_book)[1] == ("egg white",)

    def test_a_drink_without_volume_cannot_fill_anything(self) -> None:
        """No division by nothing."""
        with pytest.raises(ValueError, match="has a volume"):
            scale_to_volume(drink_of("8 leaf mint"), BOOK, quantity(1, "liter"))


class TestByBottle:
    """What whole bottles make."""

    @pytest.mark.parametrize(("bottles", "serves"), [(1, 12), (2, 25), (3, 38)])
    def test_bottles_of_gin_make_gimlets(self, bottles: int, serves: int, tiny_book: Book) -> None:
        """750 ml hold twelve and two thirds of two-ounce pours, so two bottles make twenty-five."""
        assert serves == whole_serves(scale_to_bottles(tiny_book.drinks["Gimlet"], tiny_book, bottles, "gin"))

    def test_the_whole_bottle_is_poured(self, tiny_book: Book) -> None:
        """The base comes to exactly two bottles."""
        scaled = scale_to_bottles(tiny_book.drinks["Gimlet"], tiny_book, 2, "gin")
        assert measured(scaled) == ["1,500 ml", "565 ml"]

    def test_bottles_of_another_ingredient(self, tiny_book: Book) -> None:
        """A litre of sweet vermouth makes thirty-three Manhattans."""
        assert whole_serves(scale_to_bottles(tiny_book.drinks["Manhattan"], tiny_book, 1, "sweet vermouth")) == 33

    def test_so_much_of_an_ingredient_is_a_bottle_of_that_size(self, tiny_book: Book) -> None:
        """1.5 litres of gin are two bottles of it, in serves and in every line."""
        drink = tiny_book.drinks["Gimlet"]
        by_volume = scale_to_use_up(drink, tiny_book, quantity("1.5", "liter"), "gin")
        assert by_volume == scale_to_bottles(drink, tiny_book, 2, "gin")

    def test_an_ingredient_the_drink_lacks_is_refused(self, tiny_book: Book) -> None:
        """No Gimlet can be made from bottles of rye."""
        with pytest.raises(ValueError, match="pours no rye whiskey"):
            scale_to_bottles(tiny_book.drinks["Gimlet"], tiny_book, 1, "rye whiskey")


class TestLaws:
    """What holds for any drink and any count."""

    @given(NAMES, COUNTS, COUNTS, UNITS)
    def test_scaling_is_linear(self, name: str, few: int, more: int, unit: str) -> None:
        """So many and so many more come to all of them together, line by line, in volume or in count."""
        one, two, both = (
            scale_to_count(BOOK.drinks[name], BOOK, n, "oz" if unit == "oz" else "ml") for n in (few, more, few + more)
        )
        measures = BOOK.house.measures
        for a, b, c in zip(one.lines, two.lines, both.lines, strict=True):
            apart = measures.physical(a.exact) + measures.physical(b.exact)
            assert abs((apart - measures.physical(c.exact)).magnitude) < Decimal("1e-9")

    @given(NAMES, st.decimals("0.05", "200", places=3), UNITS)
    def test_rounding_never_leaves_the_grid(self, name: str, factor: Decimal, unit: str) -> None:
        """Ounces on the quarter, millilitres on the step or (bitters) the whole; what is less than a step is exact."""
        scaled = scale_to_count(BOOK.drinks[name], BOOK, factor, "oz" if unit == "oz" else "ml")
        steps = {Unit.OUNCE: "0.25", Unit.MILLILITRE: "0.5", Unit.DASH: "1", Unit.PIECE: "0.5", Unit.LEAF: "1"}
        for line in scaled.lines:
            on_grid = line.rounded.number % Decimal(steps[line.rounded.unit]) == 0
            assert on_grid or line.rounded == line.exact

    @given(NAMES, COUNTS)
    def test_rounding_moves_a_jiggered_line_by_half_a_step_at_most(self, name: str, count: int) -> None:
        """An eighth of an ounce is the most that a quarter-ounce jigger can be out."""
        for line in scale_to_count(BOOK.drinks[name], BOOK, count).lines:
            if line.rounded.unit is Unit.OUNCE:
                assert abs(line.rounded.number - line.exact.number) <= Decimal("0.125")
