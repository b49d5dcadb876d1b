"""Every intent over the real book: each has an answer, and each answer sounds like a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.answers import talk
from assistant.dialogue import OWN, Dialogue
from assistant.errors import (
    AlreadyUndone,
    ChangedSince,
    Damaged,
    DiskFull,
    MemoryFailed,
    NameTaken,
    ReadOnly,
    UnknownChange,
)
from assistant.handlers import HANDLERS
from assistant.memory import Columns, Entry, Memory
from assistant.messages import Card, Note, Reply, Steps, Table
from assistant.tables import STATE
from assistant.tonight import Tonight, Trouble
from grammar.command import Command, Intent, Meaning, SlotValue
from recipes.faults import Fault
from recipes.loader import load_book
from recipes.model import Book

Slots = dict[str, SlotValue]
Ask = Callable[[Intent, Slots], Reply]

DRINKS = ("Daiquiri", "Clover Club", "Pilot Boat Punch", "Dry Dock", "Mint Julep", "Champagne Cocktail", "Negroni")
ABOUT_A_DRINK: list[tuple[Intent, Slots]] = [
    (Intent.SPEC, {}),
    (Intent.SPEC, {"part": "garnish"}),
    (Intent.SPEC, {"part": "glass"}),
    (Intent.SPEC, {"part": "ice"}),
    (Intent.SPEC, {"part": "method"}),
    (Intent.SPEC, {"unit": "ml"}),
    (Intent.SPEC, {"unit": "part"}),
    (Intent.AMOUNT, {"ingredient": "lime juice"}),
    (Intent.AMOUNT, {"role": "base"}),
    (Intent.BUILD, {}),
    (Intent.NEXT_STEP, {}),
    (Intent.PREVIOUS_STEP, {}),
    (Intent.SCALE, {"count": 7}),
    (Intent.SCALE, {"amount": Decimal("1.5"), "unit": "l"}),
    (Intent.UNITS, {"unit": "ml"}),
    (Intent.WITHOUT, {"ingredient": "egg white"}),
    (Intent.WITHOUT, {"role": "acid"}),
    (Intent.COST, {}),
    (Intent.PRICE_FOR_TARGET, {"percent": Decimal(22)}),
    (Intent.PRICE_FOR_TARGET, {}),
    (Intent.WHAT_IF_PRICE, {"ingredient": "lime juice", "money": Decimal("0.60")}),
    (Intent.BATCH, {}),
    (Intent.BATCH, {"count": 40}),
    (Intent.BATCH, {"amount": Decimal(2), "unit": "l"}),
    (Intent.BATCH, {"text": "keg"}),
    (Intent.BATCH, {"amount": Decimal(2), "unit": "quart"}),
    (Intent.BALANCE, {}),
    (Intent.BALANCE, {"part": "strength"}),
    (Intent.FAMILY, {}),
    (Intent.FAMILY, {"family": "sour", "text": "why"}),
    (Intent.RIFF, {}),
    (Intent.RIFF, {"ingredient": "aged rum", "role": "base"}),
    (Intent.RIFF, {"ingredient": "aged rum"}),
    (Intent.RIFF, {"text": "storm lantern"}),
    (Intent.COMPARE, {"drink_2": "Manhattan"}),
    (Intent.COMPARE, {"drink_2": "Manhattan", "part": "strength"}),
    (Intent.CONTAINS, {}),
    (Intent.CONTAINS, {"text": "nuts"}),
    (Intent.CONTAINS, {"text": "vegan"}),
    (Intent.CONTAINS, {"ingredient": "egg white"}),
    (Intent.TASTE, {}),
    (Intent.QUIZ, {}),
]
ABOUT_NO_DRINK: list[tuple[Intent, Slots]] = [
    (Intent.SPEC, {"ingredient": "lime cordial"}),
    (Intent.BUILD, {"ingredient": "lime cordial"}),
    (Intent.UNITS, {"unit": "ml"}),
    (Intent.COST, {"ingredient": "gin"}),
    (Intent.COST, {"ingredient": "gin", "unit": "oz"}),
    (Intent.COST, {"ingredient": "lime juice", "amount": Decimal("0.5"), "unit": "gallon"}),
    (Intent.COST, {"percent": Decimal(22), "text": "over"}),
    (Intent.FAMILY, {"family": "daisy"}),
    (Intent.COMPARE, {"family": "daisy", "family_2": "sour"}),
    (Intent.CONTAINS, {"ingredient": "orgeat", "text": "nuts"}),
    (Intent.SUBSTITUTE, {"ingredient": "orgeat"}),
    (Intent.SUBSTITUTE, {}),
    (Intent.OUT_OF, {"ingredient": "orgeat"}),
    (Intent.BACK_IN, {"ingredient": "orgeat"}),
    (Intent.BACK_IN, {"ingredient": "gin"}),
    (Intent.OUT_OF, {"role": "egg"}),
    (Intent.ON_HAND, {"text": "out"}),
    (Intent.CAN_MAKE, {"drink": "Clover Club"}),
    (Intent.BACK_IN, {"role": "egg"}),
    (Intent.BACK_IN, {"text": "all"}),
    (Intent.ON_HAND, {"text": "out"}),
    (Intent.ON_HAND, {}),
    (Intent.PAR, {}),
    (Intent.PAR, {"ingredient": "lime juice"}),
    (Intent.SET_PAR, {"ingredient": "lime juice", "amount": Decimal(2), "unit": "l"}),
    (Intent.SET_PAR, {"ingredient": "lime juice", "count": 12}),
    (Intent.SET_PAR, {"ingredient": "gin", "amount": Decimal(2), "unit": "l"}),
    (Intent.SET_PAR, {"ingredient": "lime juice", "text": "book"}),
    (Intent.PAR, {}),
    (Intent.COUNTED, {"text": "none"}),
    (Intent.COUNTED, {"ingredient": "lime juice", "amount": Decimal(2), "unit": "l"}),
    (Intent.COUNTED, {"ingredient": "lemon juice", "count": 12}),
    (Intent.COUNTED, {"ingredient": "gin", "amount": Decimal(2), "unit": "part"}),
    (Intent.ON_HAND, {"ingredient": "lime juice"}),
    (Intent.ON_HAND, {"ingredient": "gin"}),
    (Intent.ON_HAND, {}),
    (Intent.COUNTED, {"text": "none"}),
    (Intent.ORDER, {"drink": "Gimlet", "count": 3, "drink_2": "Clover Club", "count_2": 1}),
    (Intent.ORDER, {"drink": "Gimlet", "count": 0}),
    (Intent.RANK, {"part": "strength", "text": "most"}),
    (Intent.RANK, {"part": "price", "text": "least", "family": "sour"}),
    (Intent.RANK, {"part": "sold", "text": "most"}),
    (Intent.LIST, {"shelf": "fogbell"}),
    (Intent.LIST, {"part": "method", "text": "stirred"}),
    (Intent.LIST, {}),
    (Intent.CONTAINS, {"text": "nuts", "part": "which"}),
    (Intent.CONTAINS, {"text": "alcohol", "part": "free"}),
    (Intent.CONTAINS, {"text": "vegan", "part": "free"}),
    (Intent.CONTAINS, {"text": "vegan", "part": "which"}),
    (Intent.CONTAINS, {"text": "vegan", "ingredient": "orgeat"}),
    (Intent.CAN_MAKE, {}),
    (Intent.CAN_MAKE, {"ingredient": "gin", "role": "citrus"}),
    (Intent.SET_PRICE, {"ingredient": "lime juice", "money": Decimal("0.60")}),
    (Intent.PREP, {}),
    (Intent.PREP, {"count": 80}),
    (Intent.SCORE, {}),
    (Intent.QUIZ, {"family": "sour"}),
    (Intent.QUIZ, {"shelf": "fogbell"}),
    (Intent.ANSWER, {"text": "two ounces white rum"}),
    (Intent.SKIP, {}),
    (Intent.SCORE, {}),
    (Intent.HELP, {}),
    (Intent.REPEAT, {}),
    (Intent.YES, {}),
    (Intent.NO, {}),
    (Intent.UNDO, {}),
    (Intent.UNDO, {}),
    (Intent.CANCEL, {}),
    (Intent.SPEC, {}),  # of which drink?
]


class Next:
    """A matcher that means whatever the test says next."""

    meaning: Meaning = Command(Intent.HELP)

    def understand(self, text: str) -> Meaning:
        """What the test said."""
        return self.meaning


@pytest.fixture(scope="module")
def book() -> Book:
    """The book that ships."""
    return load_book()


@pytest.fixture
def ask(book: Book, tmp_path: Path) -> Iterator[Ask]:
    """Does a command in a talk over the real book."""
    matcher = Next()
    memory = Memory(f"sqlite:///{tmp_path / 'shift.db'}")
    tonight = Tonight(book, matcher, examples=dict.fromkeys(Intent, ("how much lime in a Daiquiri",)))
    dialogue = Dialogue(lambda: tonight, memory)

    def do(intent: Intent, slots: Slots) -> Reply:
        matcher.meaning = Command(intent, slots)
        return dialogue.ask("as the test says", "bar")

    yield do
    memory.close()


def test_every_intent_has_an_answer() -> None:
    """All that the grammar can mean is answered by a topic, or by the dialogue itself, and by one of them only."""
    assert set(HANDLERS) | OWN == set(Intent)
    assert not set(HANDLERS) & OWN


def faults_of(text: str) -> list[str]:
    """What keeps a text from being a sentence."""
    found = []
    if not re.search(r'[.?!]"?$', text):
        found.append("does not end with a stop")
    if "  " in text or text != text.strip():
        found.append("has idle spaces")
    if re.search(r"\s[.,:;?]|\.\.|,\.|:\.|\?\.", text):
        found.append("has stray stops")
    if text[:1] != text[:1].upper():
        found.append("starts small")
    if re.search(r"\bNone\b|Decimal|Quantity|\{|\}|_", text):
        found.append("shows the inside of the program")
    return found


def spoken_faults_of(say: str) -> list[str]:
    """What a voice would stumble over; a drink's own name is said as it is written."""
    say = say.replace("French 75", "")
    return ["has signs that are not words"] if re.search(r"[0-9$%/&()\[\]<>]", say) else []


def card_faults_of(card: Card) -> list[str]:
    """Cards have a title, their tables as many cells as heads, and steps that are there."""
    found = [] if card.title.strip() and card.kind in set(Intent) else ["card without title or kind"]
    for block in card.blocks:
        match block:
            case Table(rows, heads) if heads and any(len(row.cells) != len(heads) - 1 for row in rows):
                found.append(f"table {block.title!r} has other cells than heads")
            case Steps(items, current) if current is not None and not 0 <= current < len(items):
                found.append("a step that is not there")
            case Note(text) if not text.strip():
                found.append("an empty note")
    return found


def wrong_with(reply: Reply) -> list[str]:
    """All that is wrong with a reply."""
    found = [*faults_of(reply.say), *spoken_faults_of(reply.say)]
    found += [f"caution {caution!r} {fault}" for caution in reply.cautions for fault in faults_of(caution)]
    found += [f"question {fault}" for fault in faults_of(reply.asks.text)] if reply.asks else []
    return found + (card_faults_of(reply.card) if reply.card else [])


@pytest.mark.parametrize("drink", DRINKS)
@pytest.mark.parametrize(("intent", "slots"), ABOUT_A_DRINK, ids=str)
def test_every_answer_about_a_drink_is_a_sentence(ask: Ask, intent: Intent, slots: Slots, drink: str) -> None:
    """Asked of very different drinks, what is said can be read aloud and what is shown is whole."""
    ask(Intent.SPEC, {"drink": "Gimlet"})
    reply = ask(intent, {"drink": drink, **slots})
    assert "went wrong" not in reply.say
    assert wrong_with(reply) == [], reply.say


def test_every_other_answer_is_a_sentence(ask: Ask) -> None:
    """So is all that is said about the shelf, the night, the quiz and the talk, in one long conversation."""
    wrong = {}
    for intent, slots in ABOUT_NO_DRINK:
        reply = ask(intent, slots)
        if "went wrong" in reply.say or wrong_with(reply):
            wrong[f"{intent} {slots}: {reply.say}"] = wrong_with(reply)
    assert wrong == {}


def test_every_spec_is_a_sentence(ask: Ask, book: Book) -> None:
    """Every drink of the book can be read out."""
    wrong = {
        name: (found, reply.say)
        for name in book.drinks
        if (found := wrong_with(reply := ask(Intent.SPEC, {"drink": name})))
    }
    assert wrong == {}


def entry(kind: str, after: Columns | None) -> Entry:
    """A change that was taken back, and what that left."""
    return Entry("t", datetime(2024, 3, 1, tzinfo=UTC), "Ana", kind, "lime juice", None, after, "s")


FAULT = Fault("classics.toml", 12, "Gimlet", "pours", 'no ingredient is called "gni"', 'write "gin"')
NEVER_SEEN: list[MemoryFailed] = [
    MemoryFailed("gone"),
    DiskFull("no room"),
    ReadOnly("no writing"),
    Damaged("no database"),
    NameTaken("drink", "Harbour Storm"),
    UnknownChange("t"),
    AlreadyUndone("t", "out", "gin"),
    ChangedSince("t", "price", "gin"),
]
PRICED: Columns = {"name": "lime juice", "price": "0.45", "par": "2000 milliliter"}
UNDONE = [entry(kind, after) for kind in STATE for after in (None, PRICED)]
TROUBLES = [
    Trouble("memory"),
    Trouble("files", faults=(FAULT,)),
    Trouble("files", faults=(FAULT, FAULT)),
    Trouble("drinks", names=("Harbour Storm", "Old Rope")),
    Trouble("prices", names=("gin",)),
    Trouble("mended", names=("2024-03-01 17:00 UTC", "shift.db.damaged-1")),
]


@pytest.mark.parametrize("error", NEVER_SEEN, ids=lambda error: type(error).__name__)
def test_every_refusal_is_a_sentence(error: MemoryFailed) -> None:
    """Each error of the memory has its own words."""
    assert wrong_with(talk.not_undone(error)) == []
    others = {talk.not_undone(other).say for other in NEVER_SEEN if other is not error}
    assert talk.not_undone(error).say not in others


def test_no_error_of_the_memory_was_forgotten() -> None:
    """Every error that the memory raises is in the table above."""
    assert {type(error) for error in NEVER_SEEN} == {MemoryFailed, *MemoryFailed.__subclasses__()}


@pytest.mark.parametrize("undone", UNDONE, ids=lambda undone: f"{undone.kind}-{undone.after is not None}")
def test_every_undo_is_a_sentence(book: Book, undone: Entry) -> None:
    """Whatever was taken back, the reply says how things stand now."""
    assert wrong_with(talk.undone(undone, book.house)) == []


@pytest.mark.parametrize("trouble", TROUBLES, ids=lambda trouble: trouble.kind)
def test_every_trouble_is_a_sentence(trouble: Trouble) -> None:
    """What is wrong with tonight's book is told in one sentence, for the eye."""
    (told,) = talk.troubles_told([trouble])
    assert faults_of(told) == []
    assert [faults_of(said) for said in talk.troubles_said([trouble])] in ([], [[]])


@pytest.mark.parametrize("intent", Intent)
def test_every_intent_can_be_asked_back(book: Book, intent: Intent) -> None:
    """Each command has words for 'did you mean', with its slots filled or missing."""
    full: Slots = {"drink": "Gimlet", "drink_2": "Gibson", "ingredient": "gin", "count": 3, "unit": "ml"}
    empty: Slots = {}
    for slots in (empty, {**full, "percent": Decimal(20), "money": Decimal("0.60")}):
        assert wrong_with(talk.cannot_yet(Command(intent, slots), book)) == []
