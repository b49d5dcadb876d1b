"""The talk: gaps are filled, questions are asked back and settled, changes are kept, and nothing ends in a traceback.

The grammar here is a small table of sentences; what the real grammar makes of real sentences is tested with the shift
in test_shift.py.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.answers import talk
from assistant.answers.base import Answer, Handler, Scene, SetOut, SetPrice
from assistant.conversation import IDLE, Conversations
from assistant.dialogue import Dialogue
from assistant.memory import Memory
from assistant.messages import Choice, Heard, Question, Reply
from assistant.tonight import Tonight, Trouble
from grammar.command import Ambiguous, Command, Intent, Meaning, NotUnderstood
from recipes.errors import EngineError
from recipes.model import Book
from recipes.units import quantity


def drink(name: str, text: str = "") -> Command:
    """A spec asked for by no more than the drink's name."""
    return Command(Intent.SPEC, {"drink": name}, spans={"drink": (text.index(name.lower()), len(text))} if text else {})


SAID: dict[str, Meaning] = {
    "spec for a gimlet": drink("Gimlet"),
    "spec for a daiquiri": drink("Daiquiri"),
    "gimlet": drink("Gimlet", "gimlet"),
    "the gimlet": drink("Gimlet", "the gimlet"),
    "daiquiri": drink("Daiquiri", "daiquiri"),
    "what about the other one": Command(Intent.SPEC, {"text": "other"}),
    "make it three": Command(Intent.SCALE, {"count": 3}),
    "how much lime": Command(Intent.AMOUNT, {"ingredient": "lime juice"}),
    "lime in a gimlet": Command(Intent.AMOUNT, {"ingredient": "lime cordial", "drink": "Gimlet"}),
    "what does it cost": Command(Intent.COST),
    "compare it with a gimlet": Command(Intent.COMPARE, {"drink": "Gimlet"}),
    "compare them": Command(Intent.COMPARE),
    "daisies against sours": Command(Intent.COMPARE, {"family": "daisy", "family_2": "sour"}),
    "what's in our cordial": Command(Intent.SPEC, {"ingredient": "lime cordial"}),
    "what does a bottle of gin cost": Command(Intent.COST, {"ingredient": "gin"}),
    "what runs over twenty percent": Command(Intent.COST, {"percent": Decimal(20), "text": "over"}),
    "what's a sour": Command(Intent.FAMILY, {"family": "sour"}),
    "why is it a sour": Command(Intent.FAMILY, {"family": "sour", "text": "why"}),
    "call it the harbour": Command(Intent.RIFF, {"text": "the harbour"}),
    "any egg": Command(Intent.CONTAINS, {"ingredient": "egg white"}),
    "we are out of gin": Command(Intent.OUT_OF, {"ingredient": "gin"}),
    "we are out": Command(Intent.OUT_OF),
    "gin": Command(Intent.AMOUNT, {"ingredient": "gin"}, spans={"ingredient": (0, 3)}),
    "gin went up": Command(Intent.SET_PRICE, {"ingredient": "gin", "money": Decimal(30)}),
    "quiz me": Command(Intent.QUIZ),
    "balance": Command(Intent.BALANCE),
    "a gin drink": Ambiguous("a gin drink", (drink("Gimlet"), drink("Aviation")), "drink"),
    "gimlet money": Ambiguous(
        "gimlet money",
        (Command(Intent.COST, {"drink": "Gimlet"}), Command(Intent.BATCH, {"drink": "Gimlet"})),
        "intent",
    ),
    "spec for a gumlet": NotUnderstood("spec for a gumlet", "gumlet", "drink", ("Gimlet",)),
    "cost of a gumlet": NotUnderstood("cost of a gumlet", "gumlet", "drink", ("Gimlet", "Clover Club")),
    "cost of a gimlet": Command(Intent.COST, {"drink": "Gimlet"}),
    "cost of a clover club": Command(Intent.COST, {"drink": "Clover Club"}),
    "gumlet": NotUnderstood("gumlet", "gumlet", "drink", ("Gimlet",)),
    "how much unobtainium": NotUnderstood("how much unobtainium", "unobtainium", "ingredient", ("gin",)),
    "spec for a zebra": NotUnderstood("spec for a zebra", "zebra", "drink", ()),
    "say that again": Command(Intent.REPEAT),
    "undo": Command(Intent.UNDO),
    "never mind": Command(Intent.CANCEL),
    "help": Command(Intent.HELP),
    "yes": Command(Intent.YES),
    "no": Command(Intent.NO),
}


class Table:
    """A matcher that knows a table of sentences by heart."""

    def understand(self, text: str) -> Meaning:
        """The table's meaning, whatever the case of the text."""
        return SAID.get(text.casefold(), NotUnderstood(text))


def echo(command: Command, scene: Scene) -> Answer:
    """An answer that says what was asked of it; the tests read it."""
    slots = ", ".join(f"{name} {value}" for name, value in sorted(command.slots.items()))
    say = f"{command.intent.value}: {slots}."
    return Answer(Reply(say), replace(scene.focus, ingredient=str(command.slots.get("ingredient") or "") or None))


def out_of(command: Command, scene: Scene) -> Answer:
    """An answer that changes something."""
    name = str(command.slots["ingredient"])
    return Answer(Reply(f"{name} is out."), scene.focus, SetOut(name, True))


def price(command: Command, scene: Scene) -> Answer:
    """Another one."""
    return Answer(Reply("Noted."), scene.focus, SetPrice("gin", quantity(command.slots["money"], "money")))


def offer(command: Command, scene: Scene) -> Answer:
    """An answer that asks something itself."""
    keep = Choice("Keep it", Command(Intent.OUT_OF, {"ingredient": "mint"}))
    return Answer(Reply("Keep it?", asks=Question("Keep it?", (keep,))), scene.focus)


def fall_over(command: Command, scene: Scene) -> Answer:
    """An engine that fails."""
    raise EngineError("ethanol ran uphill")


ECHOED = (
    *(Intent.SPEC, Intent.SCALE, Intent.AMOUNT, Intent.COST, Intent.COMPARE, Intent.BATCH),
    *(Intent.FAMILY, Intent.RIFF, Intent.CONTAINS),
)
HANDLERS: Mapping[Intent, Handler] = {
    **dict.fromkeys(ECHOED, echo),
    Intent.OUT_OF: out_of,
    Intent.SET_PRICE: price,
    Intent.QUIZ: offer,
    Intent.BALANCE: fall_over,
}


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = datetime(2024, 3, 1, 17, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    """The clock of the test's talk and memory."""
    return Clock()


@pytest.fixture
def memory(tmp_path: Path, clock: Clock) -> Iterator[Memory]:
    """An empty memory."""
    memory = Memory(f"sqlite:///{tmp_path / 'shift.db'}", clock)
    yield memory
    memory.close()


@pytest.fixture
def tonight(tiny_book: Book) -> Tonight:
    """The small book with the table of sentences."""
    return Tonight(tiny_book, Table(), examples={Intent.SPEC: ("spec for a gimlet",)})


@pytest.fixture
def dialogue(tonight: Tonight, memory: Memory, clock: Clock) -> Dialogue:
    """A dialogue with the answers above."""
    return Dialogue(lambda: tonight, memory, clock, HANDLERS)


Say = Callable[..., str]


@pytest.fixture
def say(dialogue: Dialogue) -> Say:
    """Says each of several things in one conversation; gives what came back last."""

    def talk(*texts: str | Heard, conversation: str = "bar") -> str:
        return [dialogue.ask(text, conversation).say for text in texts][-1]

    return talk


class TestFilling:
    """A follow-up is about what was talked of."""

    @pytest.mark.parametrize(
        ("said", "answer"),
        [
            (("spec for a gimlet", "make it three"), "scale: count 3, drink Gimlet."),
            (("spec for a gimlet", "what does it cost"), "cost: drink Gimlet."),
            (
                ("spec for a gimlet", "spec for a daiquiri", "how much lime"),
                "amount: drink Daiquiri, ingredient lime juice.",
            ),
            (
                ("spec for a gimlet", "spec for a daiquiri", "what about the other one"),
                "spec: drink Gimlet, text other.",
            ),
            (
                ("spec for a gimlet", "spec for a daiquiri", "what about the other one", "what about the other one"),
                "spec: drink Daiquiri, text other.",
            ),
            (("spec for a daiquiri", "compare it with a gimlet"), "compare: drink Daiquiri, drink_2 Gimlet."),
            (("spec for a gimlet", "spec for a daiquiri", "compare them"), "compare: drink Daiquiri, drink_2 Gimlet."),
            (
                ("spec for a daiquiri", "spec for a gimlet", "compare it with a gimlet"),
                "compare: drink Gimlet, drink_2 Daiquiri.",
            ),
            (("spec for a gimlet", "gin", "we are out"), "gin is out."),
        ],
    )
    def test_gaps_are_filled_from_the_talk(self, say: Say, said: tuple[str, ...], answer: str) -> None:
        """The drink, the other drink or the ingredient comes from what was said before."""
        assert say(*said) == answer

    @pytest.mark.parametrize(
        ("said", "answer"),
        [
            ("what's in our cordial", "spec: ingredient lime cordial."),
            ("what does a bottle of gin cost", "cost: ingredient gin."),
            ("what runs over twenty percent", "cost: percent 20, text over."),
            ("what's a sour", "family: family sour."),
            ("why is it a sour", "family: drink Daiquiri, family sour, text why."),
            ("daisies against sours", "compare: family daisy, family_2 sour."),
            ("call it the harbour", "riff: text the harbour."),
            ("any egg", "contains: drink Daiquiri, ingredient egg white."),
        ],
    )
    def test_what_is_not_about_the_drink_is_left_alone(self, say: Say, said: str, answer: str) -> None:
        """A question about a syrup, a bottle, a family or the whole menu is not turned into one about the drink."""
        assert say("spec for a daiquiri", said) == answer

    @pytest.mark.parametrize("said", ["what's in our cordial", "what's a sour", "any egg", "call it the harbour"])
    def test_what_needs_no_drink_does_not_ask_for_one(self, say: Say, said: str) -> None:
        """With nothing talked of, these are answered all the same."""
        assert not say(said).startswith("Which drink?")

    def test_talks_do_not_mix(self, say: Say) -> None:
        """What one phone asks about is not what the next one asks about."""
        say("spec for a gimlet", conversation="bar")
        say("spec for a daiquiri", conversation="kitchen")
        assert say("make it three", conversation="bar") == "scale: count 3, drink Gimlet."

    def test_a_new_drink_starts_afresh(self, dialogue: Dialogue, tonight: Tonight, memory: Memory) -> None:
        """Three of one drink does not make three of the next, but millilitres stay millilitres."""
        seen = []

        def look(command: Command, scene: Scene) -> Answer:
            seen.append(scene.focus)
            return Answer(Reply("Well."), replace(scene.focus, count=3, step=2, unit="ml", without=("gin",)))

        dialogue = Dialogue(lambda: tonight, memory, handlers={Intent.SPEC: look})
        dialogue.ask("spec for a gimlet", "bar")
        dialogue.ask("spec for a gimlet", "bar")
        dialogue.ask("spec for a daiquiri", "bar")
        assert (seen[1].count, seen[1].step, seen[1].without) == (3, 2, ("gin",))
        assert (seen[2].count, seen[2].step, seen[2].without, seen[2].unit) == (1, None, (), "ml")
        assert (seen[2].drink, seen[2].other) == ("Daiquiri", "Gimlet")

    def test_a_drink_that_left_the_book_is_not_talked_of(self, say: Say, dialogue: Dialogue, tonight: Tonight) -> None:
        """When the drink in talk is taken out of the book, the next question asks which drink."""
        say("spec for a gimlet")
        drinks = {name: d for name, d in tonight.book.drinks.items() if name != "Gimlet"}
        less = replace(tonight, book=replace(tonight.book, drinks=drinks))
        dialogue._tonight = lambda: less
        assert say("make it three").startswith("Which drink?")

    def test_the_drink_before_takes_its_place(self, say: Say, dialogue: Dialogue, tonight: Tonight) -> None:
        """When a drink goes while two were talked of, the other one is what is talked of."""
        say("spec for a daiquiri", "spec for a gimlet")
        drinks = {name: d for name, d in tonight.book.drinks.items() if name != "Gimlet"}
        less = replace(tonight, book=replace(tonight.book, drinks=drinks))
        dialogue._tonight = lambda: less
        assert say("make it three") == "scale: count 3, drink Daiquiri."

    def test_silence_ends_a_talk(self, say: Say, clock: Clock) -> None:
        """After the idle time the drink is forgotten; just before it, it is not."""
        say("spec for a gimlet")
        clock.now += IDLE
        assert say("make it three") == "scale: count 3, drink Gimlet."
        clock.now += IDLE + timedelta(seconds=1)
        assert say("make it three").startswith("Which drink?")


class TestMissingName:
    """A command that lacks a name asks for it, and the name alone completes it."""

    @pytest.mark.parametrize("name", ["gimlet", "the gimlet", "The Gimlet"])
    def test_a_bare_name_completes_the_question(self, say: Say, name: str) -> None:
        """'Make it three' - 'Which drink?' - 'The gimlet': three of them."""
        assert say("make it three").startswith("Which drink?")
        assert say(name) == "scale: count 3, drink Gimlet."

    def test_the_second_of_two_may_be_missing(self, say: Say) -> None:
        """'Compare it with a gimlet', with nothing else talked of, asks with what."""
        assert say("compare it with a gimlet").startswith("Which drink?")
        assert say("daiquiri") == "compare: drink Gimlet, drink_2 Daiquiri."

    def test_the_missing_thing_may_be_an_ingredient(self, say: Say) -> None:
        """'We are out' asks of what."""
        assert say("we are out").startswith("Which ingredient?")
        assert say("gin") == "gin is out."

    def test_a_new_question_drops_the_old_one(self, say: Say) -> None:
        """A whole new question is answered, not taken for the name."""
        assert say("make it three", "lime in a gimlet") == "amount: drink Gimlet, ingredient lime cordial."
        assert say("yes").startswith("There is no question open.")

    def test_an_unclear_name_is_asked_again_for_the_same_question(self, say: Say) -> None:
        """The choice between two names still completes the first question."""
        assert say("make it three", "a gin drink") == "Did you mean the Gimlet or the Aviation?"
        assert say("the second one") == "scale: count 3, drink Aviation."

    def test_an_unknown_name_offers_the_nearest_for_the_same_question(self, say: Say) -> None:
        """A misheard name is offered, and yes completes the first question with it."""
        assert "The nearest I have is Gimlet." in say("make it three", "gumlet")
        assert say("yes") == "scale: count 3, drink Gimlet."

    def test_there_is_no_other_drink_at_first(self, say: Say) -> None:
        """'The other one' before two drinks were talked of asks which."""
        assert say("spec for a gimlet", "what about the other one") == "There is no other drink yet. Which one?"


class TestAskingBack:
    """Two meanings or none: the reply asks, and does nothing yet."""

    @pytest.mark.parametrize(
        ("answer", "then"),
        [
            ("the first one", "spec: drink Gimlet."),
            ("first", "spec: drink Gimlet."),
            ("the second", "spec: drink Aviation."),
            ("number two, please", "spec: drink Aviation."),
            ("the last one", "spec: drink Aviation."),
            ("the latter", "spec: drink Aviation."),
            ("aviation", "spec: drink Aviation."),
            ("The Aviation, please.", "spec: drink Aviation."),
            ("yes, the aviation", "spec: drink Aviation."),
            ("gimlet", "spec: drink Gimlet."),
            ("yes", "Which one: Gimlet or Aviation?"),
            ("no", "All right, not that. Say it in other words, or ask for something else."),
        ],
    )
    def test_either_can_be_chosen(self, say: Say, answer: str, then: str) -> None:
        """By place, by name, or neither; 'yes' to 'this or that' asks again."""
        assert say("a gin drink") == "Did you mean the Gimlet or the Aviation?"
        assert say(answer) == then

    def test_which_stays_open_after_yes(self, say: Say) -> None:
        """After 'which one', a choice is still a choice."""
        assert say("a gin drink", "yes", "the second") == "spec: drink Aviation."

    def test_two_intents_are_told_apart_in_words(self, say: Say) -> None:
        """When what is wanted is unclear, the question says what each would give."""
        assert say("gimlet money") == "Did you mean what the Gimlet costs or a batch of the Gimlet?"
        assert say("the second one") == "batch: drink Gimlet."

    @pytest.mark.parametrize(
        ("choices", "differs", "question"),
        [
            (({"count": 13}, {"count": 30}), "count", "Did you mean thirteen or thirty?"),
            (({"money": Decimal("0.5")}, {"money": Decimal(5)}), "money", "Did you mean fifty cents or five dollars?"),
            (({"ingredient": "gin"}, {"ingredient": "mint"}), "ingredient", "Did you mean gin or mint?"),
            (({"shelf": "classics"}, {"shelf": "fogbell"}), "shelf", "Did you mean the Classics or the fogbell?"),
            (({"drink": "Gimlet", "text": "nuts"}, {"drink": "Gimlet"}), "text",
             "Did you mean whether the Gimlet has nuts or the allergens in the Gimlet?"),
            (({"drink": "Gimlet"}, {"drink": "Aviation"}, {"drink": "Gimlet"}), "drink",
             "Did you mean the Gimlet or the Aviation?"),
        ],
    )  # fmt: skip
    def test_the_choices_are_told_apart(
        self, tiny_book: Book, choices: tuple[dict[str, str | int | Decimal], ...], differs: str, question: str
    ) -> None:
        """By what differs, in words, and no choice is offered twice."""
        commands = tuple(Command(Intent.CONTAINS, slots) for slots in choices)
        reply = talk.which_meant(Ambiguous("", commands, differs), tiny_book)
        assert reply.say == question
        assert reply.asks is not None
        assert len(reply.asks.choices) == 2

    def test_a_new_question_is_always_heard(self, say: Say) -> None:
        """A question back can be ignored; afterwards it is closed."""
        assert say("a gin drink", "spec for a daiquiri") == "spec: drink Daiquiri."
        assert "first" not in SAID
        assert not say("first").startswith("spec")

    def test_asking_is_not_understanding(self, dialogue: Dialogue) -> None:
        """A question back offers its choices, has no answer, and does not count as understood."""
        reply = dialogue.ask("a gin drink", "bar")
        assert reply.asks is not None
        assert [choice.label for choice in reply.asks.choices] == ["Gimlet", "Aviation"]
        assert (reply.understood, reply.card, reply.command) == (False, None, None)

    def test_an_answer_may_ask_too(self, say: Say) -> None:
        """A question that an answer asks is settled the same way."""
        assert say("quiz me") == "Keep it?"
        assert say("yes") == "mint is out."


class TestNotInTheBook:
    """A drink that the book does not have is never answered as if it were another."""

    def test_the_nearest_is_only_offered(self, dialogue: Dialogue) -> None:
        """The reply names what it does not have, and asks about the nearest."""
        reply = dialogue.ask("spec for a gumlet", "bar")
        assert reply.say == "I have no gumlet in the book. The nearest I have is Gimlet. Is that the one?"
        assert (reply.understood, reply.card) == (False, None)

    def test_yes_takes_the_offer_for_what_was_asked(self, say: Say) -> None:
        """The offer keeps the question: a cost was asked, so a cost is given."""
        assert say("cost of a gumlet").endswith("The nearest I have is Gimlet or Clover Club. Which one?")
        assert say("clover club") == "cost: drink Clover Club."

    def test_no_refuses_it(self, say: Say) -> None:
        """Refused, nothing is given."""
        assert say("spec for a gumlet", "no").startswith("All right, not that.")

    def test_nothing_near_says_what_can_be_asked(self, say: Say) -> None:
        """With nothing near, the reply offers what it can do."""
        assert say("spec for a zebra").startswith("I have no zebra in the book. Ask me for")

    def test_an_ingredient_is_not_swapped_for_a_drink(self, say: Say) -> None:
        """An unknown ingredient has no spec to fall back on."""
        assert say("how much unobtainium").startswith("I have no unobtainium in the book. Ask me for")

    def test_nonsense_is_not_understood(self, dialogue: Dialogue) -> None:
        """Talk of the weather gets an example of what can be said."""
        reply = dialogue.ask("lovely weather", "bar")
        assert reply.say.startswith("I did not understand that.")
        assert '"spec for a gimlet"' in reply.say
        assert not reply.understood


class TestHearing:
    """How sure the ear is decides whether to act or to ask."""

    @pytest.mark.parametrize("heard", [Heard(""), Heard("   "), Heard("spec for a gimlet", 0.05)])
    def test_noise_is_not_a_question(self, dialogue: Dialogue, heard: Heard) -> None:
        """Silence, or words no ear would swear to, are asked for again."""
        reply = dialogue.ask(heard, "bar")
        assert reply.say == "I did not catch that. Say it again, a little closer."
        assert not reply.understood

    def test_a_sure_ear_acts(self, say: Say) -> None:
        """Heard well, it is answered."""
        assert say(Heard("spec for a gimlet", 0.9)) == "spec: drink Gimlet."

    def test_an_unsure_ear_asks(self, say: Say) -> None:
        """Heard faintly, it is asked, and yes answers it."""
        assert say(Heard("spec for a gimlet", 0.4)) == 'Did you say, "spec for a gimlet"?'
        assert say("yes") == "spec: drink Gimlet."

    def test_a_change_needs_a_surer_ear(self, say: Say, memory: Memory) -> None:
        """At the same confidence a spec is read out but nothing is changed."""
        assert say(Heard("spec for a gimlet", 0.6)) == "spec: drink Gimlet."
        assert say(Heard("we are out of gin", 0.6)) == 'Did you say, "we are out of gin"?'
        assert memory.recall().out == frozenset()
        assert say(Heard("yes", 0.55)) == "gin is out."

    def test_a_faint_yes_changes_nothing(self, say: Say, memory: Memory) -> None:
        """Neither heard well: the change is not made."""
        say(Heard("we are out of gin", 0.6))
        assert say(Heard("yes", 0.3)) == 'Did you say, "yes"?'
        assert memory.recall().out == frozenset()

    def test_another_reading_is_offered_beside_it(self, say: Say) -> None:
        """Two faint readings are offered by what they would give."""
        heard = Heard("spec for a gimlet", 0.4, alternatives=("noise", "spec for a gimlet", "spec for a daiquiri"))
        assert say(heard) == "Did you mean the spec for the Gimlet or the spec for the Daiquiri?"
        assert say("the second one") == "spec: drink Daiquiri."

    def test_the_next_reading_is_tried_when_the_first_is_nonsense(self, say: Say) -> None:
        """A reading that makes sense beats one that does not, a little less certain."""
        assert say(Heard("speck of her gimlet", 0.9, ("spec for a gimlet",))) == "spec: drink Gimlet."
        assert say(Heard("speck of her gimlet", 0.6, ("spec for a gimlet",))) == 'Did you say, "spec for a gimlet"?'

    def test_what_was_heard_goes_back_with_the_reply(self, dialogue: Dialogue) -> None:
        """The reply carries the hearing and the command with its gaps filled."""
        heard = Heard("spec for a gimlet", 0.9, recogniser="scripted")
        reply = dialogue.ask(heard, "bar")
        assert reply.heard == heard
        assert reply.command == drink("Gimlet")
        follow_up = dialogue.ask("make it three", "bar").command
        assert follow_up is not None
        assert follow_up.slots == {"count": 3, "drink": "Gimlet"}


class TestChanges:
    """What changes something is kept, read back, and can be undone."""

    def test_a_change_is_kept_with_its_token(self, dialogue: Dialogue, memory: Memory) -> None:
        """The reply holds the token of the change, and the trail holds who made it."""
        reply = dialogue.ask("we are out of gin", "bar", who="Ana")
        assert memory.recall().out == {"gin"}
        assert [(entry.token, entry.who) for entry in memory.history("out", "gin")] == [(reply.undo, "Ana")]

    def test_undo_goes_back_one_change_at_a_time(self, say: Say, memory: Memory) -> None:
        """The last change first, then the one before, then nothing is left."""
        say("we are out of gin", "gin went up")
        assert say("undo") == "Undone. Gin is back at the price in the book."
        assert memory.recall().out == {"gin"}
        assert say("undo") == "Undone. Gin is in again."
        assert say("undo") == "There is nothing more to undo in this conversation."
        assert memory.recall().out == frozenset()

    def test_one_conversation_does_not_undo_another(self, say: Say, memory: Memory) -> None:
        """Undo takes back what was changed here."""
        say("we are out of gin", conversation="bar")
        assert say("undo", conversation="kitchen").startswith("There is nothing more to undo")
        assert memory.recall().out == {"gin"}

    def test_undo_outlives_a_silence(self, say: Say, clock: Clock) -> None:
        """A change can be taken back after the talk has gone cold."""
        say("we are out of gin")
        clock.now += 2 * IDLE
        assert say("undo") == "Undone. Gin is in again."

    def test_a_later_change_is_undone_first(self, say: Say, memory: Memory) -> None:
        """An older price is not put back over a newer one; once the newer is undone, it can be."""
        say("gin went up", conversation="bar")
        say("gin went up", conversation="office")
        assert say("undo", conversation="bar") == "Gin was changed again after that. Undo the later change first."
        assert memory.recall().prices == {"gin": quantity(30, "money")}
        assert say("undo", conversation="office") == "Undone. A pack of gin costs thirty dollars again."
        assert say("undo", conversation="bar") == "Undone. Gin is back at the price in the book."
        assert memory.recall().prices == {}

    def test_what_was_undone_elsewhere_is_not_undone_again(self, dialogue: Dialogue, memory: Memory) -> None:
        """A change that somebody else took back by its token is said to be undone, and is not undone twice."""
        token = dialogue.ask("we are out of gin", "bar").undo
        assert token is not None
        memory.undo(token, "office")
        assert dialogue.ask("undo", "bar").say == "That was undone already. Nothing more was changed."
        assert dialogue.ask("undo", "bar").say == "There is nothing more to undo in this conversation."

    def test_a_change_that_cannot_be_written_is_not_claimed(self, tonight: Tonight, tmp_path: Path) -> None:
        """With the database gone, the reply says nothing has changed."""
        path = tmp_path / "gone.db"
        memory = Memory(f"sqlite:///{path}")
        with memory._writing() as connection:
            connection.exec_driver_sql("drop table out_of_stock")
        reply = Dialogue(lambda: tonight, memory, handlers=HANDLERS).ask("we are out of gin", "bar")
        memory.close()
        assert reply.say == "I could not write that down, so nothing has changed. Say it again in a moment."
        assert reply.undo is None


class TestTheTalkItself:
    """Again, yes, no, never mind, help."""

    def test_the_last_answer_is_said_again(self, say: Say) -> None:
        """Also after a word that was not caught."""
        assert say("say that again").startswith("I have not said anything yet.")
        assert say("spec for a gimlet", "", "say that again") == "spec: drink Gimlet."

    def test_a_question_said_again_is_still_open(self, say: Say) -> None:
        """'Which drink?', asked again, still completes the same command."""
        assert say("make it three", "say that again").startswith("Which drink?")
        assert say("gimlet") == "scale: count 3, drink Gimlet."

    def test_saying_a_change_again_does_not_change_again(self, dialogue: Dialogue, memory: Memory) -> None:
        """A repeat repeats words, not deeds."""
        dialogue.ask("we are out of gin", "bar")
        again = dialogue.ask("say that again", "bar")
        assert (again.say, again.undo) == ("gin is out.", None)
        assert len(memory.trail()) == 1

    def test_yes_and_no_to_nothing(self, say: Say) -> None:
        """With no question open, both get a plain sentence."""
        assert say("yes").startswith("There is no question open.")
        assert say("no") == "All right."

    def test_never_mind_drops_the_question(self, say: Say) -> None:
        """After 'never mind' the question is closed, and the drink is still the one talked of."""
        say("spec for a gimlet", "a gin drink")
        assert say("never mind") == "All right, dropped."
        assert say("yes").startswith("There is no question open.")
        assert say("make it three") == "scale: count 3, drink Gimlet."

    def test_never_mind_leaves_what_was_changed_and_says_so(self, say: Say) -> None:
        """Where something could be undone, it is told that dropping is not undoing."""
        say("we are out of gin")
        assert say("never mind") == "All right, dropped. What was changed stays changed; say undo to take it back."

    def test_help_shows_an_example(self, dialogue: Dialogue) -> None:
        """The help card has what the grammar gives as an example."""
        reply = dialogue.ask("help", "bar")
        assert reply.card is not None
        assert "spec for a gimlet" in str(reply.card.blocks)


class TestWhenThingsGoWrong:
    """The person gets a sentence; the log gets the traceback."""

    def test_an_engine_error_is_a_sentence(self, dialogue: Dialogue, caplog: pytest.LogCaptureFixture) -> None:
        """An engine that fails is said plainly, and logged with its cause."""
        dialogue.ask("spec for a gimlet", "bar")
        with caplog.at_level(logging.ERROR):
            reply = dialogue.ask("balance", "bar")
        assert reply.say.startswith(
            "I took it that you meant the balance of the Gimlet, but working it out went wrong."
        )
        assert "ethanol ran uphill" in caplog.text

    def test_a_question_without_an_answer_is_honest(self, tonight: Tonight, memory: Memory) -> None:
        """What nobody answers yet is said to be so."""
        reply = Dialogue(lambda: tonight, memory, handlers={}).ask("spec for a gimlet", "bar")
        assert reply.say.startswith("I took it that you meant the spec for the Gimlet, but I cannot do that.")

    def test_trouble_with_the_book_is_told_once(self, tonight: Tonight, memory: Memory) -> None:
        """Each conversation hears of it once, and again if it comes back."""
        now = [replace(tonight, troubles=(Trouble("memory"),))]
        dialogue = Dialogue(lambda: now[0], memory, handlers=HANDLERS)

        def told(conversation: str) -> int:
            return len(dialogue.ask("spec for a gimlet", conversation).cautions)

        assert (told("bar"), told("bar"), told("kitchen")) == (1, 0, 1)
        now[0] = tonight
        assert told("bar") == 0
        now[0] = replace(tonight, troubles=(Trouble("memory"),))
        assert told("bar") == 1


class TestConversations:
    """Many talk at once, and the number remembered is bounded."""

    def test_the_longest_silent_is_forgotten(self, clock: Clock) -> None:
        """Beyond the bound, the one that was silent longest goes."""
        talks = Conversations(most=2)
        for name in ("one", "two", "one", "three"):
            with talks.held(name, clock()) as held:
                held.changes.append(name)
        kept = []
        for name in ("one", "three"):
            with talks.held(name, clock()) as held:
                kept.append(list(held.changes))
        assert (len(talks), kept) == (2, [["one", "one"], ["three"]])

    def test_many_threads_keep_to_their_own_talk(self, say: Say) -> None:
        """Eight phones at once, each still on its own drink."""
        wrong: list[str] = []

        def work(conversation: str, name: str) -> None:
            for _ in range(20):
                say(f"spec for a {name.lower()}", conversation=conversation)
                answer = say("make it three", conversation=conversation)
                if answer != f"scale: count 3, drink {name}.":
                    wrong.append(answer)

        drinks = ("Gimlet", "Daiquiri") * 4
        threads = [threading.Thread(target=work, args=(f"phone {i}", name)) for i, name in enumerate(drinks)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert wrong == []
