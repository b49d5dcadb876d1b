"""What a bartender hears when a guest has an allergy."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers.base import Scene
from assistant.answers.safety import CHECK, STANDING, caution_lines, contains
from assistant.messages import Focus, Table
from grammar.command import Command, Intent
from recipes.model import Book
from tests.known_book import make_known_book, with_ingredient


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """An ordinary moment."""
    return Scene(tiny_book, frozenset(), Focus())


def ask(scene: Scene, **slots: str) -> str:
    """What is said of a question about contents."""
    return contains(Command(Intent.CONTAINS, slots), scene).reply.say


class TestContains:
    """'Is there X in it?'"""

    def test_yes_names_where_it_comes_from(self, scene: Scene) -> None:
        """Egg in the Clover Club comes from the egg white."""
        assert ask(scene, drink="Clover Club", text="egg") == "Yes, egg in the Clover Club, from egg white."

    def test_no_is_by_our_data(self, scene: Scene) -> None:
        """A no says whose word it is, and sends the bartender to the label."""
        assert ask(scene, drink="Daiquiri", text="nuts") == (
            "No nuts in the Daiquiri by our data. Check the labels for a guest with an allergy."
        )

    def test_no_alcohol_is_by_our_data_too(self) -> None:
        """Nobody asks that for an allergy, so none is spoken of."""
        said = ask(Scene(make_known_book(), frozenset(), Focus()), ingredient="lime juice", text="alcohol")
        assert said == "No alcohol in the lime juice by our data. Check the labels."

    def test_missing_data_is_unknown_ask(self, scene: Scene) -> None:
        """The violet liqueur has no allergens written down, so nobody is told no."""
        assert ask(scene, drink="Aviation", text="nuts") == (
            "Unknown: I have nothing on violet liqueur in the Aviation. "
            "Unknown is not safe: read the label or ask the maker before you pour."
        )

    def test_a_word_with_no_list_is_unknown(self, scene: Scene) -> None:
        """Pollen is on no list, so it is unknown, not absent."""
        assert ask(scene, drink="Daiquiri", text="pollen").startswith("I keep no list of pollen")

    def test_an_ingredient_inside_a_house_recipe_is_found(self, scene: Scene) -> None:
        """Lime juice is in the Gimlet by way of its cordial."""
        assert (
            ask(scene, drink="Gimlet", ingredient="lime juice") == "Yes, lime juice in the Gimlet, from lime cordial."
        )

    def test_all_allergens_are_listed_when_none_is_named(self, scene: Scene) -> None:
        """'What allergens are in the Manhattan?'"""
        assert ask(scene, drink="Manhattan") == f"The Manhattan holds sulphites by our data. {CHECK}"

    def test_all_allergens_of_a_thing_are_listed_whatever_drink_is_talked_of(self, scene: Scene) -> None:
        """'Allergens in the egg white' is about the egg white, not about whether the Daiquiri has any."""
        said = ask(scene, drink="Daiquiri", ingredient="egg white", text="allergens")
        assert said == f"The egg white holds egg by our data. {CHECK}"

    def test_every_answer_carries_the_standing_line(self, scene: Scene) -> None:
        """Labels, local code and licensed practice decide, each time."""
        answer = contains(Command(Intent.CONTAINS, {"drink": "Daiquiri", "text": "egg"}), scene)
        assert any("Labels, your local code" in line for line in answer.reply.cautions)

    def test_the_drink_asked_about_is_in_focus_afterwards(self, scene: Scene) -> None:
        """'And the garnish?' then speaks of the same drink."""
        answer = contains(Command(Intent.CONTAINS, {"drink": "Daiquiri", "text": "egg"}), scene)
        assert answer.focus == replace(scene.focus, drink="Daiquiri")


class TestWhichDrinks:
    """'Which drinks have egg in them?', 'what is nut free?'"""

    def test_those_that_have_it_come_first_and_the_unknown_are_named(self, scene: Scene) -> None:
        """Egg is in the Clover Club by our data; of the violet liqueur in the Aviation nobody knows."""
        assert ask(scene, text="egg", part="which") == (
            "One drink with egg by our data: Clover Club. Unknown in one other: Aviation. "
            "Unknown is not safe: read the label or ask the maker before you pour."
        )

    def test_none_that_is_known_is_not_none(self, scene: Scene) -> None:
        """No drink is known to hold nuts, and one may."""
        assert ask(scene, text="nuts", part="which").startswith(
            "None that I know of has nuts. Unknown in one drink: Aviation."
        )

    def test_where_all_is_known_none_is_by_our_data(self, tiny_book: Book) -> None:
        """The label is still to be read."""
        known = without_drink(tiny_book, "Aviation")
        assert ask(Scene(known, frozenset(), Focus()), text="nuts", part="which") == (
            "No drink has nuts by our data. Check the labels for a guest with an allergy."
        )

    def test_free_of_it_leaves_out_the_unknown(self, scene: Scene) -> None:
        """A guest is not offered what nobody has read the label of."""
        said = ask(scene, text="egg", part="free")
        assert said == (
            "Five drinks without egg by our data: Gimlet, Daiquiri, Manhattan, Southside and Gin Rickey. "
            "Unknown in one other, so do not offer those without asking. "
            "Check the labels for a guest with an allergy."
        )

    def test_the_card_says_why_of_each_drink(self, scene: Scene) -> None:
        """What holds it, and what is unknown."""
        card = contains(Command(Intent.CONTAINS, {"text": "egg", "part": "which"}), scene).reply.card
        assert card is not None
        tables = [block for block in card.blocks if isinstance(block, Table)]
        assert [(row.label, *row.cells) for table in tables for row in table.rows] == [
            ("Clover Club", "egg white"),
            ("Aviation", "unknown: violet liqueur"),
        ]

    def test_the_standing_line_goes_with_it(self, scene: Scene) -> None:
        """Labels, your local code and licensed practice decide."""
        reply = contains(Command(Intent.CONTAINS, {"text": "egg", "part": "free"}), scene).reply
        assert reply.cautions == (STANDING,)

    def test_alcohol_can_be_asked_for_too(self) -> None:
        """Every drink of the small book has some."""
        said = ask(Scene(make_known_book(), frozenset(), Focus()), text="alcohol", part="free")
        assert said.startswith("No drink is without alcohol for certain.")


def without_drink(book: Book, name: str) -> Book:
    """The book less one drink."""
    return replace(book, drinks={key: drink for key, drink in book.drinks.items() if key != name})


class TestCautionLines:
    """The cautions beside every spec."""

    def test_raw_egg_is_said_first(self, tiny_book: Book) -> None:
        """A Clover Club says raw egg before anything else."""
        assert caution_lines(tiny_book.drinks["Clover Club"], tiny_book)[0].startswith("Raw egg (egg white)")

    def test_a_plain_drink_has_none(self) -> None:
        """A drink with all data known and nothing in it has no caution."""
        book = make_known_book()
        assert caution_lines(book.drinks["Daiquiri"], book) == ()

    def test_an_unknown_strength_is_told(self) -> None:
        """Nobody takes a drink for a weak one because its label was never read."""
        book = make_known_book()
        rum = replace(book.ingredients["white rum"], abv=None)
        lines = caution_lines(book.drinks["Daiquiri"], with_ingredient(book, rum))
        assert lines == ("Strength unknown, ask: white rum.",)
