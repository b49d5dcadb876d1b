"""What a bar says it has, and what it hears when it asks."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from assistant.answers.base import Counted, Scene, SetOut
from assistant.answers.on_hand import ago, asked, counted_now, told
from assistant.messages import Figure, Focus, Row, Table
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book
from recipes.stocktake import OnHand
from recipes.units import quantity

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)
LITRE = OnHand(ready=quantity(1000, "milliliter"))


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """Noon, nothing counted yet."""
    return Scene(tiny_book, frozenset(), Focus(), now=NOON)


def counting(**slots: SlotValue) -> Command:
    """What somebody says there is."""
    return Command(Intent.COUNTED, slots)


def asking(**slots: SlotValue) -> Command:
    """What somebody wants to know."""
    return Command(Intent.ON_HAND, slots)


class TestTold:
    """'We have two litres of lime juice.'"""

    @pytest.mark.parametrize(
        ("slots", "said", "on_hand"),
        [
            (
                {"ingredient": "lime juice", "amount": Decimal(2), "unit": "l"},
                "Noted: two litres of lime juice on hand. Prep takes it off.",
                OnHand(ready=quantity(2000, "milliliter")),
            ),
            (
                {"ingredient": "sugar syrup", "amount": Decimal("0.5"), "unit": "bottle"},
                "Noted: half a bottle of sugar syrup, three hundred and seventy-five mil on hand. Prep takes it off.",
                OnHand(ready=quantity(375, "milliliter")),
            ),
            (
                {"ingredient": "lemon juice", "count": 12},
                "Noted: twelve fruit for lemon juice, about five hundred and four mil pressed. Prep takes it off.",
                OnHand(fruit=Decimal(12)),
            ),
            (
                {"ingredient": "lime wheel", "count": 20},
                "Noted: twenty lime wheels on hand. Prep takes it off.",
                OnHand(ready=quantity(20, "piece")),
            ),
        ],
    )
    def test_it_is_read_back_and_kept_with_its_time(
        self, slots: dict[str, SlotValue], said: str, on_hand: OnHand, scene: Scene
    ) -> None:
        """The amount is said again as it was understood, and the time is the clock's."""
        answer = told(counting(**slots), scene)
        assert answer.reply.say == said
        assert answer.change == Counted(str(slots["ingredient"]), on_hand, NOON)

    def test_juice_and_fruit_are_counted_apart(self, scene: Scene) -> None:
        """Twelve lemons beside the litre that was pressed this morning leave the litre as it is."""
        pressed = replace(scene, on_hand={"lemon juice": Counted("lemon juice", LITRE, NOON - timedelta(hours=3))})
        answer = told(counting(ingredient="lemon juice", count=12), pressed)
        assert answer.change == Counted("lemon juice", replace(LITRE, fruit=Decimal(12)), NOON)

    def test_what_was_out_is_back_in_with_it(self, scene: Scene) -> None:
        """Nobody has two litres of what is out; one undo takes both back."""
        answer = told(
            counting(ingredient="lime juice", amount=Decimal(2), unit="l"),
            replace(scene, out=frozenset({"lime juice"})),
        )
        assert answer.reply.say.endswith("Lime juice is back in.")
        assert answer.also == (SetOut("lime juice", out=False),)

    @pytest.mark.parametrize(
        ("slots", "said"),
        [
            (
                {"ingredient": "gin", "amount": Decimal(3), "unit": "part"},
                "That does not tell me how much gin there is. Say, for example: we have one litre of gin.",
            ),
            (
                {"ingredient": "lime juice", "amount": Decimal(2), "unit": "kg"},
                "That does not tell me how much lime juice there is. "
                "Count the fruit, or say how much of it is pressed.",
            ),
            (
                {"ingredient": "gin", "amount": Decimal(0), "unit": "l"},
                "How much gin is there? Say, for example: we have one litre of gin.",
            ),
        ],
    )
    def test_what_tells_no_amount_is_asked_about(self, slots: dict[str, SlotValue], said: str, scene: Scene) -> None:
        """Nothing is noted then."""
        answer = told(counting(**slots), scene)
        assert (answer.reply.say, answer.change) == (said, None)

    def test_all_counts_can_be_forgotten(self, scene: Scene) -> None:
        """Before a new stocktake; together, so that one undo has them back."""
        both = {name: Counted(name, LITRE, NOON) for name in ("gin", "lime juice")}
        answer = told(counting(text="none"), replace(scene, on_hand=both))
        assert answer.reply.say == "All counts are forgotten. Count again, or say undo to have them back."
        assert (answer.change, *answer.also) == (Counted("gin", OnHand()), Counted("lime juice", OnHand()))

    def test_with_nothing_counted_there_is_nothing_to_forget(self, scene: Scene) -> None:
        """And nothing changes."""
        answer = told(counting(text="none"), scene)
        assert (answer.reply.say, answer.change) == ("Nothing is counted yet.", None)


class TestAsked:
    """'How much lime juice have we got?'"""

    def test_the_count_comes_with_its_age(self, scene: Scene) -> None:
        """A litre, and since when."""
        counted = {"lime juice": Counted("lime juice", LITRE, NOON - timedelta(hours=3))}
        answer = asked(asking(ingredient="lime juice"), replace(scene, on_hand=counted))
        assert answer.reply.say == "One litre of lime juice, counted three hours ago."

    def test_an_old_count_is_told_as_old(self, scene: Scene) -> None:
        """After a day nobody should rely on it."""
        counted = {"lime juice": Counted("lime juice", LITRE, NOON - timedelta(days=2))}
        answer = asked(asking(ingredient="lime juice"), replace(scene, on_hand=counted))
        assert answer.reply.say == "One litre of lime juice, counted two days ago. That is old: count again."

    def test_what_nobody_counted_is_unknown_not_none(self, scene: Scene) -> None:
        """No count is no zero."""
        assert asked(asking(ingredient="gin"), scene).reply.say == (
            "Nobody has counted gin, so that is unknown. Say, for example: we have one litre of gin."
        )

    def test_fruit_is_told_with_what_it_presses_to(self, scene: Scene) -> None:
        """Twelve lemons at 42 mL."""
        counted = {"lemon juice": Counted("lemon juice", OnHand(fruit=Decimal(12)), NOON)}
        answer = asked(asking(ingredient="lemon juice"), replace(scene, on_hand=counted))
        assert answer.reply.say == (
            "Twelve fruit for lemon juice, about five hundred and four mil pressed, counted just now."
        )

    def test_what_is_out_is_out(self, scene: Scene) -> None:
        """Whatever was counted before."""
        counted = {"gin": Counted("gin", LITRE, NOON)}
        gone = replace(scene, out=frozenset({"gin"}), on_hand=counted)
        assert asked(asking(ingredient="gin"), gone).reply.say == "We are out of gin."

    def test_everything_that_was_counted_is_on_the_card(self, scene: Scene) -> None:
        """Amounts with their units, and what is too old to be taken off."""
        counted = {
            "gin": Counted("gin", LITRE, NOON - timedelta(days=2)),
            "lemon juice": Counted("lemon juice", OnHand(fruit=Decimal(12)), NOON),
        }
        reply = asked(asking(), replace(scene, on_hand=counted)).reply
        assert reply.say == "Counted: gin and lemon juice. The card has how much, and since when."
        assert reply.card is not None
        (table,) = reply.card.blocks
        assert isinstance(table, Table)
        litre = Figure(Decimal("1.00"), "l", "1 l")
        assert table.rows == (
            Row("gin", (litre, "", "two days ago"), "too old: prep does not take it off", "muted"),
            Row("lemon juice", ("", Figure(Decimal(12), "fruit", "12 fruit"), "just now")),
        )

    def test_with_nothing_counted_it_is_unknown(self, scene: Scene) -> None:
        """Nobody is told that the shelf is empty."""
        assert asked(asking(), scene).reply.say.startswith("Nothing is counted yet, so what is on hand is unknown.")


class TestWhatIsOut:
    """'What are we out of?'"""

    def test_it_is_listed_with_what_it_stops(self, scene: Scene) -> None:
        """By name, and on the card drink by drink."""
        reply = asked(asking(text="out"), replace(scene, out=frozenset({"mint", "egg white"}))).reply
        assert reply.say == "We are out of egg white and mint. That stops two drinks: Clover Club and Southside."
        assert reply.card is not None
        assert reply.card.title == "Out: egg white and mint"

    def test_what_stops_nothing_is_told_alone(self, scene: Scene) -> None:
        """A garnish stops no drink."""
        reply = asked(asking(text="out"), replace(scene, out=frozenset({"cherry"}))).reply
        assert reply.say == "We are out of cherry."

    def test_nothing_is_out(self, scene: Scene) -> None:
        """And that is said."""
        assert asked(asking(text="out"), scene).reply.say == "Nothing is out."


class TestAge:
    """How long a count stands."""

    @pytest.mark.parametrize(
        ("passed", "said"),
        [
            (timedelta(seconds=30), "just now"),
            (timedelta(minutes=20), "twenty minutes ago"),
            (timedelta(minutes=70), "one hour ago"),
            (timedelta(hours=23), "twenty-three hours ago"),
            (timedelta(days=3), "three days ago"),
        ],
    )
    def test_it_is_told_as_a_person_would(self, passed: timedelta, said: str) -> None:
        """In minutes, hours or days."""
        assert ago(NOON - passed, NOON) == said

    def test_a_count_stands_for_a_day(self, scene: Scene) -> None:
        """What was counted at closing stands at opening; the day after it does not."""
        counted = {
            "gin": Counted("gin", LITRE, NOON - timedelta(hours=15)),
            "mint": Counted("mint", LITRE, NOON - timedelta(hours=25)),
        }
        assert counted_now(replace(scene, on_hand=counted)) == {"gin": LITRE}
