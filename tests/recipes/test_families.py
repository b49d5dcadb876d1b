"""A drink is placed in its family by its structure, as the trade teaches it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from recipes.families import branches, classify, family_called, formula
from recipes.model import Book, Drink, FamilyRule, Structure
from recipes.units import quantity
from tests.made_up import made_up, the_book

BOOK = the_book()
CLASSICS = [drink for drink in BOOK.drinks.values() if drink.family is not None]


def case(family: str | None, note: str, *lines: str, **made: Any) -> Any:
    """A made-up structure, the family a bartender would give it (common practice), and why."""
    return pytest.param(made_up(*lines, **made), family, id=f"{family}: {note}")


MADE_UP = [
    case("sour", "base, citrus, sugar", "2 oz rye whiskey", "3/4 oz lemon juice", "3/4 oz honey syrup"),
    case("sour", "a cordial is citrus and sugar in one", "2 oz aquavit", "1 oz lime cordial"),
    case(
        "sour",
        "a little juice does not make a punch",
        *("2 oz tequila", "3/4 oz lime juice", "1/2 oz agave syrup", "1/2 oz grapefruit juice"),
        ice="cubed",
    ),
    case("daisy", "the sugar is a liqueur", "2 oz mezcal", "3/4 oz apricot liqueur", "3/4 oz lime juice"),
    case(
        "daisy",
        "a bitter liqueur is still a liqueur",
        "2 oz gin",
        "3/4 oz bitter orange aperitif",
        "3/4 oz lemon juice",
    ),
    case(
        "equal-part sour",
        "a daisy where nothing leads",
        *("3/4 oz mezcal", "3/4 oz curacao", "3/4 oz lime juice", "3/4 oz fino sherry"),
    ),
    case(
        "egg sour",
        "egg white goes before the sugar's kind",
        *("2 oz aged rum", "3/4 oz lemon juice", "1/2 oz peach liqueur", "1 piece egg white"),
    ),
    case(
        "crusta",
        "the sugared rim and the bitters tell it",
        *("2 oz apple brandy", "1/2 oz curacao", "1/2 oz lemon juice", "2 dashes aromatic bitters"),
        garnish=("sugar rim",),
    ),
    case(
        "fizz",
        "shaken, and no ice in the glass",
        *("2 oz gin", "3/4 oz lemon juice", "3/4 oz raspberry syrup", "2 oz soda water, to top"),
    ),
    case(
        "collins",
        "the same thing built long over ice",
        *("2 oz gin", "3/4 oz lemon juice", "3/4 oz raspberry syrup", "3 oz soda water, to top"),
        method="built",
        ice="cubed",
    ),
    case(
        "rickey", "no sugar at all", "2 oz tequila", "1/2 oz lime juice", "4 oz soda water", method="built", ice="cubed"
    ),
    case(
        "smash",
        "a sour with mint in it",
        *("2 oz dark rum", "3/4 oz lime juice", "3/4 oz demerara syrup", "8 leaves mint"),
        ice="crushed",
    ),
    case(
        "julep",
        "mint and sugar without the citrus",
        *("2 oz cognac", "1/4 oz demerara syrup", "8 leaves mint"),
        method="built",
        ice="crushed",
    ),
    case(
        "cobbler",
        "wine, sugar and fruit over crushed ice",
        *("3 oz ruby port", "1/2 oz simple syrup"),
        ice="crushed",
        garnish=("orange slice",),
    ),
    case(
        "swizzle",
        "the swizzle stick decides",
        *("2 oz cachaca", "3/4 oz lime juice", "1/2 oz falernum"),
        method="swizzled",
        ice="crushed",
    ),
    case(
        "punch",
        "lengthened with tea",
        *("1 1/2 oz dark rum", "1/2 oz cognac", "3/4 oz lemon juice", "3/4 oz simple syrup", "2 oz black tea"),
        ice="cubed",
    ),
    case(
        "buck",
        "ginger and citrus",
        "2 oz aquavit",
        "1/2 oz lime juice",
        "4 oz ginger beer",
        method="built",
        ice="cubed",
    ),
    case("highball", "ginger alone is only length", "2 oz rye whiskey", "4 oz ginger ale", method="built", ice="cubed"),
    case("highball", "spirit and soda", "2 oz irish whiskey", "4 oz soda water", method="built", ice="cubed"),
    case("flip", "a whole egg and no milk", "2 oz dark rum", "1/2 oz demerara syrup", "1 piece whole egg"),
    case(
        "eggnog",
        "a flip with milk",
        *("2 oz bourbon", "3/4 oz simple syrup", "1 piece whole egg", "2 oz whole milk"),
    ),
    case("milk punch", "milk and no egg", "2 oz scotch", "1/2 oz simple syrup", "3 oz whole milk"),
    case("after dinner", "spirit, liqueur, cream", "1 1/2 oz aged rum", "1 oz coffee liqueur", "1 oz heavy cream"),
    case("after dinner", "spirit and liqueur alone", "2 oz scotch", "3/4 oz amber herbal liqueur", method="stirred"),
    case("toddy", "hot and sweet", "2 oz apple brandy", "1/2 oz honey syrup", "4 oz water", method="built", ice="none"),
    case(
        "spritz",
        "bubbles, soda, an aperitif and no spirit",
        *("2 oz bitter orange aperitif", "3 oz sparkling wine", "1 oz soda water"),
        method="built",
        ice="cubed",
    ),
    case(
        "sparkling cocktail",
        "a short mix under bubbles",
        "1 oz gin",
        "1/2 oz elderflower liqueur",
        "4 oz sparkling wine",
    ),
    case("savoury", "tomato is neither sour nor sweet", "2 oz aquavit", "4 oz tomato juice", "1/2 oz lemon juice"),
    case(
        "spirit and vermouth",
        "the spirit leads",
        *("2 oz aged rum", "1 oz sweet vermouth", "2 dashes aromatic bitters"),
        method="stirred",
    ),
    case(
        "spirit and vermouth",
        "a dash of bitter liqueur only seasons",
        *("2 oz gin", "1 oz sweet vermouth", "1 barspoon fernet"),
        method="stirred",
    ),
    case(
        "equal-part aperitif",
        "three thirds, one of them bitter",
        *("1 oz mezcal", "1 oz bitter red aperitif", "1 oz sweet vermouth"),
        method="stirred",
    ),
    case(
        "equal-part aperitif",
        "the spirit leads by a little",
        *("1 1/2 oz aged rum", "1 oz amaro", "1 oz dry vermouth"),
        method="stirred",
    ),
    case(
        "fortified", "sherry where the spirit would be", "2 oz fino sherry", "3/4 oz blanc vermouth", method="stirred"
    ),
    case(
        "spirit-forward",
        "spirit, sugar, bitters",
        *("2 oz mezcal", "1/4 oz agave syrup", "2 dashes aromatic bitters"),
        method="stirred",
        ice="large cube",
    ),
    case("no alcohol", "tart, sweet and long", "1 oz verjus", "3/4 oz honey syrup", "4 oz soda water", method="built"),
    case(None, "milk and tea are no drink of this trade", "2 oz white wine", "2 oz whole milk"),
]


@pytest.mark.parametrize("drink", CLASSICS, ids=lambda drink: drink.name)
def test_every_classic_lands_in_the_family_that_handbooks_give_it(drink: Drink) -> None:
    """The rules, tried on the structure alone, agree with the label."""
    assert classify(drink, BOOK).family == drink.family


@pytest.mark.parametrize(("drink", "family"), MADE_UP)
def test_a_made_up_structure_is_placed_as_a_bartender_would(drink: Drink, family: str | None) -> None:
    """What no rule was written for lands where it belongs."""
    assert classify(drink, BOOK).family == family


def test_every_family_is_told_of_a_drink_of_the_book() -> None:
    """No family is there in name only."""
    placed = {classify(drink, BOOK).family for drink in BOOK.drinks.values()}
    assert set(BOOK.families) - placed == set()


class TestWhy:
    """The reason is part of the answer."""

    def test_the_slots_are_filled_in_the_order_a_bar_says_them(self) -> None:
        """The margarita: its base, its liqueur, its acid."""
        placed = classify(BOOK.drinks["Margarita"], BOOK)
        assert (placed.reason, placed.branch_of) == ("a base, a sweet liqueur and citrus", "sour")
        assert [slot.ingredients for slot in placed.filled] == [("tequila",), ("orange liqueur",), ("lime juice",)]

    def test_an_ingredient_fills_one_slot_only(self) -> None:
        """Nothing is counted twice, however many terms it answers to."""
        for drink in BOOK.drinks.values():
            names = [name for slot in classify(drink, BOOK).filled for name in slot.ingredients]
            assert len(names) == len(set(names)), drink.name

    def test_a_drink_of_no_family_is_told_what_it_lacks_for_the_nearest(self) -> None:
        """An egg short of a flip."""
        families = {name: BOOK.families[name] for name in ("eggnog", "flip")}
        placed = classify(made_up("2 oz dark rum", "1/2 oz simple syrup"), replace(BOOK, families=families))
        assert (placed.family, placed.near, placed.lacking) == (None, "flip", ("whole egg or egg yolk",))

    def test_without_any_families_nothing_is_claimed(self) -> None:
        """A book without families has no nearest either."""
        placed = classify(BOOK.drinks["Margarita"], replace(BOOK, families={}))
        assert (placed.family, placed.near) == (None, None)


RULE = FamilyRule("test", "test", "it is a test", Structure(), ("base",))


def rules(**structure: Any) -> Book:
    """The book with one rule only."""
    return replace(BOOK, families={"test": replace(RULE, when=Structure(**structure))})


class TestConditions:
    """Each condition of a rule, on two parts gin and one part vermouth with a dash of bitters."""

    DRINK = made_up("2 oz gin", "1 oz dry vermouth", "1 dash orange bitters", garnish=("lemon twist",))

    @pytest.mark.parametrize(
        ("structure", "holds"),
        [
            ({"has": ("base",)}, True),
            ({"has": ("vermouth",)}, True),
            ({"has": ("dry vermouth",)}, True),
            ({"has": ("lemon twist",)}, True),
            ({"has": ("egg or vermouth",)}, True),
            ({"has": ("base", "egg")}, False),
            ({"lacks": ("egg",)}, True),
            ({"lacks": ("egg", "gin")}, False),
            ({"methods": frozenset({"shaken"})}, True),
            ({"methods": frozenset({"built"})}, False),
            ({"ice": frozenset({"none"})}, True),
            ({"ice": frozenset({"crushed"})}, False),
            ({"share": {"base": (Decimal("0.6"), Decimal("0.7"))}}, True),
            ({"share": {"base": (Decimal("0.7"), Decimal(1))}}, False),
            ({"share": {"egg": (Decimal(0), Decimal("0.1"))}}, True),
            ({"parts": (2, 2)}, True),
            ({"parts": (3, 4)}, False),
            ({"spread": Decimal(2)}, True),
            ({"spread": Decimal("1.9")}, False),
        ],
        ids=str,
    )
    def test_a_condition_holds_or_does_not(self, structure: dict[str, Any], holds: bool) -> None:
        """Roles, kinds, names, methods, ice, shares and parts are all that a rule can ask."""
        assert (classify(self.DRINK, rules(**structure)).family == "test") is holds

    def test_a_pour_of_unknown_size_has_no_share(self) -> None:
        """It is seen, but it does not count as a part."""
        drink = made_up("2 oz gin", "1 piece lime juice")
        pieceless = replace(BOOK.ingredients["lime juice"], pack=None)
        book = rules(has=("acid",), share={"acid": (Decimal(0), Decimal(0))})
        book = replace(book, ingredients={**book.ingredients, "lime juice": pieceless})
        assert classify(drink, book).family == "test"

    def test_a_drink_of_no_size_at_all_meets_no_share(self) -> None:
        """Leaves alone have no proportions."""
        assert classify(made_up("8 leaves mint"), rules(share={"base": (Decimal(0), Decimal(1))})).family is None


class TestFormula:
    """What the drinks of a family have in common."""

    def test_the_ranges_are_those_of_the_classics(self) -> None:
        """Daisies pour one and a half to two ounces of base, by the book's own seven."""
        found = formula("daisy", BOOK)
        base = found.slots[0]
        poured = [sum(p.amount.number for p in BOOK.drinks[n].pours if p.role.value == "base") for n in found.drinks]
        ounce = BOOK.house.measures.ounce
        assert (base.term, base.drinks) == ("base", len(found.drinks))
        assert base.poured is not None
        assert (base.poured.low, base.poured.high) == (ounce * min(poured), ounce * max(poured))

    def test_what_is_counted_has_no_range(self) -> None:
        """Mint is told by the leaf, not by the ounce."""
        mint = formula("julep", BOOK).slots[-1]
        assert (mint.term, mint.poured, mint.ingredients) == ("mint", None, ("mint",))

    def test_a_slot_that_none_of_them_fills_is_left_out(self) -> None:
        """No rickey has a liqueur."""
        assert all(slot.drinks for family in BOOK.families for slot in formula(family, BOOK).slots)

    def test_a_family_without_classics_is_shown_by_the_houses_own(self) -> None:
        """The equal-part sour stands on the house's invention."""
        assert formula("equal-part sour", BOOK).drinks == ("Tidewrack",)

    def test_the_usual_amount_is_one_that_a_drink_really_has(self) -> None:
        """The middle of an even number is not an average nobody pours."""
        poured = formula("buck", BOOK).slots[0].poured
        assert poured is not None
        assert round(poured.usual / quantity("29.5735295625", "milliliter"), 3) == 2

    def test_an_unknown_family_is_refused(self) -> None:
        """Only families of the book have a formula."""
        with pytest.raises(KeyError):
            formula("grog", BOOK)


@pytest.mark.parametrize("name", ["buck", "Buck", "mule"])
def test_a_family_answers_to_its_id_its_title_and_what_people_say(name: str) -> None:
    """'What's a mule?' is about the buck."""
    rule = family_called(name, BOOK)
    assert rule is not None
    assert rule.id == "buck"


def test_an_unknown_name_is_no_family() -> None:
    """Nothing is guessed."""
    assert family_called("grog", BOOK) is None


def test_the_sour_knows_its_branches() -> None:
    """Daisy, crusta, fizz, rickey and egg sour all grew from it."""
    assert {rule.id for rule in branches("sour", BOOK)} >= {"daisy", "crusta", "fizz", "rickey", "egg sour"}
