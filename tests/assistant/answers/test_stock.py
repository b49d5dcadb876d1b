"""What a bartender hears when something runs out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers.base import Counted, Scene, SetOut
from assistant.answers.stock import back_in, makeable, out_of, substitute
from assistant.messages import Focus
from grammar.command import Command, Intent
from recipes.model import Book
from recipes.stocktake import OnHand
from recipes.units import quantity


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """An ordinary moment, on a shelf where lemon stands in for lime."""
    lime = replace(tiny_book.ingredients["lime juice"], stand_ins=("lemon juice",))
    book = replace(tiny_book, ingredients={**tiny_book.ingredients, lime.name: lime})
    return Scene(book, frozenset(), Focus())


class TestOutOf:
    """'We're out of lime.'"""

    def test_it_is_read_back_with_what_stops_and_what_stands_in(self, scene: Scene) -> None:
        """One reply notes it, names the drinks and offers the stand-in."""
        answer = out_of(Command(Intent.OUT_OF, {"ingredient": "lime juice"}), scene)
        assert answer.reply.say == (
            "Noted: lime juice is out. Use lemon juice instead of lime juice. "
            "Without lime juice three drinks cannot be made: Daiquiri, Southside and Gin Rickey."
        )
        assert answer.change == SetOut("lime juice", out=True)

    def test_two_things_at_once_are_noted_together(self, scene: Scene) -> None:
        """'We're out of gin and mint' is one change of two things, undone as one."""
        answer = out_of(Command(Intent.OUT_OF, {"ingredient": "gin", "ingredient_2": "mint"}), scene)
        assert answer.reply.say.startswith("Noted: gin and mint are out.")
        assert (answer.change, answer.also) == (SetOut("gin", out=True), (SetOut("mint", out=True),))

    def test_saying_it_twice_changes_nothing(self, scene: Scene) -> None:
        """What is out already stays out, and no second change is made."""
        answer = out_of(Command(Intent.OUT_OF, {"ingredient": "gin"}), replace(scene, out=frozenset({"gin"})))
        assert (answer.reply.say, answer.change) == ("Gin was already out.", None)

    def test_all_of_a_kind_are_out_together(self, tiny_book: Book) -> None:
        """'We're out of citrus' is lime and lemon, without a question which."""
        answer = out_of(Command(Intent.OUT_OF, {"role": "citrus"}), Scene(tiny_book, frozenset(), Focus()))
        assert answer.reply.say.startswith("Noted: lime juice and lemon juice are out.")
        assert (answer.change, *answer.also) == (SetOut("lime juice", out=True), SetOut("lemon juice", out=True))

    def test_a_count_of_it_no_longer_stands(self, scene: Scene) -> None:
        """Prep does not take off a litre that is gone."""
        counted = {"gin": Counted("gin", OnHand(ready=quantity(1000, "milliliter")), scene.now)}
        answer = out_of(Command(Intent.OUT_OF, {"ingredient": "gin"}), replace(scene, on_hand=counted))
        assert answer.also == (Counted("gin", OnHand()),)


class TestBackIn:
    """'Lime's back.'"""

    def test_it_says_what_is_still_out(self, scene: Scene) -> None:
        """The rest of the list is read back."""
        answer = back_in(Command(Intent.BACK_IN, {"ingredient": "gin"}), replace(scene, out=frozenset({"gin", "mint"})))
        assert answer.reply.say == "Noted: gin is back in. Still out: mint."
        assert answer.change == SetOut("gin", out=False)

    def test_everything_can_be_back_at_once(self, scene: Scene) -> None:
        """'Everything is back' is one change of all that was out, read back by name."""
        answer = back_in(Command(Intent.BACK_IN, {"text": "all"}), replace(scene, out=frozenset({"mint", "gin"})))
        assert answer.reply.say == "Noted: gin and mint are back in. Nothing is out any longer."
        assert (answer.change, *answer.also) == (SetOut("gin", out=False), SetOut("mint", out=False))

    def test_everything_is_back_when_nothing_was_out(self, scene: Scene) -> None:
        """And nothing changes."""
        answer = back_in(Command(Intent.BACK_IN, {"text": "all"}), scene)
        assert (answer.reply.say, answer.change) == ("Nothing was out.", None)

    def test_what_was_never_out_changes_nothing(self, scene: Scene) -> None:
        """Nothing is noted that was not so."""
        assert back_in(Command(Intent.BACK_IN, {"ingredient": "gin"}), scene).change is None


class TestSubstitute:
    """'What can I use instead of lime?'"""

    def test_the_best_is_named_first(self, scene: Scene) -> None:
        """Lemon for lime."""
        answer = substitute(Command(Intent.SUBSTITUTE, {"ingredient": "lime juice"}), scene)
        assert answer.reply.say.startswith("Use lemon juice instead of lime juice.")

    @pytest.mark.parametrize(
        ("allergens", "said"),
        [
            (("sulphites",), "Lemon juice brings sulphites."),
            (None, "Ask first: the allergens of lemon juice are unknown."),
        ],
    )
    def test_allergens_are_told_before_the_taste(
        self, scene: Scene, allergens: tuple[str, ...] | None, said: str
    ) -> None:
        """What a stand-in brings, or that nobody knows, is a sentence of its own right after it."""
        lemon = replace(scene.book.ingredients["lemon juice"], allergens=allergens)
        book = replace(scene.book, ingredients={**scene.book.ingredients, lemon.name: lemon})
        answer = substitute(Command(Intent.SUBSTITUTE, {"ingredient": "lime juice"}), replace(scene, book=book))
        assert answer.reply.say.startswith(f"Use lemon juice instead of lime juice. {said}")

    def test_the_ingredient_talked_of_is_meant_when_none_is_named(self, scene: Scene) -> None:
        """After 'we're out of lime', 'what instead?' needs no name."""
        answer = substitute(
            Command(Intent.SUBSTITUTE), replace(scene, focus=replace(scene.focus, ingredient="lime juice"))
        )
        assert "instead of lime juice" in answer.reply.say

    def test_with_nothing_to_go_by_it_asks(self, scene: Scene) -> None:
        """No name and no focus: it asks what for."""
        assert substitute(Command(Intent.SUBSTITUTE), scene).reply.say.startswith("Instead of what?")


class TestCanMake:
    """'What can I make with gin and no citrus?'"""

    def test_one_drink_becomes_what_is_talked_of(self, scene: Scene) -> None:
        """With no citrus only the Manhattan is left, and 'how much vermouth' then means it."""
        answer = makeable(Command(Intent.CAN_MAKE, {"role": "citrus"}), scene)
        assert answer.reply.say == "One drink without citrus: Manhattan."
        assert answer.focus.drink == "Manhattan"

    def test_and_asks_for_both(self, scene: Scene) -> None:
        """'With gin and mint' wants the two in one glass; it never leaves the second out."""
        answer = makeable(Command(Intent.CAN_MAKE, {"ingredient": "gin", "ingredient_2": "mint", "text": "and"}), scene)
        assert answer.reply.say == "One drink with gin and mint: Southside."

    def test_nothing_left_says_so(self, scene: Scene) -> None:
        """An empty list is a sentence with a way on."""
        answer = makeable(Command(Intent.CAN_MAKE, {"ingredient": "rye whiskey", "role": "bitters"}), scene)
        assert answer.reply.say.startswith("No drink with rye whiskey and without bitters can be made")


class TestThisOne:
    """'Can I make a Gimlet?'"""

    def test_yes_when_nothing_in_it_is_out(self, scene: Scene) -> None:
        """In so many words, with the drink's cautions."""
        reply = makeable(Command(Intent.CAN_MAKE, {"drink": "Clover Club"}), scene).reply
        assert reply.say == "Yes, nothing that the Clover Club pours is out."
        assert reply.cautions[0].startswith("Raw egg")

    def test_what_is_out_is_told_with_what_stands_in(self, scene: Scene) -> None:
        """Not as written, but with lemon."""
        gone = replace(scene, out=frozenset({"lime juice"}))
        answer = makeable(Command(Intent.CAN_MAKE, {"drink": "Daiquiri"}), gone)
        assert answer.reply.say == ("Not as written: we are out of lime juice. Use lemon juice instead of lime juice.")
        assert (answer.focus.drink, answer.focus.ingredient) == ("Daiquiri", "lime juice")

    def test_a_garnish_stops_nothing(self, scene: Scene) -> None:
        """It goes out without."""
        gone = replace(scene, out=frozenset({"lime wheel"}))
        assert makeable(Command(Intent.CAN_MAKE, {"drink": "Gimlet"}), gone).reply.say == (
            "Yes, nothing that the Gimlet pours is out. It goes out without lime wheel."
        )
