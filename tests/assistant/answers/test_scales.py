"""What is heard of more of a drink, or of a drink without something."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.answers import scales, specs
from assistant.messages import Note, Table
from grammar.command import SlotValue
from recipes.model import Book
from tests.assistant.answers.talking import Talk


@pytest.fixture
def talk(tiny_book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**specs.HANDLERS, **scales.HANDLERS}, tiny_book)


class TestCount:
    """'Make it three.'"""

    def test_three(self, talk: Talk) -> None:
        """Every line three times."""
        talk.ask("spec", drink="Gimlet")
        assert talk.say("scale", count=3) == "Three Gimlets: six ounces gin, two and a quarter ounces lime cordial."

    def test_back_to_one(self, talk: Talk) -> None:
        """'Make it one' is one again."""
        talk.ask("scale", drink="Gimlet", count=3)
        assert talk.say("scale", count=1).startswith("One Gimlet: two ounces gin")

    def test_counted_in_parts_goes_back_to_ounces(self, talk: Talk) -> None:
        """Parts are the same for any count, so a count is told in ounces."""
        talk.ask("spec", drink="Gimlet", unit="part")
        assert talk.say("scale", count=2).startswith("Two Gimlets: four ounces gin")

    def test_rounding_that_can_be_tasted_is_told(self, talk: Talk) -> None:
        """Five ounces of Gimlet cannot be poured exactly with a quarter-ounce jigger."""
        assert talk.say("scale", drink="Gimlet", amount=Decimal(5), unit="oz").endswith(
            "Lime cordial is rounded down from one point three six ounces."
        )

    @pytest.mark.parametrize("slots", [{}, {"count": 0}, {"amount": Decimal(2), "unit": "leaf"}])
    def test_no_number_is_asked_for(self, slots: dict[str, SlotValue], talk: Talk) -> None:
        """None at all is no order."""
        assert talk.say("scale", drink="Gimlet", **slots).startswith("How many?")

    def test_the_card_has_exact_and_rounded(self, talk: Talk) -> None:
        """Beside each rounded line stands the exact amount; below, the serves and the volume."""
        card = talk.ask("scale", drink="Gimlet", amount=Decimal(1), unit="l").reply.card
        assert card is not None
        lines, totals = card.blocks
        assert isinstance(lines, Table)
        assert isinstance(totals, Table)
        assert lines.rows[0].note == "exactly 727.27 ml (-0.3 %)"
        assert [row.cells[0] if isinstance(row.cells[0], str) else row.cells[0].text for row in totals.rows] == [
            "12.3",
            "1 l",
        ]


class TestVolume:
    """'Two litres of Daiquiri.'"""

    def test_a_target_volume(self, talk: Talk) -> None:
        """Amounts as a jug shows them, and how many serves."""
        assert talk.say("scale", drink="Daiquiri", amount=Decimal(2), unit="l") == (
            "Two litres of Daiquiri before ice, nineteen serves: one point one four litres white rum, "
            "four hundred and thirty mil lime juice, four hundred and thirty mil sugar syrup."
        )

    def test_less_than_one(self, talk: Talk) -> None:
        """A taste for the staff."""
        assert talk.say("scale", drink="Daiquiri", amount=Decimal(50), unit="ml").startswith(
            "Fifty mil of Daiquiri before ice, less than one serve: "
        )

    def test_what_has_no_volume_is_named_on_the_card(self, talk: Talk) -> None:
        """Egg whites come on top of the litre."""
        card = talk.ask("scale", drink="Clover Club", amount=Decimal(1), unit="l").reply.card
        assert card is not None
        assert Note("The book has no volume for egg white; it comes on top.") in card.blocks


class TestBottles:
    """'Two bottles of Daiquiri', and 'what do two bottles of rum make?'"""

    def test_bottles_are_filled(self, talk: Talk) -> None:
        """Two of the house's bottles hold a litre and a half of the drink."""
        assert talk.say("scale", drink="Daiquiri", amount=Decimal(2), unit="bottle") == (
            "Two bottles of Daiquiri before ice, fourteen serves: eight hundred and fifty-five mil white rum, "
            "three hundred and twenty mil lime juice, three hundred and twenty mil sugar syrup."
        )

    def test_bottles_of_the_base_are_emptied(self, talk: Talk) -> None:
        """The count is of full drinks, the bottles are poured to the end."""
        assert talk.say("scale", drink="Gimlet", amount=Decimal(2), unit="bottle", ingredient="gin") == (
            "Two bottles of gin make twenty-five Gimlets: one and a half litres gin, "
            "five hundred and sixty-five mil lime cordial."
        )

    @pytest.mark.parametrize(
        ("number", "unit", "expected"),
        [
            ("1", "l", "One litre of lime cordial makes forty-five Gimlets: two point six seven litres gin, "),
            ("1", "quart", "One quart of lime cordial makes forty-two Gimlets: eighty-five and a quarter ounces gin, "),
            ("0.5", "gallon", "Half a gallon of lime cordial makes eighty-five Gimlets: "),
        ],
        ids=["a litre", "a quart", "half a gallon"],
    )
    def test_so_much_of_one_line_is_used_up(self, number: str, unit: str, expected: str, talk: Talk) -> None:
        """Not so much of the drink: the rest goes by that line."""
        said = talk.say("scale", drink="Gimlet", amount=Decimal(number), unit=unit, ingredient="lime cordial")
        assert said.startswith(expected)

    def test_a_gallon_is_filled_in_ounces(self, talk: Talk) -> None:
        """A Gimlet pours two and three quarters ounces, and 128 of them are forty-six and a half."""
        assert talk.say("scale", drink="Gimlet", amount=Decimal(1), unit="gallon") == (
            "One gallon of Gimlet before ice, forty-six serves: "
            "ninety-three ounces gin, thirty-five ounces lime cordial."
        )

    def test_of_another_ingredient(self, talk: Talk) -> None:
        """A bottle of vermouth in Manhattans."""
        assert talk.say(
            "scale", drink="Manhattan", amount=Decimal(1), unit="bottle", ingredient="sweet vermouth"
        ).startswith("One bottle of sweet vermouth makes thirty-three Manhattans: ")

    def test_a_small_bottle_may_not_make_one(self, talk: Talk) -> None:
        """A twentieth of a bottle is a taste."""
        assert talk.say("scale", drink="Gimlet", amount=Decimal("0.05"), unit="bottle", ingredient="gin").endswith(
            "of gin makes less than one Gimlet: thirty-seven and a half mil gin, fifteen mil lime cordial. "
            "Lime cordial is rounded up from fourteen point zero six mil."
        )

    def test_of_what_is_not_in_it(self, talk: Talk) -> None:
        """No Gimlet from rye."""
        assert talk.say("scale", drink="Gimlet", amount=Decimal(1), unit="bottle", ingredient="rye whiskey").startswith(
            "There is no rye whiskey in the Gimlet."
        )


class TestWithout:
    """'Without the egg.'"""

    def test_the_egg_left_out_changes_the_drink_and_makes_nothing_safe(self, talk: Talk) -> None:
        """The lines that are left, what is missed, and the warning, aloud."""
        answer = talk.ask("without", drink="Clover Club", ingredient="egg white")
        assert answer.reply.say == (
            "Clover Club without egg white: one and a half ounces gin, three quarters of an ounce lemon juice, "
            "half an ounce raspberry syrup. Expect no foam and a thinner drink. "
            "That does not make it safe for an allergy."
        )
        assert answer.reply.cautions[0] == (
            "Leaving out egg white does not make the drink safe for an allergic guest: tins, spoons and hands have "
            "touched it. Read the labels and follow your local code."
        )

    def test_it_stays_out_for_two(self, talk: Talk) -> None:
        """'Make it two' keeps the egg out."""
        talk.ask("without", drink="Clover Club", ingredient="egg white")
        assert talk.say("scale", count=2) == (
            "Two Clover Clubs without egg white: three ounces gin, one and a half ounces lemon juice, "
            "one ounce raspberry syrup."
        )

    def test_one_thing_after_another(self, talk: Talk) -> None:
        """No egg, and no raspberry either."""
        talk.ask("without", drink="Clover Club", ingredient="egg white")
        assert talk.say("without", ingredient="raspberry syrup").startswith(
            "Clover Club without egg white or raspberry syrup: one and a half ounces gin"
        )

    def test_the_card_shows_how_much_smaller_it_is(self, talk: Talk) -> None:
        """Without the syrup, two ounces of a Gimlet are left, and the warning stands on the card."""
        card = talk.ask("without", drink="Gimlet", ingredient="lime cordial").reply.card
        assert card is not None
        _, volumes, warning = card.blocks
        assert isinstance(volumes, Table)
        assert [row.cells[0] if isinstance(row.cells[0], str) else row.cells[0].text for row in volumes.rows] == [
            "59.1 ml",
            "81.3 ml",
        ]
        assert warning == Note("That does not make it safe for an allergy.", "warn")

    def test_an_ingredient_of_unknown_allergens_gets_the_warning_aloud(self, talk: Talk) -> None:
        """Nobody wrote what the violet liqueur holds."""
        assert talk.say("without", drink="Aviation", ingredient="violet liqueur").endswith(
            "That does not make it safe for an allergy."
        )

    def test_what_is_not_in_it_changes_nothing(self, talk: Talk) -> None:
        """And is not kept as left out."""
        answer = talk.ask("without", drink="Gimlet", ingredient="egg white")
        assert answer.reply.say == (
            "There is no egg white in the Gimlet. It has gin and lime cordial. Nothing changes."
        )
        assert (answer.focus.without, len(answer.reply.cautions)) == ((), 1)

    def test_a_garnish_can_be_left_out(self, talk: Talk) -> None:
        """It goes out bare."""
        assert "It goes out bare." in talk.say("without", drink="Gimlet", ingredient="lime wheel")

    @pytest.mark.parametrize(
        ("drink", "word", "left_out"),
        [
            ("Clover Club", "egg", ("egg white",)),
            ("Clover Club", "citrus", ("lemon juice",)),
            ("Manhattan", "bitters", ("aromatic bitters",)),
            ("Manhattan", "vermouth", ("sweet vermouth",)),
            ("Gimlet", "garnish", ("lime wheel",)),
            ("Daiquiri", "garnish", ()),
            ("Daiquiri", "dairy", ()),
        ],
    )
    def test_a_word_for_a_role_or_a_kind(self, drink: str, word: str, left_out: tuple[str, ...], talk: Talk) -> None:
        """'No egg', 'hold the bitters', 'leave off the garnish'."""
        assert talk.ask("without", drink=drink, role=word).focus.without == left_out

    def test_a_drink_cannot_lose_everything(self, talk: Talk) -> None:
        """The last pour is not left out."""
        talk.ask("without", drink="Gimlet", ingredient="lime cordial")
        assert talk.say("without", ingredient="gin") == "Without gin there is nothing left of the Gimlet."
        assert talk.focus.without == ("lime cordial",)
