"""Published specs of the trade, scaled and converted: each expected number is arithmetic by hand on the list's own.

The list is that of the International Bartenders Association, read in secondary copies; brands are left out, and a line
the list does not measure (a splash of soda, a few drops of egg white) is left out too. `sure` says how each was read:
'S2' in one or more stored copies, 'M' from memory, to be looked up before it is called official.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

import pytest

from recipes.loader import load_book
from recipes.model import Drink, Pour
from recipes.scaling import poured_volume, scale_to_count, scale_to_volume
from recipes.spec import SpecUnit, spec_lines, written
from recipes.units import Unit, quantity
from recipes.written import read_pour

BOOK = load_book()
FOLLOWS = ("trade-list", "trade-list-memory")
LIST = "International Bartenders Association list, "


@dataclass(frozen=True)
class Spec:
    """One published spec, and what it comes to in ounces, in parts and by the dozen (worked out by hand)."""

    drink: str
    pours: str  # millilitres, as published
    ounces: str  # US ounces, to the nearest eighth, or third where an eighth is more than 5 % off
    parts: str  # of what a jigger measures
    three: str
    twelve: str
    source: str
    sure: str


# fmt: off
SPECS = (
    Spec("Daiquiri", "60 ml white rum; 20 ml lime juice; 2 barspoon sugar",
         "2 oz; 2/3 oz; 2 barspoons", "3:1", "180 ml; 60 ml; 30 ml", "720 ml; 240 ml; 120 ml",
         LIST + "Daiquiri", "S2"),
    Spec("Manhattan", "50 ml rye whiskey; 20 ml sweet vermouth; 1 dash aromatic bitters",
         "1 3/4 oz; 2/3 oz; 1 dash", "5:2", "150 ml; 60 ml; 3 dashes", "600 ml; 240 ml; 11 ml",
         LIST + "Manhattan, two copies", "S2"),
    Spec("Martini", "60 ml gin; 10 ml dry vermouth",
         "2 oz; 1/3 oz", "6:1", "180 ml; 30 ml", "720 ml; 120 ml",
         LIST + "Dry Martini", "S2"),
    Spec("White Lady", "40 ml gin; 30 ml orange liqueur; 20 ml lemon juice",
         "1 3/8 oz; 1 oz; 2/3 oz", "4:3:2", "120 ml; 90 ml; 60 ml", "480 ml; 360 ml; 240 ml",
         LIST + "White Lady, two copies", "S2"),
    Spec("John Collins", "45 ml gin; 30 ml lemon juice; 15 ml simple syrup; 60 ml soda water",
         "1 1/2 oz; 1 oz; 1/2 oz; 2 oz", "3:2:1:4",
         "135 ml; 90 ml; 45 ml; 180 ml", "540 ml; 360 ml; 180 ml; 720 ml",
         LIST + "John Collins, three copies", "S2"),
    Spec("Aviation", "45 ml gin; 15 ml maraschino liqueur; 15 ml lemon juice; 1 barspoon violet liqueur",
         "1 1/2 oz; 1/2 oz; 1/2 oz; 1 barspoon", "3:1:1",
         "135 ml; 45 ml; 45 ml; 3 barspoons", "540 ml; 180 ml; 180 ml; 60 ml",
         LIST + "Aviation, newer edition", "S2"),
    Spec("Americano", "30 ml bitter red aperitif; 30 ml sweet vermouth",
         "1 oz; 1 oz", "1:1", "90 ml; 90 ml", "360 ml; 360 ml",
         LIST + "Americano, two copies", "S2"),
    Spec("Boulevardier", "45 ml bourbon; 30 ml bitter red aperitif; 30 ml sweet vermouth",
         "1 1/2 oz; 1 oz; 1 oz", "3:2:2", "135 ml; 90 ml; 90 ml", "540 ml; 360 ml; 360 ml",
         LIST + "Boulevardier", "ratio S2, millilitres M"),
    Spec("Sidecar", "50 ml cognac; 20 ml orange liqueur; 20 ml lemon juice",
         "1 3/4 oz; 2/3 oz; 2/3 oz", "5:2:2", "150 ml; 60 ml; 60 ml", "600 ml; 240 ml; 240 ml",
         LIST + "Sidecar", "M"),
    Spec("Whiskey Sour", "45 ml bourbon; 25 ml lemon juice; 20 ml simple syrup",
         "1 1/2 oz; 7/8 oz; 2/3 oz", "9:5:4", "135 ml; 75 ml; 60 ml", "540 ml; 300 ml; 240 ml",
         LIST + "Whiskey Sour", "M"),
    Spec("Gin Fizz", "45 ml gin; 30 ml lemon juice; 10 ml simple syrup",
         "1 1/2 oz; 1 oz; 1/3 oz", "9:6:2", "135 ml; 90 ml; 30 ml", "540 ml; 360 ml; 120 ml",
         LIST + "Gin Fizz", "M"),
    Spec("Clover Club", "45 ml gin; 15 ml raspberry syrup; 15 ml lemon juice",
         "1 1/2 oz; 1/2 oz; 1/2 oz", "3:1:1", "135 ml; 45 ml; 45 ml", "540 ml; 180 ml; 180 ml",
         LIST + "Clover Club", "M"),
    Spec("Between the Sheets", "30 ml white rum; 30 ml cognac; 30 ml orange liqueur; 20 ml lemon juice",
         "1 oz; 1 oz; 1 oz; 2/3 oz", "3:3:3:2", "90 ml; 90 ml; 90 ml; 60 ml", "360 ml; 360 ml; 360 ml; 240 ml",
         LIST + "Between the Sheets", "M"),
    Spec("Mary Pickford", "45 ml white rum; 45 ml pineapple juice; 7.5 ml maraschino liqueur; 5 ml grenadine",
         "1 1/2 oz; 1 1/2 oz; 1/4 oz; 5 ml", "18:18:3:2",
         "135 ml; 135 ml; 22.5 ml; 15 ml", "540 ml; 540 ml; 90 ml; 60 ml",
         LIST + "Mary Pickford, newer edition", "M"),
    Spec("Monkey Gland", "50 ml gin; 30 ml orange juice; 2 drop absinthe; 2 drop grenadine",
         "1 3/4 oz; 1 oz; 2 drops; 2 drops", "5:3",
         "150 ml; 90 ml; 6 drops; 6 drops", "600 ml; 360 ml; 1 ml; 1 ml",
         LIST + "Monkey Gland, edition of 2011", "M"),
    Spec("French 75", "30 ml gin; 15 ml lemon juice; 15 ml simple syrup; 60 ml sparkling wine",
         "1 oz; 1/2 oz; 1/2 oz; 2 oz", "2:1:1:4", "90 ml; 45 ml; 45 ml; 180 ml", "360 ml; 180 ml; 180 ml; 720 ml",
         LIST + "French 75", "M"),
)
# fmt: on
EACH = pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.drink)


def published(spec: Spec) -> Drink:
    """The book's drink, poured as the list has it."""
    return replace(BOOK.drinks[spec.drink], pours=tuple(pour(line) for line in spec.pours.split("; ")))


def pour(line: str) -> Pour:
    """One line of the list."""
    read = read_pour(line)
    return Pour(read.ingredient, read.amount, BOOK.ingredients[read.ingredient].role)


def texts(drink: Drink, unit: SpecUnit) -> str:
    """The lines of a spec as a bartender writes them."""
    return "; ".join(written(line.amount) for line in spec_lines(drink, BOOK, unit))


def scaled(drink: Drink, count: int) -> str:
    """The lines of so many, as they are measured in millilitres."""
    return "; ".join(written(line.rounded) for line in scale_to_count(drink, BOOK, count, "ml").lines)


def test_there_are_enough_specs_and_each_names_its_source() -> None:
    """At least a dozen, each with where it was read and how sure it is."""
    assert len(SPECS) >= 12
    assert all(spec.source.startswith(LIST) and spec.sure for spec in SPECS)


class TestPublishedSpecs:
    """What the trade's list pours, in other units and for more guests."""

    @EACH
    def test_in_ounces(self, spec: Spec) -> None:
        """A US ounce is 29.57 mL: 45 ml is written 1 1/2 oz."""
        assert texts(published(spec), "oz") == spec.ounces

    @EACH
    def test_in_millilitres_as_published(self, spec: Spec) -> None:
        """A metric spec asked for in millilitres is itself."""
        shown = "; ".join(
            f"{line.amount.number.normalize():f} {line.amount.unit.value} {line.pour.ingredient}"
            for line in spec_lines(published(spec), BOOK, "ml")
        )
        assert shown == spec.pours

    @EACH
    def test_in_parts(self, spec: Spec) -> None:
        """The list's own ratio, in the smallest whole numbers."""
        parts = [line.amount for line in spec_lines(published(spec), BOOK, "part")]
        assert ":".join(f"{part.number:f}" for part in parts if part.unit is Unit.PART) == spec.parts

    @EACH
    def test_three_of_it(self, spec: Spec) -> None:
        """Three times as much of each, on the house's metric step."""
        assert scaled(published(spec), 3) == spec.three

    @EACH
    def test_a_dozen_of_it(self, spec: Spec) -> None:
        """Twelve times as much; more dashes or spoons than a hand counts are measured."""
        assert scaled(published(spec), 12) == spec.twelve

    @EACH
    def test_to_a_volume_and_back(self, spec: Spec) -> None:
        """Scaling to ten drinks' volume makes ten drinks."""
        drink = published(spec)
        volume, unsized = poured_volume(drink, BOOK)
        assert unsized == ()
        assert scale_to_volume(drink, BOOK, volume * 10).serves == 10


class TestTheBook:
    """The book's own ounces, where it says that it follows the list."""

    @pytest.mark.parametrize("name", [drink.name for drink in BOOK.drinks.values() if drink.source in FOLLOWS])
    def test_a_drink_that_follows_the_list_pours_what_it_pours(self, name: str) -> None:
        """Each line of the list is within 2 % of the book's, as nearly as an ounce of eighths can say it."""
        spec = next(spec for spec in SPECS if spec.drink == name)
        for line in published(spec).pours:
            own = BOOK.drinks[name].pour_of(line.ingredient)
            assert own is not None, line.ingredient
            measured = BOOK.house.measures.physical(own.amount) / BOOK.house.measures.physical(line.amount)
            assert float(measured.magnitude) == pytest.approx(1, abs=0.02)

    @pytest.mark.parametrize("spec", [spec for spec in SPECS if spec.sure == "M"], ids=lambda spec: spec.drink)
    def test_a_spec_from_memory_is_not_called_published(self, spec: Spec) -> None:
        """The book's source says 'from memory' too."""
        assert BOOK.sources[BOOK.drinks[spec.drink].source].kind == "from memory"

    def test_a_dozen_manhattans_fill_this_much(self) -> None:
        """50 + 20 + 0.9 mL, twelve times: 850.8 mL."""
        manhattan = next(spec for spec in SPECS if spec.drink == "Manhattan")
        assert scale_to_count(published(manhattan), BOOK, 12).volume == quantity(Decimal("850.8"), "milliliter")
