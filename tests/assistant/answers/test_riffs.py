"""What is said of riffs: the swap, what it does, three ideas, and a name to keep."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.answers.base import KeepDrink
from assistant.answers.riffs import HANDLERS
from assistant.messages import Bars, Table
from grammar.command import Intent
from recipes.model import Drink
from tests.assistant.answers.sayable import faults_aloud
from tests.assistant.answers.talking import Talk
from tests.made_up import the_book

BOOK = the_book()
LONGEST = 75  # words of a riff: it is read once, with the card in sight


@pytest.fixture
def talk() -> Talk:
    """A conversation about riffs."""
    return Talk(HANDLERS, BOOK)


class TestOneSwap:
    """'Swap the base for mezcal.'"""

    @pytest.mark.parametrize(
        "slots",
        [{"ingredient_2": "tequila"}, {"role": "base"}, {}],
        ids=["by ingredient", "by role", "by what comes in"],
    )
    def test_the_slot_can_be_named_or_left_to_the_trade(self, talk: Talk, slots: dict[str, str]) -> None:
        """All three mean the same swap."""
        said = talk.say("riff", drink="Margarita", ingredient="mezcal", **slots)
        assert said.startswith("Mezcal Margarita: two ounces mezcal for the tequila. A touch stronger and ")
        assert said.endswith("dearer. To keep it, say: call it, and a name.")

    def test_allergens_are_said_first(self, talk: Talk) -> None:
        """Orgeat brings nuts; that is heard before any amount."""
        answer = talk.ask("riff", drink="Daiquiri", ingredient="orgeat", role="sweetener")
        assert answer.reply.say.startswith("The Daiquiri with orgeat brings nuts.")
        assert any("nuts" in caution for caution in answer.reply.cautions)

    def test_an_ingredient_of_unknown_allergens_is_said_to_be_one(self, talk: Talk) -> None:
        """Missing data is asked about, never taken for none."""
        unknown = replace(BOOK.ingredients["mezcal"], allergens=None)
        talk.book = replace(BOOK, ingredients={**BOOK.ingredients, "mezcal": unknown})
        said = talk.say("riff", drink="Margarita", ingredient="mezcal")
        assert said.startswith("The allergens of mezcal are unknown, so ask.")

    def test_what_else_moved_is_told(self, talk: Talk) -> None:
        """A shrub brings vinegar of its own, so the lemon steps back."""
        said = talk.say("riff", drink="Jack Rose", ingredient="raspberry shrub")
        assert "To hold the balance, lemon juice goes down to half an ounce." in said

    def test_a_newcomer_poured_short_is_told_with_both_amounts(self, talk: Talk) -> None:
        """Half an ounce of rich syrup does the work of three quarters of simple."""
        said = talk.say("riff", drink="Daiquiri", ingredient="rich syrup")
        assert "half an ounce rich syrup for three quarters of an ounce simple syrup." in said

    def test_what_becomes_another_drink_is_told(self, talk: Talk) -> None:
        """A liqueur for the syrup makes a daisy of it."""
        said = talk.say("riff", drink="Daiquiri", ingredient="green herbal liqueur", role="sweetener")
        assert "That is no longer near the old balance, so it is brought to that of a daisy." in said

    def test_a_riff_that_the_book_knows_is_told(self, talk: Talk) -> None:
        """Bourbon in a negroni is poured as the drink that it is, and there is no need to keep that."""
        said = talk.say("riff", drink="Negroni", ingredient="bourbon")
        assert "one and a half ounces bourbon for one ounce gin." in said
        assert said.endswith("That is the Boulevardier, poured as the book has it.")

    def test_what_the_jigger_cannot_mend_is_said_to_be_off(self, talk: Talk) -> None:
        """Verjus is no lime, however much of it is poured."""
        said = talk.say("riff", drink="Daiquiri", ingredient="verjus")
        assert "as the jigger brings it" in said

    def test_what_is_out_is_said_to_be(self) -> None:
        """The riff is worked out all the same."""
        said = Talk(HANDLERS, BOOK, frozenset({"mezcal"})).say("riff", drink="Margarita", ingredient="mezcal")
        assert said.startswith("Mezcal is out tonight, but for when it is back:")

    def test_unknown_numbers_are_said_to_be(self, talk: Talk) -> None:
        """No strength is made up."""
        unknown = replace(BOOK.ingredients["mezcal"], abv=None)
        talk.book = replace(BOOK, ingredients={**BOOK.ingredients, "mezcal": unknown})
        said = talk.say("riff", drink="Margarita", ingredient="mezcal")
        assert "The book does not know enough to compare strength" in said

    def test_the_card_sets_both_side_by_side(self, talk: Talk) -> None:
        """Bars with a second figure, and both specs."""
        card = talk.ask("riff", drink="Margarita", ingredient="mezcal").reply.card
        assert card is not None
        assert (card.kind, card.title) == ("riff", "Mezcal Margarita")
        picture = next(block for block in card.blocks if isinstance(block, Bars))
        assert picture.names == ("Margarita", "Riff")
        assert all(bar.second is not None for bar in picture.bars)
        assert any(isinstance(block, Table) and block.heads == ("", "Margarita", "Riff") for block in card.blocks)

    def test_the_drink_talked_of_is_riffed_on(self, talk: Talk) -> None:
        """'Make it with mezcal.'"""
        talk.ask("riff", drink="Margarita", ingredient="curacao")
        assert talk.say("riff", ingredient="mezcal").startswith("Mezcal Margarita")


class TestWhichSlot:
    """When it is not clear what should go."""

    def test_it_asks_what_the_newcomer_should_replace(self, talk: Talk) -> None:
        """Every pour is a choice, and each choice is the whole swap."""
        reply = talk.ask("riff", drink="Gin and Tonic", ingredient="verjus").reply
        assert reply.say == "What should verjus replace in the Gin and Tonic: gin or tonic water?"
        assert reply.asks is not None
        assert [choice.label for choice in reply.asks.choices] == ["gin", "tonic water"]
        assert reply.asks.choices[0].command.slots == {
            "drink": "Gin and Tonic",
            "ingredient": "verjus",
            "ingredient_2": "gin",
        }

    def test_a_slot_that_is_not_there_is_said_to_be_missing(self, talk: Talk) -> None:
        """And what is there is named."""
        reply = talk.ask("riff", drink="Gin and Tonic", ingredient="verjus", role="acid").reply
        assert (
            reply.say
            == "There is no acid in the Gin and Tonic. It pours gin and tonic water. What should verjus replace?"
        )
        assert reply.asks is not None

    def test_without_a_newcomer_it_asks_which_should_go(self, talk: Talk) -> None:
        """No idea is offered for a slot that is not there."""
        assert talk.say("riff", drink="Gin and Tonic", role="acid") == (
            "There is no acid in the Gin and Tonic. It pours gin and tonic water. Which of them should go?"
        )

    def test_what_it_already_pours_is_said_to_be_there(self, talk: Talk) -> None:
        """Gin for gin is no riff."""
        assert talk.say("riff", drink="Gimlet", ingredient="gin") == (
            "The Gimlet already pours gin. Name something else to put in."
        )


class TestIdeas:
    """'Riff on the gimlet with what we have.'"""

    def test_three_are_offered_the_base_first(self, talk: Talk) -> None:
        """One for each main slot, and each can be chosen."""
        reply = talk.ask("riff", drink="Margarita").reply
        assert reply.say == (
            "For a riff on the Margarita from what we have: mezcal for the tequila, curacao for the orange liqueur "
            "or lemon juice for the lime juice. Which one?"
        )
        assert reply.asks is not None
        assert [choice.label for choice in reply.asks.choices] == ["mezcal", "curacao", "lemon juice"]
        assert {choice.command.intent for choice in reply.asks.choices} == {Intent.RIFF}

    def test_a_choice_is_a_riff(self, talk: Talk) -> None:
        """What was offered can be done."""
        asks = talk.ask("riff", drink="Margarita").reply.asks
        assert asks is not None
        said = talk.say("riff", **asks.choices[0].command.slots)
        assert said.startswith("Mezcal Margarita")

    def test_what_is_out_is_not_offered(self) -> None:
        """The next best takes its place."""
        said = Talk(HANDLERS, BOOK, frozenset({"mezcal"})).say("riff", drink="Margarita")
        assert "mezcal" not in said

    def test_a_named_slot_gets_all_three(self, talk: Talk) -> None:
        """'What could I swap the base for?'"""
        reply = talk.ask("riff", drink="Gimlet", role="base").reply
        assert re.fullmatch(
            r"For a riff on the Gimlet from what we have: .*, .* or .* for the gin\. Which one\?", reply.say
        )

    def test_with_nothing_fit_it_says_so(self) -> None:
        """An empty shelf offers nothing."""
        talk = Talk(HANDLERS, BOOK, frozenset(BOOK.ingredients))
        assert talk.say("riff", drink="Gimlet") == (
            "Nothing on the shelf would do in the Gimlet without making another drink of it. Name something to put in."
        )
        assert "for the gin in the Gimlet" in talk.say("riff", drink="Gimlet", role="base")


class TestKeeping:
    """'Call it Harbour Smoke.'"""

    def test_a_named_riff_goes_into_the_book(self, talk: Talk) -> None:
        """As it was read out, under its new name, and it can be undone."""
        talk.ask("riff", drink="Margarita", ingredient="mezcal")
        answer = talk.ask("riff", text="harbour smoke")
        assert answer.reply.say == (
            "Kept as Harbour Smoke: Margarita with mezcal for tequila. Say undo to take it out of the book again."
        )
        assert isinstance(answer.change, KeepDrink)
        kept = answer.change.drink
        assert (kept.name, kept.pours[0].ingredient, kept.pours[0].amount.number) == (
            "Harbour Smoke",
            "mezcal",
            Decimal(2),
        )
        assert (talk.focus.drink, talk.focus.other) == ("Harbour Smoke", "Margarita")

    def test_it_is_kept_once(self, talk: Talk) -> None:
        """A second name needs a second riff."""
        talk.ask("riff", drink="Margarita", ingredient="mezcal")
        talk.ask("riff", text="harbour smoke")
        talk.book = talk.book.with_drinks([replace(BOOK.drinks["Margarita"], name="Harbour Smoke")])
        assert talk.say("riff", text="second wind").startswith("There is no riff to name.")

    def test_without_a_riff_there_is_nothing_to_name(self, talk: Talk) -> None:
        """It says how to make one."""
        answer = talk.ask("riff", text="harbour smoke")
        assert answer.change is None
        assert answer.reply.say == "There is no riff to name. Make one first, for example: riff on the Daiquiri."

    @pytest.mark.parametrize("name", ["gimlet", "the gimlet", "GIMLET"])
    def test_a_name_of_the_book_is_not_taken_twice(self, talk: Talk, name: str) -> None:
        """The book's own drink is not overwritten, however it is said."""
        talk.ask("riff", drink="Margarita", ingredient="mezcal")
        answer = talk.ask("riff", text=name)
        assert answer.change is None
        assert answer.reply.say == "The book already has a drink called Gimlet. Call it something else."

    def test_the_riff_can_still_be_named_after_that(self, talk: Talk) -> None:
        """A name that was taken loses nothing."""
        talk.ask("riff", drink="Margarita", ingredient="mezcal")
        talk.ask("riff", text="gimlet")
        assert isinstance(talk.ask("riff", text="harbour smoke").change, KeepDrink)


@pytest.mark.parametrize("drink", BOOK.drinks.values(), ids=lambda drink: drink.name)
def test_every_idea_for_every_drink_can_be_told_in_words(talk: Talk, drink: Drink) -> None:
    """Sentences with stops, short enough to be heard, and no digit or symbol in them."""
    asks = talk.ask("riff", drink=drink.name).reply.asks
    for choice in asks.choices if asks else ():
        said = talk.say("riff", **choice.command.slots)
        assert (faults_aloud(said, drink.name), said) == ("", said)
        assert len(said.split()) <= LONGEST, said
