"""The manager's PIN and the people of the house, in the talk itself."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

import recipes
from assistant.answers.pins import NEEDED, NONE_YET, unlocked
from assistant.manager import UNLOCKED_FOR, Manager
from assistant.memory import Memory
from assistant.messages import Reply
from assistant.pin import Work
from assistant.services import Services
from grammar.command import Intent
from tests.scripts import scripts, shown

PIN = "482913"
NOON = datetime(2024, 3, 4, 12, 0, tzinfo=UTC)
Open = Callable[..., Services]
MONEY = re.compile(r"\$|\b(usd|dollars?|cents?|pour cost|margin|cheaper|dearer)\b", re.IGNORECASE)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Open]:
    """Opens the book that ships, with what `pin_also_for` is to say, and with a PIN unless told otherwise."""
    opened: list[Services] = []

    def open_house(*also: str, pin: bool = True) -> Services:
        folder = tmp_path / "book"
        shutil.copytree(Path(recipes.__file__).parent / "book", folder)
        file = folder / "house.toml"
        named = ", ".join(f'"{subject}"' for subject in also)
        file.write_text(file.read_text("utf-8").replace("pin_also_for = []", f"pin_also_for = [{named}]"), "utf-8")
        services = Services(folder, f"sqlite:///{tmp_path / 'shift.db'}", lambda: NOON)
        services.manager._work = Work(2, 1, 1)
        if pin:
            services.manager.set_pin(PIN)
        opened.append(services)
        return services

    yield open_house
    for services in opened:
        services.close()


def texts(reply: Reply) -> str:
    """All that is said and shown."""
    choices = [choice.label for choice in reply.asks.choices] if reply.asks else []
    return "\n".join([reply.say, *reply.cautions, *choices, *(shown(reply.card) if reply.card else ())])


def tells_money(text: str) -> bool:
    """Whether a sum of money stands in it, in figures or in words."""
    return MONEY.search(text) is not None


class TestPin:
    """Once a PIN is set."""

    def test_a_new_price_needs_it(self, house: Open) -> None:
        """The refusal says what to do next, and nothing has changed."""
        services = house()
        reply = services.ask("vodka is nineteen dollars now", "bar")
        assert (reply.say, reply.pin) == (NEEDED, "needed")
        assert services.memory.recall().prices == {}

    def test_the_manager_sets_it(self, house: Open) -> None:
        """On the device that is unlocked, and under the name that was given."""
        services = house()
        reply = services.ask("vodka is nineteen dollars now", "office", "Kit", is_manager=True)
        assert reply.say.startswith("Vodka is now nineteen dollars")
        assert services.memory.history("price", "vodka")[0].who == "Kit"

    def test_undoing_it_needs_it_too(self, house: Open) -> None:
        """Whoever finds the manager's tablet locked cannot take the price back."""
        services = house()
        services.ask("vodka is nineteen dollars now", "office", is_manager=True)
        assert services.ask("undo that", "office").say == NEEDED
        assert set(services.memory.recall().prices) == {"vodka"}
        assert services.ask("undo that", "office", is_manager=True).say.startswith("Undone.")

    def test_putting_it_right_needs_it_too(self, house: Open) -> None:
        """'No, I meant' takes a price back, and so is refused like an undo."""
        services = house()
        services.ask("vodka is nineteen dollars now", "office", is_manager=True)
        assert services.ask("no, I meant tequila is nineteen dollars now", "office").say == NEEDED
        assert set(services.memory.recall().prices) == {"vodka"}

    @pytest.mark.parametrize("said", ["we're out of mint", "quiz me on the sours", "what does a gimlet cost"])
    def test_the_shift_goes_on_without_it(self, house: Open, said: str) -> None:
        """Out and back, the quiz, and costs in a house that does not hide them."""
        assert house().ask(said, "bar").pin == ""

    def test_a_riff_is_kept_without_it(self, house: Open) -> None:
        """A bartender's own drink is a bartender's own."""
        services = house()
        services.ask("swap the gin for aged rum in a gimlet", "bar")
        assert services.ask("call it harbour smoke", "bar").undo is not None

    def test_unless_the_house_says_otherwise(self, house: Open) -> None:
        """What is out, and riffs that become drinks, are then the manager's."""
        services = house("stock", "riffs")
        assert services.ask("we're out of mint", "bar").say == NEEDED
        services.ask("swap the gin for aged rum in a gimlet", "bar")
        assert services.ask("call it harbour smoke", "bar").say == NEEDED
        assert services.memory.trail() == ()

    def test_lock_is_said_and_done(self, house: Open) -> None:
        """The door is told to lock the device."""
        reply = house().ask("lock the page", "office", is_manager=True)
        assert (reply.say, reply.pin) == ("Locked. What is the manager's needs the PIN again.", "lock")

    def test_a_database_that_fails_opens_nothing(self, house: Open) -> None:
        """Where it cannot be read whether there is a PIN, there is one."""
        services = house(pin=False)
        with services.memory._engine.begin() as connection:
            connection.exec_driver_sql("alter table venue rename to lost")
        assert NEEDED in services.ask("vodka is nineteen dollars now", "bar").say

    def test_a_pin_set_elsewhere_counts_from_the_next_answer(self, house: Open) -> None:
        """Set by a command while the server runs, or taken away again, it needs no restart."""
        services = house(pin=False)
        assert services.ask("vodka is nineteen dollars now", "bar").undo is not None
        with closing(Memory(str(services.memory._engine.url))) as elsewhere:
            beside = Manager(elsewhere.pins, work=Work(2, 1, 1))
            beside.set_pin(PIN)
            assert services.ask("vodka is twenty dollars now", "bar").say == NEEDED
            beside.remove_pin()
        assert services.ask("vodka is twenty dollars now", "bar").undo is not None


class TestHiddenCosts:
    """In a house that keeps its costs for the manager."""

    def test_no_line_of_a_shift_tells_money(self, house: Open) -> None:
        """Every line of the three demo scripts, asked by somebody else: no sum in any word, card, choice or caution.

        Of the help card only the examples name sums, which nobody ever paid.
        """
        services = house("costs")
        told = []
        for name, lines in scripts().items():
            for line in lines:
                reply = services.ask(line.say, name)
                is_help = reply.command is not None and reply.command.intent is Intent.HELP
                if reply.pin != "needed" and not is_help and tells_money(texts(reply)):
                    told.append((line.say, texts(reply)))
        assert told == []

    def test_the_manager_hears_them(self, house: Open) -> None:
        """The same questions, and each has its sums."""
        services = house("costs")
        for said in ("what does a gimlet cost", "compare the gimlet and the daiquiri", "riff on the gimlet"):
            assert tells_money(texts(services.ask(said, "office", is_manager=True))), said

    @pytest.mark.parametrize(
        "said",
        [
            "what does a gimlet cost",
            "what's the pour cost on a gimlet",
            "which drinks are over twenty two percent",
            "what should I charge for a gimlet at twenty percent",
            "what if limes go to sixty cents",
            "which is cheaper the gimlet or the daiquiri",
            "what does a bottle of gin cost",
            "who changed what",
        ],
    )
    def test_whoever_asks_is_told_what_to_do(self, house: Open, said: str) -> None:
        """Plainly, and without a number."""
        reply = house("costs").ask(said, "bar")
        assert (reply.say, reply.pin, reply.card) == (NEEDED, "needed", None)

    def test_say_that_again_does_not_repeat_what_the_manager_heard(self, house: Open) -> None:
        """When the half hour is over, or the manager has locked and gone."""
        services = house("costs")
        services.ask("compare the gimlet and the daiquiri", "office", is_manager=True)
        assert services.ask("say that again", "office").say == NEEDED

    def test_a_follow_up_does_not_either(self, house: Open) -> None:
        """'And the daiquiri?' asks for a cost as much as the question before it did."""
        services = house("costs")
        services.ask("what does a gimlet cost", "office", is_manager=True)
        reply = services.ask("and the daiquiri", "office")
        assert not tells_money(texts(reply))

    def test_with_no_pin_yet_they_are_nobodys(self, house: Open) -> None:
        """And it says how to set one."""
        assert house("costs", pin=False).ask("what does a gimlet cost", "bar").say == NONE_YET


class TestWho:
    """Who is speaking."""

    def test_a_new_name_is_asked_about_and_then_known(self, house: Open) -> None:
        """'I'm Sam' - 'is that your name?' - 'yes'; the next time it is simply known."""
        services = house(pin=False)
        assert services.ask("I'm Sam", "phone").say == "I do not know Sam yet. Is that your name?"
        reply = services.ask("yes", "phone")
        assert (reply.who, reply.say) == ("Sam", "Hello Sam. Changes and quiz marks from this device are yours now.")
        assert services.ask("i'm sam", "tablet").who == "Sam"

    def test_it_holds_for_the_conversation(self, house: Open) -> None:
        """Changes and marks are that person's from then on; another device is not."""
        services = house(pin=False)
        services.ask("spec for a gimlet", "tablet", "Sam")
        services.ask("I'm Sam", "phone")
        services.ask("we're out of mint", "phone")
        services.ask("we're out of gin", "kitchen")
        assert services.memory.history("out", "mint")[0].who == "Sam"
        assert services.memory.history("out", "gin")[0].who == "kitchen"

    def test_no_is_no(self, house: Open) -> None:
        """'I'm tired' is not a name once that is said."""
        services = house(pin=False)
        services.ask("I'm tired", "phone")
        assert services.ask("no", "phone").who == ""
        assert services.memory.recall().people == ()

    def test_another_person_does_not_answer_the_quiz_that_was_open(self, house: Open) -> None:
        """Ana takes Sam's phone: Sam's round is over, and no mark of Ana's is Sam's."""
        services = house(pin=False)
        services.ask("spec for a gimlet", "tablet", "Ana")
        services.ask("quiz me on the gimlet", "phone", "Sam")
        services.ask("skip", "phone", "Sam")
        assert "The quiz is over." in services.ask("I'm Ana", "phone").say
        services.ask("shaken", "phone", "Ana")
        assert [len(services.memory.marks(name)) for name in ("Sam", "Ana")] == [1, 0]

    def test_how_is_sam_doing(self, house: Open) -> None:
        """The manager asks by name, and hears of Sam, not of whoever asks."""
        services = house(pin=False)
        services.ask("quiz me on the gimlet", "phone", "Sam")
        services.ask("skip", "phone", "Sam")
        for said in ("how is Sam doing", "how did sam do", "what does Sam still miss"):
            reply = services.ask(said, "office", "Kit")
            assert reply.say.startswith("Sam still misses most in the Gimlet."), said
            assert reply.card is not None
            assert reply.card.title == "What Sam knows"
        assert services.ask("how is Kit doing", "office", "Kit").say == "Kit has no marks yet."

    def test_a_floor_test_is_told_by_name(self, house: Open) -> None:
        """How it went, in percent, and whether it was passed."""
        services = house(pin=False)
        services.ask("start a floor test on the classics", "phone", "Sam")
        for _ in range(20):
            services.ask("skip", "phone", "Sam")
        say = services.ask("how did Sam do", "office").say
        assert say.startswith("In the last floor test, on Classics, Sam had zero percent: not passed.")


class TestTrail:
    """Who changed what."""

    def test_it_is_read_aloud_and_shown(self, house: Open) -> None:
        """The last change in words, all of them on the card, each with who and when; quiz marks are not among them."""
        services = house(pin=False)
        services.ask("we're out of mint", "phone", "Ana")
        services.ask("vodka is nineteen dollars now", "office", "Kit")
        services.ask("undo that", "office", "Kit")
        services.ask("quiz me", "phone", "Ana")
        services.ask("skip", "phone", "Ana")
        reply = services.ask("who changed what", "office")
        assert reply.say.startswith("The last change was just now: Kit took back a change of vodka.")
        assert reply.card is not None
        rows = [(row.label, row.cells, row.note) for row in reply.card.blocks[0].rows]  # type: ignore[union-attr]
        when = "2024-03-04 12:00 UTC"
        assert rows == [
            ("Vodka", ("taken back, price", "19", "as in the book", "Kit"), when),
            ("Vodka", ("price", "as in the book", "19", "Kit"), when),
            ("Mint", ("out or in", "in", "out", "Ana"), when),
        ]

    def test_a_device_without_a_name_is_called_that(self, house: Open) -> None:
        """Nobody reads a name of twenty-four letters and figures."""
        services = house(pin=False)
        services.ask("we're out of mint", "0123456789abcdef01234567")
        assert "a device that nobody gave a name changed mint" in services.ask("who changed what", "office").say

    def test_before_anything_was_changed(self, house: Open) -> None:
        """It says so."""
        assert house(pin=False).ask("who changed what", "office").say == "Nothing has been changed yet."


def test_half_an_hour_is_what_the_sentence_says(tmp_path: Path) -> None:
    """The time on the page is the time that is kept."""
    assert UNLOCKED_FOR.total_seconds() == 30 * 60
    assert unlocked(UNLOCKED_FOR).startswith("Unlocked on this device for thirty minutes.")
    with closing(Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}")) as services:
        assert services.manager.left("") == timedelta(0)
