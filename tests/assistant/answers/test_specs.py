"""What a bartender hears of a spec."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.answers import scales, specs
from assistant.messages import Figure, Table
from recipes.model import Book
from recipes.units import quantity
from tests.assistant.answers.talking import Talk
from tests.conftest import pours


@pytest.fixture
def talk(tiny_book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**specs.HANDLERS, **scales.HANDLERS}, tiny_book)


class TestSpec:
    """'Gimlet spec.'"""

    def test_a_spec_is_short_enough_for_a_rush(self, talk: Talk) -> None:
        """Amounts, method, glass, garnish, and nothing else."""
        assert talk.say("spec", drink="Gimlet") == (
            "Gimlet: two ounces gin, three quarters of an ounce lime cordial. Shake, coupe, lime wheel."
        )

    def test_ice_and_notes_are_told_where_there_are_any(self, talk: Talk) -> None:
        """A built drink names its ice; soda goes to the top."""
        assert talk.say("spec", drink="Gin Rickey") == (
            "Gin Rickey: two ounces gin, half an ounce lime juice, four ounces soda water to top. "
            "Build, highball, cubed ice, lime wheel."
        )

    def test_a_hot_line_is_called_hot_first(self, talk: Talk) -> None:
        """Hot water, not water hot."""
        toddy = replace(talk.book.drinks["Gimlet"], name="Toddy", pours=pours("2 oz gin", "4 oz water, hot"))
        talk.book = talk.book.with_drinks([toddy])
        assert talk.say("spec", drink="Toddy").startswith("Toddy: two ounces gin, four ounces hot water. ")

    @pytest.mark.parametrize(
        ("part", "drink", "expected"),
        [
            ("garnish", "Gimlet", "Lime wheel on the Gimlet."),
            ("garnish", "Daiquiri", "No garnish on the Daiquiri."),
            ("glass", "Gimlet", "The Gimlet goes in a coupe."),
            ("ice", "Gimlet", "No ice in the glass: the Gimlet is served up."),
            ("ice", "Gin Rickey", "The Gin Rickey is served on cubed ice."),
            ("method", "Manhattan", "Stir the Manhattan."),
        ],
    )
    def test_one_part_alone(self, part: str, drink: str, expected: str, talk: Talk) -> None:
        """'And the garnish?' gets the garnish."""
        assert talk.say("spec", drink=drink, part=part) == expected

    def test_garnish_for_three(self, talk: Talk) -> None:
        """The garnish is counted with the drinks."""
        talk.ask("scale", drink="Gimlet", count=3)
        assert talk.say("spec", part="garnish") == "Three lime wheels for three Gimlets."

    def test_cautions_come_with_the_spec(self, talk: Talk) -> None:
        """A Clover Club is never read without its egg."""
        assert any("Raw egg" in caution for caution in talk.ask("spec", drink="Clover Club").reply.cautions)

    def test_what_is_out_is_told(self, tiny_book: Book) -> None:
        """No spec is read as if the cordial were there."""
        talk = Talk(specs.HANDLERS, tiny_book, frozenset({"lime cordial", "mint"}))
        assert talk.say("spec", drink="Gimlet").endswith("We are out of lime cordial.")

    def test_the_card_has_every_line_with_its_unit(self, talk: Talk) -> None:
        """Title, facts, and a figure a line; the garnish last."""
        card = talk.ask("spec", drink="Gimlet").reply.card
        assert card is not None
        assert (card.kind, card.title, card.facts) == ("spec", "Gimlet", ("shaken", "coupe", "no ice"))
        (table,) = card.blocks
        assert isinstance(table, Table)
        assert [(row.label, row.cells[0]) for row in table.rows[:1]] == [
            ("gin", Figure(talk.book.drinks["Gimlet"].pours[0].amount.number, "oz", "2 oz"))
        ]
        assert (table.rows[-1].label, table.rows[-1].cells) == ("lime wheel", ("garnish",))

    def test_a_new_drink_starts_at_one_and_whole(self, talk: Talk) -> None:
        """Three Gimlets do not make three Daiquiris."""
        talk.ask("scale", drink="Gimlet", count=3)
        assert talk.say("spec", drink="Daiquiri").startswith("Daiquiri: two ounces white rum")


class TestHouseMade:
    """'What's in our lime cordial?'"""

    def test_the_recipe_of_a_cordial(self, talk: Talk) -> None:
        """Parts and yield."""
        assert talk.say("spec", ingredient="lime cordial") == (
            "Lime cordial: five hundred mil sugar syrup, two hundred and fifty mil lime juice. "
            "Makes seven hundred and fifty mil."
        )

    def test_how_long_it_keeps(self, talk: Talk, tiny_book: Book) -> None:
        """Where the book knows."""
        syrup = replace(tiny_book.ingredients["sugar syrup"], shelf_life=quantity(28, "day"), caution="Boil the jar.")
        talk.book = replace(tiny_book, ingredients={**tiny_book.ingredients, "sugar syrup": syrup})
        reply = talk.ask("spec", ingredient="sugar syrup").reply
        assert reply.say.endswith("Makes eight hundred mil. Keeps twenty-eight days.")
        assert reply.cautions[0] == "Boil the jar."

    def test_what_is_bought_has_no_recipe(self, talk: Talk) -> None:
        """Nobody makes gin behind this bar."""
        assert talk.say("spec", ingredient="gin") == "Gin is not made in the house, so there is no recipe for it."


class TestUnits:
    """'In mil.'"""

    def test_the_spec_again_in_that_unit(self, talk: Talk) -> None:
        """And all that follows too."""
        talk.ask("spec", drink="Gimlet")
        assert talk.say("units", unit="ml") == (
            "Gimlet: sixty mil gin, twenty-two and a half mil lime cordial. Shake, coupe, lime wheel."
        )
        assert talk.say("spec", drink="Daiquiri").startswith("Daiquiri: sixty mil white rum")

    def test_in_parts(self, talk: Talk) -> None:
        """Eight to three."""
        talk.ask("spec", drink="Gimlet")
        assert talk.say("units", unit="part").startswith("Gimlet: eight parts gin, three parts lime cordial.")

    def test_an_amount_again_in_that_unit(self, talk: Talk) -> None:
        """'How much lime?' 'And in mil?' is still about the lime."""
        talk.ask("amount", drink="Daiquiri", ingredient="lime juice")
        assert talk.say("units", unit="ml") == "Twenty-two and a half mil of lime juice."

    def test_the_exact_amount_stands_beside_a_rounded_one(self, talk: Talk) -> None:
        """Sixty millilitres for two ounces are 1.4 % over, and the card says so."""
        card = talk.ask("spec", drink="Gimlet", unit="ml").reply.card
        assert card is not None
        table = card.blocks[0]
        assert isinstance(table, Table)
        assert table.rows[0].note == "exactly 59.15 ml (+1.4 %)"

    def test_without_a_drink_the_unit_is_kept_for_later(self, talk: Talk) -> None:
        """The house changes its tongue before the first order."""
        assert talk.say("units", unit="ml") == "From here on I give amounts in millilitres."
        assert talk.say("spec", drink="Gimlet").startswith("Gimlet: sixty mil")

    def test_an_unknown_unit_is_asked_back(self, talk: Talk) -> None:
        """Nobody measures in grams of gin here."""
        assert talk.say("units", unit="g") == "I can give amounts in ounces, in millilitres or in parts. Which?"


class TestAmount:
    """'How much lime?'"""

    @pytest.mark.parametrize(
        ("drink", "slots", "expected"),
        [
            ("Daiquiri", {"ingredient": "lime juice"}, "Three quarters of an ounce of lime juice."),
            ("Southside", {"ingredient": "mint"}, "Eight mint leaves."),
            ("Clover Club", {"ingredient": "egg white"}, "One egg white."),
            ("Manhattan", {"role": "bitters"}, "Two dashes of aromatic bitters."),
            ("Manhattan", {"role": "vermouth"}, "One ounce of sweet vermouth."),
            ("Daiquiri", {"role": "base"}, "Two ounces of white rum."),
            ("Gimlet", {"ingredient": "lime wheel"}, "Lime wheel on the Gimlet."),
            ("Gimlet", {"ingredient": "mint"}, "There is no mint in the Gimlet. It has gin and lime cordial."),
            ("Aviation", {"ingredient": "lime juice"}, "There is no lime juice in the Aviation."),
            ("Gimlet", {"role": "egg"}, "There is no egg in the Gimlet. It has gin and lime cordial."),
        ],
    )
    def test_one_ingredient(self, drink: str, slots: dict[str, str], expected: str, talk: Talk) -> None:
        """By its name or by its part in the drink; a lemon is never given for a lime."""
        assert talk.say("amount", drink=drink, **slots).startswith(expected)

    def test_times_the_count_that_is_talked_of(self, talk: Talk) -> None:
        """Three Daiquiris take two and a quarter."""
        talk.ask("scale", drink="Daiquiri", count=3)
        assert talk.say("amount", ingredient="lime juice") == "Two and a quarter ounces of lime juice for three."

    def test_for_many_the_fruit_is_counted(self, talk: Talk) -> None:
        """'How many limes for fifty?': 37.5 ounces at an ounce or less a lime; nobody counts limes for three."""
        said = talk.say("amount", drink="Daiquiri", ingredient="lime juice", count=50)
        assert said == "Thirty-seven and a half ounces of lime juice for fifty. Press about forty-two fruit."
        assert "fruit" not in talk.say("amount", drink="Daiquiri", ingredient="lime juice", count=3)
        assert "fruit" not in talk.say("amount", drink="Daiquiri", ingredient="white rum", count=50)

    def test_of_nothing_in_particular_is_of_everything(self, talk: Talk) -> None:
        """'How much?' gets the spec."""
        assert talk.say("amount", drink="Gimlet").startswith("Gimlet: two ounces gin")

    def test_for_so_many_in_that_unit(self, talk: Talk) -> None:
        """'How many mils of lime do I need for twelve Daiquiris?' says it all at once, and stays so."""
        assert talk.say("amount", drink="Daiquiri", ingredient="lime juice", count=12, unit="ml") == (
            "Two hundred and sixty-five mil of lime juice for twelve."
        )
        assert talk.focus.count == 12

    def test_a_general_word_finds_what_is_in_the_drink(self, talk: Talk, tiny_book: Book) -> None:
        """Asked for another whiskey, the answer names the one that is there."""
        bourbon = replace(tiny_book.ingredients["rye whiskey"], name="bourbon")
        talk.book = replace(tiny_book, ingredients={**tiny_book.ingredients, "bourbon": bourbon})
        assert talk.say("amount", drink="Manhattan", ingredient="bourbon") == (
            "No bourbon in the Manhattan, but two ounces of rye whiskey."
        )

    def test_a_word_that_is_part_of_a_name_finds_it(self, talk: Talk, tiny_book: Book) -> None:
        """The lime in a Gimlet is its cordial."""
        lime = replace(tiny_book.ingredients["lime juice"], spoken=("lime",))
        talk.book = replace(tiny_book, ingredients={**tiny_book.ingredients, "lime juice": lime})
        assert talk.say("amount", drink="Gimlet", ingredient="lime juice") == (
            "No lime juice in the Gimlet, but three quarters of an ounce of lime cordial."
        )


class TestAmountOfWhatNeedsCare:
    """'How much egg white in a Clover Club?'"""

    def test_egg_that_is_asked_for_is_raw_egg(self, talk: Talk) -> None:
        """The caution goes with the amount as it does with the spec."""
        cautions = talk.ask("amount", drink="Clover Club", ingredient="egg white").reply.cautions
        assert cautions[0].startswith("Raw egg (egg white)")

    def test_what_is_not_asked_for_is_not_warned_of(self, talk: Talk) -> None:
        """The gin beside it needs no word on egg."""
        assert talk.ask("amount", drink="Clover Club", ingredient="gin").reply.cautions == ()


class TestDashes:
    """'How much bitters for six?'"""

    def test_dashes_stay_dashes_with_the_measure_beside(self, talk: Talk) -> None:
        """Twelve dashes, which a bar would measure: eleven mil."""
        said = talk.say("amount", drink="Manhattan", ingredient="aromatic bitters", count=6)
        assert said == "Twelve dashes of aromatic bitters, eleven mil, for six."

    def test_few_are_counted_out(self, talk: Talk) -> None:
        """Four dashes for two need no measure."""
        said = talk.say("amount", drink="Manhattan", ingredient="aromatic bitters", count=2)
        assert said == "Four dashes of aromatic bitters for two."

    def test_in_mils_it_is_mils(self, talk: Talk) -> None:
        """Whoever asks for millilitres gets them alone."""
        said = talk.say("amount", drink="Manhattan", ingredient="aromatic bitters", count=6, unit="ml")
        assert said == "Eleven mil of aromatic bitters for six."
