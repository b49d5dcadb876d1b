"""Riffs: one slot swapped, the formula kept, and the drink brought back to where it was."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recipes.balance import balance
from recipes.model import Drink, Role
from recipes.riffs import RIFFS, TOO_FAR, best_swaps, main_slots, riff, slot_for, slot_of, swap
from recipes.spec import written
from recipes.units import POURED, Amount, Unit
from tests.made_up import made_up, the_book

BOOK = the_book()
DRINKS = list(BOOK.drinks.values())
ANY_INGREDIENT = [i.name for i in BOOK.ingredients.values() if i.role is not Role.GARNISH]


def poured(drink: Drink) -> list[str]:
    """The lines of a drink, as written."""
    return [f"{written(pour.amount)} {pour.ingredient}" for pour in drink.pours]


def swapped(drink: str, word: str, coming: str) -> Drink:
    """A drink of the book with the slot of that word swapped."""
    went = slot_of(BOOK.drinks[drink], word)
    assert went is not None
    return swap(BOOK.drinks[drink], went, coming, BOOK)


class TestSwap:
    """One pour goes, another comes."""

    def test_the_slot_keeps_its_amount_its_role_and_its_place(self) -> None:
        """Mezcal goes where the tequila was."""
        old, new = BOOK.drinks["Margarita"], swapped("Margarita", "base", "mezcal")
        assert new.pours == (replace(old.pours[0], ingredient="mezcal"), *old.pours[1:])
        assert (new.method, new.glass, new.ice, new.garnish) == (old.method, old.glass, old.ice, old.garnish)

    def test_the_steps_speak_of_the_newcomer(self) -> None:
        """Nobody reads 'shake tequila' over a mezcal drink."""
        steps = " ".join(swapped("Margarita", "base", "mezcal").steps)
        assert "mezcal" in steps
        assert "tequila" not in steps

    def test_nothing_of_the_old_drinks_standing_is_kept(self) -> None:
        """A riff is on no handbook's shelf, and has no first print."""
        new = swapped("Margarita", "base", "mezcal")
        assert (new.shelf, new.family, new.first_print, new.source, new.spoken) == (RIFFS, None, "", "", ())
        assert new.note == "Margarita with mezcal for tequila"

    @pytest.mark.parametrize(
        ("drink", "word", "coming", "name"),
        [
            ("Gimlet", "base", "aged rum", "Aged Rum Gimlet"),
            ("Daiquiri", "sweetener", "orgeat", "Daiquiri with orgeat"),
            ("Alexander", "gin", "cognac", "Cognac Alexander"),
        ],
    )
    def test_it_goes_by_a_provisional_name(self, drink: str, word: str, coming: str, name: str) -> None:
        """A new base names the drink; anything else is 'with'."""
        assert swapped(drink, word, coming).name == name

    def test_a_name_that_is_taken_is_told_apart(self) -> None:
        """The book's own drink is not shadowed."""
        book = BOOK.with_drinks([made_up("2 oz mezcal", name="Mezcal Margarita")])
        drink = book.drinks["Margarita"]
        assert swap(drink, drink.pours[0], "mezcal", book).name == "Mezcal Margarita riff"

    def test_what_it_already_pours_cannot_come_in(self) -> None:
        """Two lines of orange liqueur are no riff."""
        with pytest.raises(ValueError, match="orange liqueur"):
            swapped("Margarita", "base", "orange liqueur")

    def test_what_the_book_does_not_have_cannot_come_in(self) -> None:
        """Only ingredients of the book can be weighed."""
        with pytest.raises(KeyError):
            swapped("Margarita", "base", "moonshine")

    @pytest.mark.parametrize(
        ("drink", "word", "coming", "amount"),
        [
            ("Old Fashioned", "sugar", "maple syrup", Amount(Decimal(1), Unit.BARSPOON)),
            ("Old Fashioned", "sugar", "demerara sugar", Amount(Decimal(1), Unit.CUBE)),
            ("Clover Club", "egg white", "heavy cream", Amount(Decimal("1.0"), Unit.OUNCE)),
            ("Clover Club", "egg white", "whole egg", Amount(Decimal(1), Unit.PIECE)),
            ("Mint Julep", "mint", "basil", Amount(Decimal(10), Unit.LEAF)),
        ],
    )
    def test_what_no_jigger_measures_becomes_what_one_can(
        self, drink: str, word: str, coming: str, amount: Amount
    ) -> None:
        """A cube of sugar becomes a barspoon of syrup, an egg white an ounce of cream; an egg stays an egg."""
        pour = swapped(drink, word, coming).pour_of(coming)
        assert pour is not None
        assert pour.amount == amount


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(DRINKS), st.floats(0, 1, exclude_max=True), st.sampled_from(ANY_INGREDIENT))
def test_a_riff_of_a_riff_back_is_the_original(drink: Drink, share: float, coming: str) -> None:
    """Swapped in and swapped out again, every pour is as it was, for all that a jigger or a spoon measures."""
    went = drink.pours[int(share * len(drink.pours))]
    if drink.pour_of(coming) or went.amount.unit not in POURED:
        return
    there = swap(drink, went, coming, BOOK)
    came = there.pour_of(coming)
    assert came is not None
    assert swap(there, came, went.ingredient, BOOK).pours == drink.pours


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(DRINKS), st.floats(0, 1, exclude_max=True), st.sampled_from(ANY_INGREDIENT))
def test_a_riff_of_a_riff_back_is_the_original_re_balanced_too(drink: Drink, share: float, coming: str) -> None:
    """Whatever moved to hold the balance on the way out stands where the book has it again."""
    went = drink.pours[int(share * len(drink.pours))]
    if drink.pour_of(coming):
        return
    there = riff(drink, went, coming, BOOK)
    back = riff(there.drink, there.came, went.ingredient, BOOK)
    assert back.drink.pours == drink.pours
    assert back.as_known


class TestSlots:
    """Which pour a word means."""

    @pytest.mark.parametrize(
        ("drink", "word", "ingredient"),
        [
            ("Margarita", "tequila", "tequila"),
            ("Margarita", "base", "tequila"),
            ("Margarita", "acid", "lime juice"),
            ("Fish House Punch", "base", "dark rum"),
            ("Margarita", "egg", None),
            ("Margarita", "gin", None),
        ],
    )
    def test_a_slot_is_named_by_its_ingredient_or_its_role(self, drink: str, word: str, ingredient: str | None) -> None:
        """Of two of a role, the larger is meant."""
        found = slot_of(BOOK.drinks[drink], word)
        assert (found and found.ingredient) == ingredient

    @pytest.mark.parametrize(
        ("drink", "coming", "ingredient"),
        [
            ("Margarita", "mezcal", "tequila"),
            ("Margarita", "curacao", "orange liqueur"),
            ("Vieux Carre", "apple brandy", "cognac"),
            ("Vieux Carre", "bourbon", "rye whiskey"),
            ("Daiquiri", "falernum", "simple syrup"),
            ("Gin and Tonic", "verjus", None),
        ],
    )
    def test_a_newcomer_takes_the_place_of_its_own_kind(self, drink: str, coming: str, ingredient: str | None) -> None:
        """Brandy for brandy, then any base, then what does nearly the same work; else nobody guesses."""
        found = slot_for(BOOK.drinks[drink], coming, BOOK)
        assert (found and found.ingredient) == ingredient

    def test_a_bar_thinks_of_the_base_first_and_the_length_last(self) -> None:
        """The order in which riffs are offered."""
        assert [pour.role for pour in main_slots(BOOK.drinks["Tom Collins"])] == [
            Role.BASE,
            Role.SWEETENER,
            Role.ACID,
            Role.LENGTHENER,
        ]


class TestRiff:
    """The swap, re-balanced."""

    def test_a_stronger_syrup_is_poured_short(self) -> None:
        """Rich syrup carries 1.44 times the sugar (NBS Circular C440), so three quarters become half an ounce."""
        drink = BOOK.drinks["Daiquiri"]
        found = riff(drink, drink.pours[2], "rich syrup", BOOK)
        assert poured(found.drink) == ["2 oz white rum", "3/4 oz lime juice", "1/2 oz rich syrup"]
        assert [(m.ingredient, m.before.number, m.after.number) for m in found.moved] == [
            ("rich syrup", Decimal("0.75"), Decimal("0.5"))
        ]
        assert found.distance < found.before

    def test_what_is_another_drink_is_brought_to_its_own_family(self) -> None:
        """A daiquiri with a herbal liqueur for its syrup is a daisy, and is poured like one."""
        drink = BOOK.drinks["Daiquiri"]
        found = riff(drink, drink.pours[2], "green herbal liqueur", BOOK)
        assert found.family == "daisy"
        assert poured(found.drink) == ["2 oz white rum", "3/4 oz lime juice", "3/4 oz green herbal liqueur"]
        assert found.distance <= found.before

    def test_what_stays_near_is_held_to_the_old_balance(self) -> None:
        """Mezcal in a margarita needs no family to tell it what to be."""
        drink = BOOK.drinks["Margarita"]
        found = riff(drink, drink.pours[0], "mezcal", BOOK)
        assert (found.family, found.moved) == (None, ())
        assert found.distance < TOO_FAR

    def test_the_change_is_the_difference_of_the_two_balances(self) -> None:
        """What is shown is reckoned by the balance, not by the search."""
        drink = BOOK.drinks["Negroni"]
        found = riff(drink, drink.pours[1], "amaro", BOOK)
        old, new = balance(drink, BOOK), balance(found.drink, BOOK)
        assert old.sugar is not None
        assert new.sugar is not None
        assert found.sides.change.sugar == (new.sugar - old.sugar).m_as("gram/liter")

    @pytest.mark.parametrize(
        ("drink", "slot", "coming", "known"),
        [
            ("Negroni", 0, "bourbon", "Boulevardier"),
            ("Alexander", 0, "cognac", "Brandy Alexander"),
            ("Margarita", 0, "mezcal", None),
        ],
    )
    def test_a_riff_that_the_book_knows_is_told(self, drink: str, slot: int, coming: str, known: str | None) -> None:
        """Bourbon in a negroni has a name already."""
        old = BOOK.drinks[drink]
        assert riff(old, old.pours[slot], coming, BOOK).known_as == known

    def test_a_drink_of_the_book_is_poured_as_the_book_has_it(self) -> None:
        """A Boulevardier takes an ounce and a half of bourbon, whatever a Negroni takes of gin."""
        drink = BOOK.drinks["Negroni"]
        found = riff(drink, drink.pours[0], "bourbon", BOOK)
        assert found.as_known
        assert found.drink.pours == BOOK.drinks["Boulevardier"].pours
        assert [(m.ingredient, m.before.number, m.after.number) for m in found.moved] == [
            ("bourbon", Decimal("1"), Decimal("1.5"))
        ]

    def test_other_amounts_of_what_never_moves_make_another_drink(self) -> None:
        """With twice the bitters it is a Manhattan no more, so nothing of the book's takes over."""
        rob_roy = BOOK.drinks["Rob Roy"]
        bitters = next(pour for pour in rob_roy.pours if pour.role is Role.BITTERS)
        twice = replace(bitters, amount=replace(bitters.amount, number=2 * bitters.amount.number))
        drink = replace(rob_roy, pours=tuple(twice if pour is bitters else pour for pour in rob_roy.pours))
        found = riff(drink, drink.pours[0], "rye whiskey", BOOK)
        assert (found.known_as, found.as_known) == ("Manhattan", False)
        assert twice in found.drink.pours


class TestBestSwaps:
    """The whole shelf, ranked."""

    def test_the_best_are_what_a_bar_would_reach_for(self) -> None:
        """Mezcal for tequila, curacao for orange liqueur, lemon for lime."""
        drink = BOOK.drinks["Margarita"]
        best = {pour.ingredient: best_swaps(drink, BOOK, slots=[pour])[0].coming for pour in drink.pours}
        assert best == {"tequila": "mezcal", "orange liqueur": "curacao", "lime juice": "lemon juice"}

    def test_what_is_out_is_not_offered(self) -> None:
        """Nor is what the drink already pours, nor what is never poured."""
        drink = BOOK.drinks["Margarita"]
        offered = {offer.coming for offer in best_swaps(drink, BOOK, out=["mezcal"])}
        assert offered.isdisjoint({"mezcal", "tequila", "lime juice", "mint", "fine salt", "lime wheel"})

    def test_every_slot_is_tried_with_the_whole_shelf(self) -> None:
        """Every ingredient that can be poured, in every slot, once."""
        drink = BOOK.drinks["Margarita"]
        offers = best_swaps(drink, BOOK)
        pairs = {(offer.went.ingredient, offer.coming) for offer in offers}
        shelf = [n for n in ANY_INGREDIENT if BOOK.ingredients[n].role not in (Role.HERB, Role.SALT)]
        assert len(offers) == len(pairs) == len(drink.pours) * (len(shelf) - len(drink.pours))

    def test_they_come_best_first(self) -> None:
        """The score rises from first to last."""
        scores = [offer.score for offer in best_swaps(BOOK.drinks["Negroni"], BOOK)]
        assert scores == sorted(scores)

    def test_what_does_other_work_is_not_worth_offering(self) -> None:
        """Soda is no stand-in for egg white, however near the numbers come."""
        drink = BOOK.drinks["Clover Club"]
        egg = slot_of(drink, "egg")
        assert egg is not None
        worth = {offer.coming for offer in best_swaps(drink, BOOK, slots=[egg]) if offer.is_worth_offering}
        assert "soda water" not in worth
        assert "egg yolk" in worth

    def test_the_distance_is_that_of_the_riff_itself(self) -> None:
        """What is ranked and what is then made agree."""
        drink = BOOK.drinks["Whiskey Sour"]
        for offer in best_swaps(drink, BOOK)[:5]:
            assert riff(drink, offer.went, offer.coming, BOOK).distance == pytest.approx(offer.distance)

    def test_an_ingredient_that_is_a_riddle_is_not_ranked_first(self) -> None:
        """Missing numbers count against it."""
        unknown = replace(BOOK.ingredients["mezcal"], abv=None)
        book = replace(BOOK, ingredients={**BOOK.ingredients, "mezcal": unknown})
        drink = book.drinks["Margarita"]
        assert best_swaps(drink, book, slots=[drink.pours[0]])[0].coming != "mezcal"
