"""The book is read whole, or every fault is told with its file, its line and its mend."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from recipes.errors import BookError
from recipes.faults import Fault
from recipes.loader import find_faults, load_book
from recipes.model import Ice, Method, Pour, Role, Sourced
from recipes.units import Amount, Unit, quantity
from tests.recipes.written_book import line_with, write_book

CLASSICS, SPIRITS, LARDER = "classics.toml", "ingredients/spirits.toml", "ingredients/larder.toml"


def only_fault(folder: Path) -> Fault:
    """The one fault (not warning) of a book."""
    faults = [fault for fault in find_faults(folder) if fault.severity == "fault"]
    assert len(faults) == 1, faults
    return faults[0]


class TestReading:
    """What a book without faults becomes."""

    def test_a_drink_comes_out_as_it_was_written(self, tmp_path: Path) -> None:
        """Pours, method, glass, ice, garnish, steps and price are those of the file."""
        drink = load_book(write_book(tmp_path)).drinks["Gin Sour"]
        assert drink.pours[1] == Pour("lime juice", Amount(Decimal("0.75"), Unit.OUNCE), Role.ACID)
        assert (drink.method, drink.glass, drink.ice) == (Method.SHAKEN, "coupe", Ice.NONE)
        assert (drink.garnish, drink.steps) == (("lime wheel",), ("Shake.", "Strain."))
        assert (drink.price, drink.shelf) == (quantity("12.00", "money"), "classics")

    def test_an_ingredient_keeps_the_source_of_its_values(self, tmp_path: Path) -> None:
        """Strength and yield say where they come from; what is not written is unknown."""
        book = load_book(write_book(tmp_path))
        assert book.ingredients["gin"].abv == Sourced(quantity(40, "percent"), "label")
        assert book.ingredients["gin"].density is None
        lime = book.ingredients["lime juice"].pack
        assert lime is not None
        assert lime.usable == Sourced(quantity(27, "milliliter"), "memory")

    def test_allergens_left_out_are_unknown_and_an_empty_list_is_none_by_our_data(self, tmp_path: Path) -> None:
        """Unknown is never taken for safe."""
        book = load_book(write_book(tmp_path, (SPIRITS, "allergens = []\nstand_ins", "stand_ins")))
        assert book.ingredients["gin"].allergens is None
        assert book.ingredients["vodka"].allergens == frozenset()

    def test_house_measures_are_the_house_s_own(self, tmp_path: Path) -> None:
        """An ounce of this bar is 30 mL, because house.toml says so."""
        book = load_book(write_book(tmp_path))
        assert book.house.measures.physical(Amount(Decimal(2), Unit.OUNCE)) == quantity(60, "milliliter")

    def test_numbers_pass_through_no_float(self, tmp_path: Path) -> None:
        """A dash of 0.9 mL is exactly 0.9."""
        assert load_book(write_book(tmp_path)).house.measures.dash == quantity("0.9", "milliliter")

    def test_a_small_book_has_no_fault(self, tmp_path: Path) -> None:
        """What is complete is not complained of."""
        assert find_faults(write_book(tmp_path)) == ()

    def test_the_book_of_the_package_loads_without_a_path(self) -> None:
        """With nothing said, the book that ships is read."""
        assert load_book().house.name == "The Fogbell"

    def test_a_file_that_goes_away_while_the_book_is_read_is_a_fault(self, tmp_path: Path) -> None:
        """It stands in the folder, but there is nothing behind it."""
        folder = write_book(tmp_path)
        (folder / "moods.toml").symlink_to("nowhere.toml")
        with pytest.raises(BookError, match=r"moods\.toml:1: fault: the file is missing"):
            load_book(folder)


# file, old text, new text, text on the faulty line (of the unspoiled file), entry, field, problem, mend
SPOILED = {
    "unknown ingredient": (
        (CLASSICS, '"3/4 oz lime juice"', '"3/4 oz lime jiuce"'),
        ('"3/4 oz lime juice"', "Gin Sour", "pours"),
        ('no ingredient is called "lime jiuce"', 'write "lime juice"'),
    ),
    "ingredient like no other": (
        (CLASSICS, '"2 oz gin"', '"2 oz xyzzy"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ('no ingredient is called "xyzzy"', "add it as a [[ingredient]]"),
    ),
    "spoken name for a name": (
        (CLASSICS, '"2 oz gin"', '"2 oz Gin"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ('no ingredient is called "Gin"', 'write "gin"'),
    ),
    "unknown unit": (
        (CLASSICS, '"2 oz gin"', '"2 ozz gin"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ('"ozz" is not a unit', 'write "oz"'),
    ),
    "no number": (
        (CLASSICS, '"2 oz gin"', '"two oz gin"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ('"two oz gin" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
    ),
    "parts have no size": (
        (CLASSICS, '"2 oz gin"', '"2 part gin"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ("a part has no size of its own", "write oz or ml"),
    ),
    "unknown role in a pour": (
        (CLASSICS, '"2 oz gin"', '"2 oz gin as bittters"'),
        ('"2 oz gin"', "Gin Sour", "pours"),
        ('"bittters" is not a role', 'write "bitters"'),
    ),
    "unknown role": (
        (SPIRITS, 'role = "base"', 'role = "bass"'),
        ('role = "base"', "gin", "role"),
        ('"bass" is not known as role', 'write "base"'),
    ),
    "unknown method": (
        (CLASSICS, 'method = "shaken"', 'method = "shakn"'),
        ('method = "shaken"', "Gin Sour", "method"),
        ('"shakn" is not known as method', 'write "shaken"'),
    ),
    "unknown ice": (
        (CLASSICS, 'ice = "cubed"', 'ice = "cubes"'),
        ('ice = "cubed"', "Vodka Sour", "ice"),
        ('"cubes" is not known as ice', 'write "cubed"'),
    ),
    "unknown glass": (
        (CLASSICS, 'glass = "rocks glass"', 'glass = "rock glass"'),
        ('glass = "rocks glass"', "Vodka Sour", "glass"),
        ('no glass is called "rock glass"', 'write "rocks glass"'),
    ),
    "unknown source of a drink": (
        (CLASSICS, 'source = "memory"', 'source = "memori"'),
        ('source = "memory"', "Gin Sour", "source"),
        ('no source is called "memori"', 'write "memory"'),
    ),
    "unknown source of a value": (
        (SPIRITS, 'value = 40, source = "label"', 'value = 40, source = "lable"'),
        ("abv", "gin", "abv.source"),
        ('no source is called "lable"', 'write "label"'),
    ),
    "strength over a hundred": (
        (SPIRITS, "value = 40", "value = 140"),
        ("abv", "gin", "abv.value"),
        ("140 is above 100", "write a number from 0 to 100"),
    ),
    "price in words": (
        (CLASSICS, "price = 12.00", 'price = "12 dollars"'),
        ("price = 12.00", "Gin Sour", "price"),
        ("'12 dollars' is not a number", "write the menu price, as 13.00"),
    ),
    "price of nothing": (
        (CLASSICS, "price = 12.00", "price = 0"),
        ("price = 12.00", "Gin Sour", "price"),
        ("0 is not above 0", "write the menu price, as 13.00"),
    ),
    "price of a pack finer than a cent": (
        (SPIRITS, "price = 24.00", "price = 24.005"),
        ("price = 24.00", "gin", "pack.price"),
        (
            "Decimal('24.005') does not fit here (decimal input should have no more than 2 decimal places)",
            "write money in the house's currency, as 24.50",
        ),
    ),
    "yield above the pack": (
        (SPIRITS, 'size = "750 ml", price = 24.00', 'size = "750 ml", price = 24.00, usable = "2 l", source = "label"'),
        ("price = 24.00", "gin", "pack.usable"),
        ('"2 l" is more than the pack\'s "750 ml"', "write what one pack yields"),
    ),
    "yield without a source": (
        (LARDER, 'usable = "27 ml", source = "memory"', 'usable = "27 ml"'),
        ('usable = "27 ml"', "lime juice", "pack.source"),
        ("the yield has no source", "write where it comes from"),
    ),
    "a key nobody knows": (
        (CLASSICS, "garnish =", "garnsh ="),
        ("garnish =", "Gin Sour", "garnsh"),
        ('there is no key "garnsh"', 'write "garnish"'),
    ),
    "a key missing": (
        (CLASSICS, 'method = "shaken"\n', ""),
        ("[[drink]]", "Gin Sour", "method"),
        ('"method" is missing', "write one of: shaken, stirred, built, blended, thrown, swizzled"),
    ),
    "a garnish that is none": (
        (CLASSICS, 'garnish = ["lime wheel"]', 'garnish = ["lime juice"]'),
        ("garnish =", "Gin Sour", "garnish"),
        ('"lime juice" is not a garnish', 'write "lime wheel"'),
    ),
    "a stand-in nobody has": (
        (SPIRITS, 'stand_ins = ["vodka"]', 'stand_ins = ["vodkas"]'),
        ("stand_ins", "gin", "stand_ins"),
        ('no ingredient is called "vodkas"', 'write "vodka"'),
    ),
    "an allergen the law does not know": (
        (SPIRITS, "allergens = []", 'allergens = ["nut"]'),
        ("allergens", "gin", "allergens"),
        ('"nut" is not known as allergens', 'write "nuts"'),
    ),
    "the same drink twice": (
        (CLASSICS, 'name = "Vodka Sour"', 'name = "gin sour"'),
        ('name = "Vodka Sour"', "gin sour", "name"),
        ('"gin sour" already names the drink "Gin Sour"', "give each name to one entry"),
    ),
    "a spoken name that is another's": (
        (SPIRITS, 'say = ["dry gin"]', 'say = ["Vodka"]'),
        ('name = "vodka"', "vodka", "name"),
        ('"vodka" already names the ingredient "gin"', "give each name to one entry"),
    ),
    "a spoken name twice": (
        (CLASSICS, 'say = ["sour of gin"]', 'say = ["sour of gin", "Sour of Gin"]'),
        ("say =", "Gin Sour", "say"),
        ('"sour of gin" is listed twice', "list it once"),
    ),
    "a recipe that needs itself": (
        (LARDER, 'pours = ["500 g sugar"]', 'pours = ["500 g sugar", "50 g simple syrup"]'),
        ("[ingredient.made]", "simple syrup", "made"),
        ("the recipe goes in a circle: simple syrup > simple syrup", "take one of them out"),
    ),
    "a wrong line in a recipe of its own": (
        (LARDER, '"500 g sugar"', '"500 g suger"'),
        ("pours =", "simple syrup", "made.pours"),
        ('no ingredient is called "suger"', 'write "sugar"'),
    ),
    "a yield that is no volume": (
        (LARDER, 'makes = "800 ml"', 'makes = "800 g"'),
        ("makes =", "simple syrup", "made.makes"),
        ('"800 g" is not a volume', "write ml or l"),
    ),
    "a yield without a unit": (
        (LARDER, 'makes = "800 ml"', 'makes = "a bottle"'),
        ("makes =", "simple syrup", "made.makes"),
        ('"a bottle" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
    ),
    "a piece of unknown size": (
        (LARDER, 'name = "sugar"\n', 'name = "sugar"\neach = { size = "2.3 grm", source = "memory" }\n'),
        ('role = "sweetener"', "sugar", "each.size"),
        ('"grm" is not a unit', 'write "g"'),
    ),
    "a pack of unknown size": (
        (SPIRITS, 'size = "750 ml", price = 24.00', 'size = "750 mll", price = 24.00'),
        ("price = 24.00", "gin", "pack.size"),
        ('"mll" is not a unit', 'write "ml"'),
    ),
    "a key nobody knows within a key": (
        (SPIRITS, "price = 24.00", "prize = 24.00"),
        ("price = 24.00", "gin", "pack.prize"),
        ('there is no key "prize"', 'write "price"'),
    ),
    "a step without a number": (
        ("house.toml", '"1/4 oz"', '"a quarter"'),
        ("jigger_step", "", "jigger_step"),
        ('"a quarter" does not begin with a number', 'write "3/4 oz", "1 1/2 oz", "22.5 ml"'),
    ),
    "a step in the wrong unit": (
        ("house.toml", '"1/4 oz"', '"5 ml"'),
        ("jigger_step", "", "jigger_step"),
        ('"5 ml" is not in oz', 'write "<number> oz"'),
    ),
    "a tax of eight hundred per cent": (
        ("house.toml", "sales_tax = 0.08", "sales_tax = 8"),
        ("sales_tax", "", "sales_tax"),
        ("8 is not below 1", "write a fraction, as 0.08 for 8 per cent"),
    ),
    "a single entry where a list is meant": (
        ("glasses.toml", '[[glass]]\nname = "coupe"\ncapacity_ml = 180\n\n[[glass]]', "[glass]"),
        ("[[glass]]", "", ""),
        ('"glass" is not a list of entries', "write [[glass]]"),
    ),
}


class TestFaults:
    """Each kind of fault, found where it stands."""

    @pytest.mark.parametrize("case", SPOILED)
    def test_a_fault_names_its_line_and_its_mend(self, case: str, tmp_path: Path) -> None:
        """File, line, entry, field, problem and mend are those of the spoiled place."""
        change, (on_line, entry, field), (problem, mend) = SPOILED[case]
        faults = find_faults(write_book(tmp_path, change))
        expected = (change[0], line_with(change[0], on_line), entry, field, problem, mend)
        found = [(f.file, f.line, f.entry, f.field, f.problem, f.mend) for f in faults]
        assert expected in found

    @pytest.mark.parametrize("case", sorted(set(SPOILED) - {"a single entry where a list is meant"}))
    def test_one_slip_is_told_once(self, case: str, tmp_path: Path) -> None:
        """A slip brings no other faults after it, though the entry it stands in cannot be used."""
        only_fault(write_book(tmp_path, SPOILED[case][0]))

    def test_a_file_that_is_not_toml_is_told_with_its_line(self, tmp_path: Path) -> None:
        """An unclosed quote is found on its line, and what it hides raises no false alarm."""
        fault = only_fault(write_book(tmp_path, (SPIRITS, 'name = "gin"', 'name = "gin')))
        assert (fault.file, fault.line) == (SPIRITS, line_with(SPIRITS, 'name = "gin"'))
        assert fault.problem.startswith("this is not TOML")

    def test_a_file_that_ends_too_soon_is_told_at_its_end(self, tmp_path: Path) -> None:
        """An array left open is noticed at the last line."""
        folder = write_book(tmp_path)
        (folder / "glasses.toml").write_text('[[glass]]\nname = "coupe"\nsay = [\n', encoding="utf-8")
        assert only_fault(folder).line == 3

    def test_other_files_in_the_folder_are_left_alone(self, tmp_path: Path) -> None:
        """Notes and pictures beside the TOML files are nobody's business."""
        folder = write_book(tmp_path)
        (folder / "notes.txt").write_text("order limes", encoding="utf-8")
        assert find_faults(folder) == ()

    def test_a_file_that_is_not_text_is_told(self, tmp_path: Path) -> None:
        """A picture in the book's folder does not crash it."""
        folder = write_book(tmp_path)
        (folder / CLASSICS).write_bytes(b"\xff\xfe\x00")
        assert only_fault(folder).problem == "the file is not UTF-8 text"

    def test_without_house_settings_there_is_no_book(self, tmp_path: Path) -> None:
        """house.toml missing is one fault, not fifty."""
        folder = write_book(tmp_path)
        (folder / "house.toml").unlink()
        assert (only_fault(folder).file, only_fault(folder).problem) == ("house.toml", "the file is missing")

    def test_a_folder_that_is_not_there_is_told(self, tmp_path: Path) -> None:
        """A wrong path is named."""
        fault = only_fault(tmp_path / "nowhere")
        assert (fault.file, fault.problem) == (str(tmp_path / "nowhere"), "there is no such folder")

    def test_every_fault_is_told_at_once_in_the_order_of_the_files(self, tmp_path: Path) -> None:
        """Three slips in three files are three faults, and loading raises them together."""
        cases = ("unknown unit", "strength over a hundred", "a wrong line in a recipe of its own")
        folder = write_book(tmp_path, *(SPOILED[case][0] for case in cases))
        with pytest.raises(BookError) as raised:
            load_book(folder)
        assert [fault.file for fault in raised.value.faults] == [CLASSICS, LARDER, SPIRITS]
        assert str(raised.value).count("\n") == 2

    def test_recipes_that_need_each_other_are_one_circle(self, tmp_path: Path) -> None:
        """A circle of two is told once, with both names."""
        made = (
            '\n[[ingredient]]\nname = "cordial"\nrole = "sweetener"\n[ingredient.made]\npours = ["1 oz simple syrup"]\n'
        )
        rest = 'makes = "30 ml"\nsteps = ["Stir."]\n\n[[ingredient]]\nname = "lime wheel"'
        folder = write_book(
            tmp_path,
            (LARDER, '"500 g sugar"', '"1 oz cordial"'),
            (LARDER, '[[ingredient]]\nname = "lime wheel"', made.lstrip() + rest),
        )
        assert only_fault(folder).problem == "the recipe goes in a circle: simple syrup > cordial > simple syrup"


class TestWarnings:
    """What the book may leave unknown, and is told all the same."""

    @pytest.mark.parametrize(
        ("change", "entry", "problem"),
        [
            ((SPIRITS, "allergens = []\nstand_ins", "stand_ins"), "gin", "allergens are unknown"),
            ((SPIRITS, 'pack = { size = "750 ml", price = 24.00 }\n', ""), "gin", "price is unknown"),
            ((CLASSICS, "price = 12.00\n", ""), "Gin Sour", "menu price is unknown"),
            (
                (
                    SPIRITS,
                    'role = "base"\nsay = ["dry gin"]\nabv = { value = 40',
                    'role = "liqueur"\nabv = { value = 12',
                ),
                "gin",
                "12 % vol is weak for a liqueur (EU: 15 % vol at least)",
            ),
            (
                (
                    LARDER,
                    'size = "1 piece", price = 0.45, usable = "27 ml", source = "memory"',
                    'size = "1 kg", price = 4',
                ),
                "lime juice",
                "the price does not tell what it costs in Gin Sour, Vodka Sour",
            ),
            (
                (SPIRITS, 'abv = { value = 38, source = "label" }\n', ""),
                "vodka",
                "abv is unknown, and with it the balance of Vodka Sour",
            ),
            (
                (CLASSICS, '"1 oz lime juice"]', '"1 piece sugar"]'),
                "sugar",
                "amount is unknown, and with it the balance of Vodka Sour",
            ),
        ],
        ids=["allergens", "pack", "menu price", "weak liqueur", "other measure", "strength", "pieces"],
    )
    def test_what_is_unknown_is_a_warning_and_the_book_still_loads(
        self, change: tuple[str, str, str], entry: str, problem: str, tmp_path: Path
    ) -> None:
        """A warning names the entry and keeps nobody from pouring."""
        folder = write_book(tmp_path, change)
        warnings = [(f.entry, f.problem, f.severity) for f in find_faults(folder)]
        assert (entry, problem, "warning") in warnings
        assert {severity for _, _, severity in warnings} == {"warning"}
        assert load_book(folder).drinks

    def test_a_fault_prints_as_one_line(self) -> None:
        """A compiler's line: file, line, severity, place, problem, mend."""
        fault = Fault(CLASSICS, 7, "Gin Sour", "pours", 'no ingredient is called "gni"', 'write "gin"')
        expected = 'classics.toml:7: fault: Gin Sour, pours: no ingredient is called "gni"; write "gin"'
        assert str(fault) == expected
