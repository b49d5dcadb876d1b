"""What a manager hears about money."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.answers import costs, scales
from assistant.messages import Bars, Figure, Note, Table
from grammar.command import SlotValue
from recipes.model import Book
from recipes.units import quantity
from tests.assistant.answers.talking import Talk

PERCENT = Decimal(20)


@pytest.fixture
def talk(tiny_book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**costs.HANDLERS, **scales.HANDLERS}, tiny_book)


class TestDrink:
    """'What does a Gimlet cost?'"""

    def test_cost_and_pour_cost(self, talk: Talk) -> None:
        """One sentence: the cost, and the price, and what share of it without tax the cost is."""
        assert talk.say("cost", drink="Gimlet") == (
            "The Gimlet costs two dollars nineteen to make and sells for thirteen dollars: "
            "a pour cost of eighteen point two percent."
        )

    def test_over_the_target_is_told(self, talk: Talk) -> None:
        """The Manhattan runs above the house's twenty."""
        assert talk.say("cost", drink="Manhattan").endswith(", over the house's twenty percent.")

    def test_where_tax_comes_on_top_the_price_is_the_price(self, talk: Talk) -> None:
        """In a house of prices without tax, thirteen dollars are thirteen dollars."""
        talk.book = replace(talk.book, house=replace(talk.book.house, price_includes_tax=False))
        assert talk.say("cost", drink="Gimlet").endswith("a pour cost of sixteen point eight percent.")

    def test_an_unknown_price_is_named_and_no_total_made_up(self, talk: Talk) -> None:
        """The known rest is told as a rest."""
        assert talk.say("cost", drink="Aviation") == (
            "I cannot cost the Aviation: there is no price for violet liqueur. "
            "The rest comes to two dollars forty-four."
        )

    def test_no_menu_price(self, talk: Talk) -> None:
        """A cost without a share."""
        assert talk.say("cost", drink="Gin Rickey") == (
            "The Gin Rickey costs two dollars forty-three to make. It has no menu price."
        )

    def test_for_three(self, talk: Talk) -> None:
        """One and all of them."""
        talk.ask("scale", drink="Gimlet", count=3)
        assert talk.say("cost").startswith(
            "The Gimlet costs two dollars nineteen to make, six dollars fifty-six for three, and sells for"
        )

    def test_without_the_cordial(self, talk: Talk) -> None:
        """What is left out is not paid for, and the answer says so."""
        talk.ask("without", drink="Gimlet", ingredient="lime cordial")
        assert talk.say("cost").startswith("The Gimlet without lime cordial costs two dollars and four cents to make")

    def test_the_card_has_every_line_waste_and_the_price(self, talk: Talk) -> None:
        """Lines, waste and total; price, tax, share and margin; a picture of where the money goes."""
        card = talk.ask("cost", drink="Gimlet").reply.card
        assert card is not None
        lines, price, picture = card.blocks
        assert isinstance(lines, Table)
        assert isinstance(price, Table)
        assert isinstance(picture, Bars)
        assert [row.label for row in lines.rows] == ["gin", "lime cordial", "lime wheel", "waste", "Cost"]
        assert lines.rows[0].cells[1] == Figure(Decimal("1.89"), "USD", "$1.89")
        assert [row.cells[0] for row in price.rows] == [
            Figure(Decimal("13.00"), "USD", "$13.00"),
            Figure(Decimal("12.04"), "USD", "$12.04"),
            Figure(Decimal("18.2"), "%", "18.2 %"),
            Figure(Decimal("9.85"), "USD", "$9.85"),
        ]
        assert len(picture.bars) == len(picture.tops) == 3

    def test_what_costs_nothing_is_not_called_unpriced(self, talk: Talk) -> None:
        """Water from the tap has a price: none."""
        gin = talk.book.ingredients["gin"]
        assert gin.pack is not None
        free = replace(gin, pack=replace(gin.pack, price=quantity(0, "money")))
        talk.book = replace(talk.book, ingredients={**talk.book.ingredients, "gin": free})
        card = talk.ask("cost", drink="Gimlet").reply.card
        assert card is not None
        table = card.blocks[0]
        assert isinstance(table, Table)
        assert [(row.note, row.tone) for row in table.rows if row.label == "gin"] == [("", "plain")]

    def test_an_unknown_line_is_marked(self, talk: Talk) -> None:
        """Its cost says unknown, and its note says why."""
        card = talk.ask("cost", drink="Aviation").reply.card
        assert card is not None
        assert isinstance(card.blocks[0], Table)
        row = card.blocks[0].rows[2]
        assert (row.label, row.cells[1], row.note) == (
            "violet liqueur",
            Figure(None, "USD", "unknown"),
            "no price for violet liqueur",
        )


class TestIngredient:
    """'What does gin cost?'"""

    @pytest.mark.parametrize(
        ("ingredient", "expected"),
        [
            ("rye whiskey", "Rye whiskey: thirty dollars a bottle, one dollar eighteen an ounce."),
            ("sweet vermouth", "Sweet vermouth: fifteen dollars for one litre, forty-four cents an ounce."),
            ("lime juice", "Lime juice: forty-five cents each, forty-nine cents an ounce."),
            ("egg white", "Egg white: four dollars eighty for twelve, forty cents each."),
            ("lime wheel", "Lime wheel: forty-five cents for eight, six cents each."),
            ("white sugar", "White sugar: one dollar fifty for one kilo, fifteen cents for one hundred grams."),
            ("water", "Water costs nothing, by the book."),
            ("lime cordial", "Lime cordial: made in the house, eighteen cents an ounce."),
            (
                "raspberry syrup",
                "The book has no pack for raspberry syrup, so its price is unknown. "
                "Write its pack into the book first.",
            ),
        ],
    )
    def test_by_the_pack_and_by_the_measure(self, ingredient: str, expected: str, talk: Talk) -> None:
        """As it is bought, and as it is poured."""
        assert talk.say("cost", ingredient=ingredient) == expected

    @pytest.mark.parametrize(
        ("ingredient", "measure", "expected"),
        [
            (
                "rye whiskey",
                {"unit": "oz"},
                "One ounce of rye whiskey costs one dollar eighteen, at thirty dollars a bottle.",
            ),
            (
                "rye whiskey",
                {"amount": Decimal(2), "unit": "l"},
                "Two litres of rye whiskey cost eighty dollars, at thirty dollars a bottle.",
            ),
            (
                "rye whiskey",
                {"amount": Decimal(1), "unit": "bottle"},
                "One bottle of rye whiskey costs thirty dollars.",
            ),
            (
                "lime juice",
                {"amount": Decimal(1), "unit": "l"},
                "One litre of lime juice costs sixteen dollars sixty-seven, with fruit at forty-five cents each.",
            ),
            (
                "sweet vermouth",
                {"amount": Decimal(1), "unit": "gallon"},
                "One gallon of sweet vermouth costs fifty-six dollars seventy-eight, at fifteen dollars for one litre.",
            ),
            (
                "lime cordial",
                {"amount": Decimal("0.5"), "unit": "oz"},
                "Half an ounce of lime cordial costs nine cents, made in the house.",
            ),
            (
                "rye whiskey",
                {"amount": Decimal(1), "unit": "g"},
                "I cannot tell what one gram of rye whiskey costs: the book has no size for that measure.",
            ),
            (
                "raspberry syrup",
                {"amount": Decimal(1), "unit": "l"},
                "The book has no pack for raspberry syrup, so its price is unknown. "
                "Write its pack into the book first.",
            ),
            (
                "rye whiskey",
                {"amount": Decimal(1), "unit": "part"},
                "Rye whiskey: thirty dollars a bottle, one dollar eighteen an ounce.",
            ),
        ],
        ids=["an ounce", "litres", "a bottle", "pressed", "a gallon", "made", "by weight", "no price", "a part"],
    )
    def test_so_much_of_it(self, ingredient: str, measure: dict[str, SlotValue], expected: str, talk: Talk) -> None:
        """'What does a litre of lime juice cost?': the sum, and what it comes from; what has no size is no sum."""
        assert talk.say("cost", ingredient=ingredient, **measure) == expected

    def test_in_the_drink_that_is_talked_of(self, talk: Talk) -> None:
        """With waste: two ounces of gin in a Gimlet."""
        talk.ask("cost", drink="Gimlet")
        assert talk.say("cost", ingredient="gin").endswith("In the Gimlet it comes to one dollar ninety-nine.")

    def test_a_house_made_thing_of_unknown_parts_names_them(self, talk: Talk) -> None:
        """Without a price for limes there is none for cordial."""
        lime = replace(talk.book.ingredients["lime juice"], pack=None)
        talk.book = replace(talk.book, ingredients={**talk.book.ingredients, "lime juice": lime})
        assert talk.say("cost", ingredient="lime cordial") == (
            "Lime cordial is made in the house, and there is no price for lime juice."
        )


class TestMenu:
    """'Which drinks are over twenty percent?'"""

    @pytest.mark.parametrize(
        ("slots", "expected"),
        [
            (
                {"percent": PERCENT},
                "Two drinks have a pour cost over twenty percent: Manhattan at twenty-four point one percent and "
                "Southside at twenty point nine percent.",
            ),
            (
                {"percent": PERCENT, "text": "under"},
                "Two drinks have a pour cost under twenty percent: Daiquiri at nineteen point three percent and "
                "Gimlet at eighteen point two percent.",
            ),
            ({"percent": Decimal(24)}, "One drink has a pour cost over twenty-four percent: Manhattan at twenty"),
            ({"percent": Decimal(60)}, "No drink has a pour cost over sixty percent."),
        ],
    )
    def test_drinks_over_and_under(self, slots: dict[str, SlotValue], expected: str, talk: Talk) -> None:
        """Dearest first, with the share of each."""
        assert talk.say("cost", **slots).startswith(expected)

    def test_what_cannot_be_told_is_named(self, talk: Talk) -> None:
        """Two drinks lack a price; they are not counted as under."""
        assert talk.say("cost", percent=PERCENT).endswith("I cannot tell for Clover Club and Aviation.")

    def test_the_drink_that_is_talked_of_does_not_narrow_it(self, talk: Talk) -> None:
        """After a Gimlet, 'which are over twenty?' is still about the menu."""
        talk.ask("cost", drink="Gimlet")
        assert talk.say("cost", percent=PERCENT).startswith("Two drinks have a pour cost over twenty percent")

    def test_the_card_has_them_all(self, talk: Talk) -> None:
        """With the unknown last."""
        card = talk.ask("cost", percent=Decimal(1)).reply.card
        assert card is not None
        assert isinstance(card.blocks[0], Table)
        assert [row.label for row in card.blocks[0].rows] == [
            "Manhattan",
            "Southside",
            "Daiquiri",
            "Gimlet",
            "Clover Club",
            "Aviation",
        ]

    def test_a_long_list_ends_with_how_many_more(self, talk: Talk) -> None:
        """A book of hundreds fills no wall."""
        gimlet = talk.book.drinks["Gimlet"]
        talk.book = talk.book.with_drinks(replace(gimlet, name=f"Gimlet {number}") for number in range(100))
        card = talk.ask("cost", percent=Decimal(1)).reply.card
        assert card is not None
        assert card.blocks[1] == Note("And forty-six drinks more.", "muted")


class TestTarget:
    """'What should it cost at twenty percent?'"""

    def test_the_house_target_when_none_is_named(self, talk: Talk) -> None:
        """Up to the half dollar, beside the price it has."""
        assert talk.say("price_for_target", drink="Gimlet") == (
            "At twenty percent the Gimlet should be twelve dollars. "
            "It is thirteen dollars now, at eighteen point two percent."
        )

    def test_another_target(self, talk: Talk) -> None:
        """A richer margin."""
        assert talk.say("price_for_target", drink="Gimlet", percent=Decimal(15)).startswith(
            "At fifteen percent the Gimlet should be sixteen dollars."
        )

    def test_a_drink_without_a_price(self, talk: Talk) -> None:
        """It gets one, and the answer says that it had none."""
        assert talk.say("price_for_target", drink="Gin Rickey", percent=Decimal(18)) == (
            "At eighteen percent the Gin Rickey should be fifteen dollars. It has no menu price now."
        )

    def test_an_unknown_cost_has_no_price(self, talk: Talk) -> None:
        """No price is made up."""
        assert talk.say("price_for_target", drink="Aviation").startswith("I cannot cost the Aviation")

    @pytest.mark.parametrize("percent", [Decimal(0), Decimal(100), Decimal(250)])
    def test_a_share_that_cannot_be(self, percent: Decimal, talk: Talk) -> None:
        """It is asked back."""
        assert talk.say("price_for_target", drink="Gimlet", percent=percent) == (
            "A pour cost lies between one and ninety-nine percent. Which one?"
        )
