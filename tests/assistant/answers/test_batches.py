"""What a bartender hears of a batch."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType

import pytest

from assistant.answers import batches, scales
from assistant.answers.base import Answer, Scene
from assistant.answers.batches import batch_of
from assistant.messages import Card, Cell, Focus, Steps, Table
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book, Method
from recipes.units import quantity
from tests.assistant.answers.talking import Talk
from tests.conftest import pours
from tests.known_book import drink_of, make_known_book

MADE = date(2026, 4, 1)


@pytest.fixture
def book() -> Book:
    """The small book with numbers."""
    return make_known_book()


@pytest.fixture
def talk(book: Book) -> Talk:
    """A fresh conversation."""
    return Talk({**batches.HANDLERS, **scales.HANDLERS}, book)


def ask(book: Book, **slots: SlotValue) -> Answer:
    """The answer on the first of April."""
    scene = Scene(book, frozenset(), Focus(drink=str(slots["drink"])))
    return batch_of(Command(Intent.BATCH, slots), scene, MADE)


def card_of(book: Book, **slots: SlotValue) -> Card:
    """The card on the first of April."""
    card = ask(book, **slots).reply.card
    assert card is not None
    return card


def table(card: Card, title: str) -> dict[str, tuple[str, ...]]:
    """A table of a card as people read it, by label."""
    found = next(block for block in card.blocks if isinstance(block, Table) and block.title == title)
    return {row.label: tuple(read(cell) for cell in row.cells) for row in found.rows}


def read(cell: Cell) -> str:
    """The text of a cell."""
    return cell if isinstance(cell, str) else cell.text


class TestSay:
    """'Batch twenty Manhattans.'"""

    def test_ready_to_pour(self, talk: Talk) -> None:
        """The number read back, what goes in with its water, and how much to pour."""
        assert talk.say("batch", drink="Manhattan", count=20) == (
            "Twenty Manhattans, batched, two point five nine litres in all. "
            "Thirty-six mil of aromatic bitters, five hundred and ninety-one mil of sweet vermouth, "
            "one point one eight litres of rye whiskey and seven hundred and eighty-six mil of water. "
            "Pour four and a half ounces for each serve, cold and ready."
        )

    def test_what_waits_for_the_order_is_told_with_its_reason(self, talk: Talk) -> None:
        """Lime is added to each, because it fades."""
        assert talk.say("batch", drink="Daiquiri", count=20) == (
            "Twenty Daiquiris, batched, one point six two litres in all. "
            "Four hundred and forty-four mil of sugar syrup and one point one eight litres of white rum. "
            "Pour two and three quarters ounces for each serve, and shake it as usual. "
            "For each serve add to order three quarters of an ounce of lime juice: fresh juice fades within hours."
        )

    def test_reasons_are_told_once(self, talk: Talk) -> None:
        """Lemon and egg each have their own."""
        said = talk.say("batch", drink="Clover Club", count=10)
        assert said.endswith(
            "For each serve add to order three quarters of an ounce of lemon juice and one egg white: "
            "fresh juice fades within hours and raw egg does not stand."
        )

    @pytest.mark.parametrize(
        ("slots", "expected"),
        [
            ({"amount": Decimal(2), "unit": "l"}, "Two litres of Manhattan is fifteen full serves."),
            (
                {"amount": Decimal(3), "unit": "bottle"},
                "Three bottles of Manhattan, two point two five litres, is seventeen full serves.",
            ),
            (
                {"count": 2, "unit": "bottle"},
                "Two bottles of Manhattan, one point five litres, is eleven full serves.",
            ),
            (
                {"amount": Decimal(64), "unit": "oz"},
                "Sixty-four ounces of Manhattan, one point eight nine litres, is fourteen full serves.",
            ),
            (
                {"amount": Decimal("0.5"), "unit": "gallon"},
                "Half a gallon of Manhattan, one point eight nine litres, is fourteen full serves.",
            ),
            (
                {"amount": Decimal(2), "unit": "quart"},
                "Two quarts of Manhattan, one point eight nine litres, is fourteen full serves.",
            ),
            ({"text": "keg"}, "Nineteen litres of Manhattan is one hundred and forty-six full serves."),
            ({"count": 1}, "Manhattan, batched, one hundred and thirty mil in all."),
        ],
        ids=["litres", "bottles", "bottles by count", "ounces", "half a gallon", "quarts", "a keg", "one"],
    )
    def test_a_size_in_any_way_people_say_it(self, slots: dict[str, SlotValue], expected: str, talk: Talk) -> None:
        """Litres, bottles, ounces, a keg, or serves."""
        assert talk.say("batch", drink="Manhattan", **slots).startswith(expected)

    def test_a_gallon_is_measured_in_ounces(self, talk: Talk) -> None:
        """Who batches by the gallon has no jug in millilitres; bitters are told to the eighth, or they grow loud."""
        assert talk.say("batch", drink="Manhattan", amount=Decimal(1), unit="gallon").split(". ")[1] == (
            "One and three quarters ounces of aromatic bitters, twenty-nine and a quarter ounces of sweet vermouth, "
            "fifty-eight and a half ounces of rye whiskey and thirty-eight and three quarters ounces of water"
        )

    def test_a_metric_batch_stays_metric(self, talk: Talk) -> None:
        """Four litres are measured in litres and mil."""
        assert "ounces of rye" not in talk.say("batch", drink="Manhattan", amount=Decimal(4), unit="l")

    def test_the_count_of_the_talk_is_kept(self, talk: Talk) -> None:
        """'Twelve Manhattans', then 'batch it'."""
        talk.ask("scale", drink="Manhattan", count=12)
        assert talk.say("batch").startswith("Twelve Manhattans, batched")

    def test_without_a_number_it_asks(self, talk: Talk) -> None:
        """How many, with three to choose from, and each choice is a whole command."""
        reply = talk.ask("batch", drink="Manhattan").reply
        assert reply.asks is not None
        assert reply.say == reply.asks.text
        assert reply.say.endswith("?")
        assert [choice.label for choice in reply.asks.choices] == ["10", "20", "40"]
        assert reply.asks.choices[1].command.slots == {"drink": "Manhattan", "count": 20}

    def test_a_long_batch_is_cut_short_for_the_ear(self, book: Book) -> None:
        """Five lines and 'more on the card'."""
        names = ("gin", "white rum", "rye whiskey", "sweet vermouth", "sugar syrup", "raspberry syrup")
        drink = replace(drink_of(pours(*(f"1 oz {name}" for name in names)), Method.STIRRED), name="Tangle")
        said = Talk(batches.HANDLERS, book.with_drinks([drink])).say("batch", drink="Tangle", count=10)
        assert "two more lines on the card" in said

    def test_dry_sugar_is_told_by_weight(self, book: Book) -> None:
        """Twenty times four grams."""
        lines = pours("2 oz rye whiskey", "4 g white sugar", "2 dash aromatic bitters")
        drink = replace(drink_of(lines, Method.STIRRED), name="Cocktail")
        said = Talk(batches.HANDLERS, book.with_drinks([drink])).say("batch", drink="Cocktail", count=20)
        assert "eighty grams of white sugar" in said

    def test_left_out_is_left_out_of_the_batch(self, talk: Talk) -> None:
        """'Without the bitters.'"""
        talk.ask("without", drink="Manhattan", ingredient="aromatic bitters")
        said = talk.say("batch", count=20)
        assert said.startswith("Twenty Manhattans without aromatic bitters, batched")
        assert said.count("bitters") == 1
        assert talk.say("batch", text="keg").startswith("Nineteen litres of Manhattan without aromatic bitters is")


class TestRefusals:
    """What cannot be batched, and what to do then."""

    def test_nothing_keeps(self, book: Book) -> None:
        """Lime and soda are made to order."""
        drink = replace(drink_of(pours("1 oz lime juice", "4 oz soda water, to top")), name="Lime and Soda")
        said = Talk(batches.HANDLERS, book.with_drinks([drink])).say("batch", drink="Lime and Soda", count=10)
        assert said == "Nothing in the Lime and Soda keeps, so there is nothing to batch. Make it to order."

    def test_a_volume_of_the_unknown(self, book: Book) -> None:
        """The bottle to read is named."""
        drink = replace(drink_of(pours("2 oz gin", "1 oz violet liqueur"), Method.STIRRED), name="Riddle")
        said = Talk(batches.HANDLERS, book.with_drinks([drink])).say(
            "batch", drink="Riddle", amount=Decimal(1), unit="l"
        )
        assert said == "I cannot size a batch of the Riddle: I lack numbers for violet liqueur. Read the label."

    def test_serves_of_the_unknown_leave_the_water_to_the_label(self, book: Book) -> None:
        """What is known goes in; the water and the pour are unknown."""
        drink = replace(drink_of(pours("2 oz gin", "1 oz violet liqueur"), Method.STIRRED), name="Riddle")
        said = Talk(batches.HANDLERS, book.with_drinks([drink])).say("batch", drink="Riddle", count=10)
        assert said == (
            "Ten Riddles, batched. Two hundred and ninety-six mil of violet liqueur, "
            "five hundred and ninety-one mil of gin and water, amount unknown. "
            "How much to pour for each serve is unknown: I lack numbers for violet liqueur."
        )

    def test_a_batch_of_nothing(self, talk: Talk) -> None:
        """Zero serves are no batch."""
        said = talk.say("batch", drink="Manhattan", count=0)
        assert said == "A batch of the Manhattan must be more than nothing. How many serves?"


class TestCard:
    """What the eye gets, and what is stuck on the bottle."""

    def test_by_volume_and_by_weight(self, book: Book) -> None:
        """Every line both ways, and the packs to open."""
        found = table(card_of(book, drink="Manhattan", count=20), "The batch")
        assert found["rye whiskey"] == ("1.18 l", "1.11 kg", "2")
        assert found["water"] == ("786 ml", "785 g", "")
        assert found["In all"] == ("2.59 l", "2.55 kg", "")
        assert found["For each serve"] == ("130 ml", "", "")

    def test_dry_sugar_by_weight_alone(self, book: Book) -> None:
        """No spoon holds eighty grams well."""
        drink = replace(drink_of(pours("2 oz gin", "4 g white sugar"), Method.STIRRED), name="Cocktail")
        found = table(card_of(book.with_drinks([drink]), drink="Cocktail", count=20), "The batch")
        assert found["white sugar"] == ("by weight", "80 g", "1")

    def test_what_waits(self, book: Book) -> None:
        """Each with its amount for one serve."""
        assert table(card_of(book, drink="Daiquiri", count=20), "Not ahead") == {"lime juice": ("3/4 oz",)}

    def test_order_of_mixing(self, book: Book) -> None:
        """Clean, small to large, water last, taste, label."""
        card = card_of(book, drink="Manhattan", count=20)
        steps = next(block for block in card.blocks if isinstance(block, Steps))
        assert steps.items[1:5] == (
            "Measure in the aromatic bitters.",
            "Measure in the sweet vermouth.",
            "Measure in the rye whiskey.",
            "Measure in the water.",
        )
        assert steps.items[-1].startswith("Label it")

    def test_containers(self, book: Book) -> None:
        """2.59 litres take four bottles, the last of them under half full."""
        assert table(card_of(book, drink="Manhattan", count=20), "Containers") == {"bottle": ("4", "750 ml")}
        assert list(table(card_of(book, drink="Manhattan", text="keg"), "Containers")) == ["keg", "bottle"]


class TestLabel:
    """The label, with its dates."""

    def test_what_stands_on_it(self, book: Book) -> None:
        """Drink, contents, strength, allergens, made, discard by."""
        label = table(card_of(book, drink="Manhattan", count=20), "Label")
        assert label == {
            "Drink": ("Manhattan",),
            "Contents": ("rye whiskey, sweet vermouth, aromatic bitters and water",),
            "Strength": ("24.8 % vol",),
            "Allergens": ("sulphites",),
            "Made": ("1 April 2026",),
            "Discard by": ("30 April 2026",),
        }

    @pytest.mark.parametrize(
        ("days", "expected", "source"),
        [
            (7, "7 April 2026", "Southern Nevada Health District: made 1 April, use by 7 April"),
            (1, "1 April 2026", "Food Code 3-501.17: the day of preparation is day one"),
            (31, "1 May 2026", "the calendar"),
        ],
    )
    def test_the_day_it_was_made_is_day_one(self, days: int, expected: str, source: str, book: Book) -> None:
        """As the Food Code counts."""
        assert source
        vermouth = replace(book.ingredients["sweet vermouth"], shelf_life=quantity(days, "day"))
        book = replace(book, ingredients=MappingProxyType(dict(book.ingredients) | {"sweet vermouth": vermouth}))
        assert table(card_of(book, drink="Manhattan", count=20), "Label")["Discard by"] == (expected,)

    def test_spirits_alone_have_no_date(self, book: Book) -> None:
        """None by our data, which is not a promise."""
        book = book.with_drinks([replace(drink_of(pours("2 oz gin"), Method.STIRRED), name="Cold Gin")])
        label = table(card_of(book, drink="Cold Gin", count=20), "Label")
        assert label["Discard by"] == ("no date by our data",)
        assert label["Allergens"] == ("none listed by our data",)

    def test_what_is_unknown_is_asked(self, book: Book) -> None:
        """Allergens and shelf life of the violet liqueur."""
        answer = ask(book, drink="Aviation", count=10)
        assert answer.reply.card is not None
        label = table(answer.reply.card, "Label")
        assert label["Allergens"] == ("none listed by our data; unknown, ask: violet liqueur",)
        assert label["Discard by"] == ("unknown, ask",)
        assert label["Strength"] == ("unknown",)
        assert "How long it keeps is unknown for violet liqueur: ask, and date it short." in answer.reply.cautions

    def test_without_a_date_given_it_is_today(self, talk: Talk) -> None:
        """The clock is read when the batch is asked for."""
        card = talk.ask("batch", drink="Manhattan", count=20).reply.card
        assert card is not None
        today = date.today()
        assert table(card, "Label")["Made"] == (f"{today.day} {today:%B %Y}",)


def test_the_law_and_the_standing_line_come_each_time(book: Book) -> None:
    """Pre-mixing is restricted in places; labels and local codes decide."""
    cautions = ask(book, drink="Daiquiri", count=5).reply.cautions
    assert cautions[0] == ("Check local law before you pre-mix, infuse or refill bottles: in the US see 27 CFR 31.233.")
    assert cautions[-1].endswith("decide.")
