"""What a bartender hears of a drink's balance."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from assistant.answers import balances, scales
from assistant.answers.balances import BITTERNESS, SOURNESS, STRENGTH, SWEETNESS, Scale, word_for
from assistant.messages import Bars, Figure, Note, Table
from recipes.model import Book, FamilyRule, Glass, Ice, Method, Structure
from recipes.units import quantity
from tests.assistant.answers.talking import Talk
from tests.conftest import pours
from tests.known_book import drink_of, make_known_book

SOUR = FamilyRule("sour", "Sour", "a base, citrus and sugar", Structure(has=("base", "acid")), ("base", "acid"))


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


@pytest.fixture
def talk(book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**balances.HANDLERS, **scales.HANDLERS}, book)


def with_drink(book: Book, name: str, *lines: str, **changes: object) -> Book:
    """The book with one more drink."""
    drink = replace(drink_of(pours(*lines)), name=name, **changes)  # type: ignore[arg-type]
    return book.with_drinks([drink])


class TestWhole:
    """'How is the Daiquiri balanced?'"""

    def test_a_sour_in_bar_words(self, talk: Talk) -> None:
        """Strength, sweet against sour, what is in the glass, its water, and how much alcohol that is."""
        assert talk.say("balance", drink="Daiquiri") == (
            "The Daiquiri is middling strong at about fifteen percent and balanced. "
            "Five and a quarter ounces in the coupe, a third of it water from ice. "
            "US standard drinks: about one and a half."
        )

    def test_a_stirred_drink_in_bar_words(self, talk: Talk) -> None:
        """No acid to speak of, so it is sweet or dry; bitterness is told where there is any."""
        assert talk.say("balance", drink="Manhattan") == (
            "The Manhattan is strong at about twenty-five percent, barely sweet and a little bitter. "
            "Four and a half ounces in the coupe, a third of it water from ice. "
            "US standard drinks: about two."
        )

    def test_in_millilitres_when_the_talk_is(self, talk: Talk) -> None:
        """The unit of the conversation is kept."""
        talk.focus = replace(talk.focus, unit="ml")
        assert "One hundred and fifty-seven mil in the coupe" in talk.say("balance", drink="Daiquiri")

    def test_a_drink_that_met_no_ice(self, book: Book) -> None:
        """A toddy has no water from ice to tell of."""
        book = with_drink(book, "Toddy", "1.5 oz rye whiskey", "4.5 oz water, hot", method=Method.BUILT)
        said = Talk(balances.HANDLERS, book).say("balance", drink="Toddy")
        assert "Six ounces in the coupe, with no water from ice." in said

    def test_a_drink_without_alcohol(self, book: Book) -> None:
        """Its standard drinks go unsaid."""
        book = with_drink(book, "Limeade", "1 oz lime juice", "1 oz sugar syrup", "4 oz soda water, to top")
        said = Talk(balances.HANDLERS, book).say("balance", drink="Limeade")
        assert said.startswith("The Limeade is all but free of alcohol and balanced.")
        assert "standard" not in said

    @pytest.mark.parametrize(
        ("capacity", "ice", "expected"),
        [
            (180, Ice.NONE, ""),
            (500, Ice.NONE, "It sits low in the coupe."),
            (160, Ice.NONE, "It fills the coupe to the lip."),
            (150, Ice.NONE, "That is more than the coupe takes."),
            (180, Ice.CUBED, "That is more than the coupe takes with its ice."),
        ],
    )
    def test_how_it_fills_its_glass(self, capacity: int, ice: Ice, expected: str, book: Book) -> None:
        """Told only when it fits badly."""
        glass = Glass("coupe", quantity(capacity, "milliliter"))
        book = replace(book, glasses=MappingProxyType({"coupe": glass}))
        book = book.with_drinks([replace(book.drinks["Daiquiri"], ice=ice)])
        said = Talk(balances.HANDLERS, book).say("balance", drink="Daiquiri")
        assert ("coupe" in said.split("ice.", 1)[1]) is bool(expected)
        assert expected in said

    def test_left_out_is_left_out_of_the_balance(self, talk: Talk) -> None:
        """'Without the egg white': the Clover Club is stronger, and named for what it lacks."""
        whole = talk.say("balance", drink="Clover Club", part="strength")
        talk.ask("without", drink="Clover Club", ingredient="egg white")
        without = talk.say("balance", part="strength")
        assert whole.startswith("The Clover Club is easy at about eleven percent")
        assert without.startswith("The Clover Club without egg white is easy at about fourteen percent")


class TestUnknown:
    """What the book does not tell."""

    def test_the_bottle_to_read_is_named(self, talk: Talk) -> None:
        """Nothing is guessed of the violet liqueur."""
        assert talk.say("balance", drink="Aviation") == (
            "I cannot tell how strong it is: I lack numbers for violet liqueur. Read the label."
        )

    def test_what_is_known_is_told_all_the_same(self, book: Book) -> None:
        """A rum of unknown sugar still has its strength."""
        rum = replace(book.ingredients["white rum"], sugar=None)
        book = replace(book, ingredients=MappingProxyType(dict(book.ingredients) | {"white rum": rum}))
        said = Talk(balances.HANDLERS, book).say("balance", drink="Daiquiri")
        assert said.startswith("The Daiquiri is middling strong at about fifteen percent.")
        assert said.endswith("The rest is unknown: I lack numbers for white rum. Read the label.")

    @pytest.mark.parametrize("part", ["strength", "sugar", "acid", "dilution", "bitterness", "volume"])
    def test_each_question_is_answered_unknown(self, part: str, talk: Talk) -> None:
        """Never zero."""
        assert talk.say("balance", drink="Aviation", part=part) == (
            f"The {part} of the Aviation is unknown: I lack numbers for violet liqueur. Read the label."
        )

    def test_the_card_says_unknown(self, talk: Talk) -> None:
        """Every figure that needs it, and a note that names it."""
        card = talk.ask("balance", drink="Aviation").reply.card
        assert card is not None
        bars = next(block for block in card.blocks if isinstance(block, Bars))
        assert [bar.figure.text for bar in bars.bars] == ["unknown"] * 4
        notes = [block.text for block in card.blocks if isinstance(block, Note)]
        assert notes == ["Unknown, ask or read the label: violet liqueur."]


class TestParts:
    """'How strong is it?', 'how much sugar is in it?'"""

    @pytest.mark.parametrize(
        ("part", "drink", "expected"),
        [
            (
                "strength",
                "Daiquiri",
                "The Daiquiri is middling strong at about fifteen percent, from twenty-three percent before the ice. "
                "US standard drinks: about one and a half.",
            ),
            ("sugar", "Daiquiri", "The Daiquiri is balanced: fourteen grams of sugar in the glass."),
            ("acid", "Daiquiri", "The Daiquiri is balanced: point eight five percent acid, eleven of sugar to one."),
            (
                "dilution",
                "Daiquiri",
                "The Daiquiri takes about one and three quarters ounces of water from the ice, "
                "a third of what is in the glass.",
            ),
            ("bitterness", "Daiquiri", "The Daiquiri is not bitter: zero of five."),
            ("bitterness", "Manhattan", "The Manhattan is a little bitter: point five of five."),
            (
                "volume",
                "Daiquiri",
                "The Daiquiri comes to five and a quarter ounces in the coupe, eighty-seven percent of the way up.",
            ),
        ],
    )
    def test_one_thing_asked_is_one_thing_told(self, part: str, drink: str, expected: str, talk: Talk) -> None:
        """The rest stays on the card."""
        assert talk.say("balance", drink=drink, part=part) == expected

    def test_no_acid_and_no_ice(self, book: Book) -> None:
        """Whiskey and hot water have neither, and it is said so."""
        book = with_drink(book, "Toddy", "1.5 oz rye whiskey", "4.5 oz water, hot", method=Method.BUILT)
        talk = Talk(balances.HANDLERS, book)
        assert talk.say("balance", drink="Toddy", part="acid") == "The Toddy has no acid to speak of."
        assert talk.say("balance", part="dilution") == "The Toddy takes no water from ice."
        assert talk.say("balance", part="strength").startswith("The Toddy is easy at about eleven percent. ")

    def test_a_part_nobody_knows_gives_the_whole(self, talk: Talk) -> None:
        """Better all of it than nothing."""
        assert talk.say("balance", drink="Daiquiri", part="mouthfeel") == talk.say("balance", drink="Daiquiri")


class TestCard:
    """What the eye gets."""

    def test_bars_and_numbers(self, talk: Talk) -> None:
        """Four bars, and every number with its unit."""
        card = talk.ask("balance", drink="Daiquiri").reply.card
        assert card is not None
        assert (card.kind, card.title, card.facts) == ("balance", "Daiquiri", ("shaken", "coupe", "no ice"))
        bars, numbers, note = card.blocks
        assert isinstance(bars, Bars)
        assert [bar.figure.text for bar in bars.bars] == ["15 % vol", "89 g/l", "0.85 %", "0 of 5"]
        assert isinstance(numbers, Table)
        shown = {row.label: row.cells[0] for row in numbers.rows}
        assert isinstance(shown["In the glass"], Figure)
        assert shown["In the glass"].text == "157 ml"
        assert shown["Standard drinks, US"] == Figure(Decimal("1.3"), "", "1.3")
        assert shown["Sugar to acid"] == Figure(Decimal("10.5"), "to 1", "10.5 to 1")
        assert note == Note("Water from ice by a published fit for shaken drinks; allow 15 % either way.")

    def test_a_built_drink_says_that_its_water_is_a_guess(self, talk: Talk) -> None:
        """No published fit, so it is marked as this house's own."""
        card = talk.ask("balance", drink="Gin Rickey").reply.card
        assert card is not None
        assert card.blocks[-1] == Note(
            "Water from ice by this house's reckoning for built drinks; allow 15 % either way."
        )

    def test_bars_stand_against_the_family(self, book: Book) -> None:
        """The band is that of the drinks which handbooks put in the family."""
        members = [replace(book.drinks[name], family="sour") for name in ("Daiquiri", "Southside")]
        book = replace(book.with_drinks(members), families=MappingProxyType({"sour": SOUR}))
        card = Talk(balances.HANDLERS, book).ask("balance", drink="Daiquiri").reply.card
        assert card is not None
        bars = card.blocks[0]
        assert isinstance(bars, Bars)
        assert bars.title == "Against its family: Sour"
        strength = bars.bars[0]
        assert strength.low is not None
        assert strength.high is not None
        assert strength.low <= (strength.figure.value or 0) + Decimal("0.05")
        assert strength.high >= (strength.figure.value or 0) - Decimal("0.05")

    def test_no_family_no_band(self, talk: Talk) -> None:
        """The bars stand alone."""
        card = talk.ask("balance", drink="Daiquiri").reply.card
        assert card is not None
        bars = card.blocks[0]
        assert isinstance(bars, Bars)
        assert {(bar.low, bar.high) for bar in bars.bars} == {(None, None)}
        assert bars.title == "Balance"

    def test_a_bar_is_stretched_for_a_drink_beyond_the_classics(self, book: Book) -> None:
        """A glass of syrup is off the usual scale."""
        book = with_drink(book, "Treacle", "3 oz sugar syrup", method=Method.BUILT)
        card = Talk(balances.HANDLERS, book).ask("balance", drink="Treacle").reply.card
        assert card is not None
        bars = card.blocks[0]
        assert isinstance(bars, Bars)
        assert bars.tops[1] == Decimal(615)

    def test_cautions_go_with_it(self, talk: Talk) -> None:
        """Raw egg is told with the Clover Club's balance too."""
        cautions = talk.ask("balance", drink="Clover Club").reply.cautions
        assert any(line.startswith("Raw egg") for line in cautions)


@pytest.mark.parametrize(
    ("scale", "value", "word"),
    [
        (STRENGTH, "0", "all but free of alcohol"),
        (STRENGTH, "8", "light"),
        (STRENGTH, "8.1", "easy"),
        (STRENGTH, "45", "very strong"),
        (SWEETNESS, "3", "dry"),
        (SWEETNESS, "120", "very sweet"),
        (SOURNESS, "2", "sharp"),
        (SOURNESS, "6", "tart"),
        (SOURNESS, "18", "sweeter than sour"),
        (BITTERNESS, "1.4", "bitter"),
        (BITTERNESS, "4", "very bitter"),
    ],
)
def test_each_number_has_its_word(scale: Scale, value: str, word: str) -> None:
    """Each word holds up to its number."""
    assert word_for(Decimal(value), scale) == word
