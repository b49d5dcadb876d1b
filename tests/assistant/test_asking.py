"""Answers to our own questions: what settles them, and what does not."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.asking import Pending, Unsettled, is_bare, settled
from assistant.messages import Choice, Question
from grammar.command import Command, Intent, Meaning, NotUnderstood

NOTHING = NotUnderstood("")
YES, NO = Command(Intent.YES), Command(Intent.NO)


def spec(name: str) -> Command:
    """A spec asked for."""
    return Command(Intent.SPEC, {"drink": name})


def asking(*labels: str) -> Pending:
    """A question whose choices are drinks."""
    return Pending(Question("Which?", tuple(Choice(label, spec(label)) for label in labels)))


def batch(**slots: int | Decimal | str) -> Command:
    """A batch of Gimlets, of some size."""
    return Command(Intent.BATCH, {"drink": "Gimlet", **slots})


HOW_MANY = Pending(Question("How many?", tuple(Choice(str(count), batch(count=count)) for count in (10, 20, 40))))
SURE = Pending(Question("Did you say gimlet?", (Choice("Yes", spec("Gimlet")), Choice("No", NO))))


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("first", 0),
        ("the first one, please", 0),
        ("The second.", 1),
        ("I meant the third one", 2),
        ("number three", 2),
        ("number 1", 0),
        ("the last one", 2),
        ("the latter", 1),
    ],
)
def test_a_choice_by_its_place(said: str, place: int) -> None:
    """'The second one' is the second of the choices."""
    choices = asking("Gimlet", "Gibson", "Gin Fizz")
    assert settled(choices, said, NOTHING) == choices.question.choices[place].command


@pytest.mark.parametrize(
    "said", ["the fourth one", "first and second", "the first time I had one", "one", "number nine", ""]
)
def test_a_place_that_is_none(said: str) -> None:
    """A place that no choice has, two places, or other talk settles nothing."""
    assert settled(asking("Gimlet", "Gibson"), said, NOTHING) is None


@pytest.mark.parametrize(
    ("said", "label"),
    [
        ("gibson", "Gibson"),
        ("the Gin Fizz, please", "Gin Fizz"),
        ("make it the silver gin fizz", "Silver Gin Fizz"),
        ("bees knees", "Bee's Knees"),
        ("yes, the gibson", "Gibson"),
    ],
)
def test_a_choice_by_its_name(said: str, label: str) -> None:
    """The name alone chooses; where one name holds another, the longer is meant."""
    choices = asking("Gibson", "Gin Fizz", "Silver Gin Fizz", "Bee's Knees")
    assert settled(choices, said, NOTHING) == spec(label)


@pytest.mark.parametrize("said", ["what does a gibson cost", "gibson without the onion"])
def test_a_name_within_a_question_is_a_new_question(said: str) -> None:
    """A name with more around it is not taken for the answer."""
    assert settled(asking("Gibson", "Gimlet"), said, Command(Intent.COST, {"drink": "Gibson"})) is None


@pytest.mark.parametrize(
    ("pending", "meaning", "then"),
    [
        (SURE, YES, spec("Gimlet")),
        (SURE, NO, NO),
        (asking("Gimlet"), YES, spec("Gimlet")),
        (asking("Gimlet", "Gibson"), YES, Unsettled.WHICH),
        (asking("Gimlet", "Gibson"), NO, NO),
        (Pending(Question("Which drink?", ()), Command(Intent.COST), "drink"), YES, Unsettled.WHICH),
    ],
)
def test_yes_and_no(pending: Pending, meaning: Meaning, then: object) -> None:
    """'Yes' settles what has one thing to say yes to."""
    assert settled(pending, "yep", meaning) == then


def test_a_bare_name_fills_the_gap() -> None:
    """'Which drink?' - 'the gimlet': the command that lacked it has it now, no surer than either."""
    gap = Pending(Question("Which drink?", ()), Command(Intent.SCALE, {"count": 3}), "drink")
    name = Command(Intent.SPEC, {"drink": "Gimlet"}, confidence=0.8, spans={"drink": (4, 10)})
    done = settled(gap, "the gimlet", name)
    assert done == Command(Intent.SCALE, {"count": 3, "drink": "Gimlet"}, confidence=0.8)


def test_the_second_name_is_a_name_too() -> None:
    """'Compare with which drink?' takes a drink."""
    gap = Pending(Question("Which drink?", ()), Command(Intent.COMPARE, {"drink": "Gimlet"}), "drink_2")
    name = Command(Intent.SPEC, {"drink": "Gibson"}, spans={"drink": (0, 6)})
    assert settled(gap, "gibson", name) == Command(Intent.COMPARE, {"drink": "Gimlet", "drink_2": "Gibson"})


@pytest.mark.parametrize(
    ("said", "slots", "then"),
    [
        ("twenty", {"count": 20}, batch(count=20)),
        ("20", {"count": 20}, batch(count=20)),
        ("thirty", {"count": 30}, batch(count=30)),
        ("make it thirty", {"count": 30}, batch(count=30)),
        ("two litres", {"amount": Decimal(2), "unit": "l"}, batch(amount=Decimal(2), unit="l")),
    ],
)
def test_a_number_that_was_not_offered_will_do(said: str, slots: dict[str, int | Decimal | str], then: Command) -> None:
    """'How many?' takes any number, and a volume as well."""
    number = said.removeprefix("make it ")
    start = said.index(number)
    middle = start + len(number) // 2
    spans = {slot: (start, middle) if place else (middle, len(said)) for place, slot in enumerate(slots)}
    spans = spans if len(slots) > 1 else dict.fromkeys(slots, (start, len(said)))
    assert settled(HOW_MANY, said, Command(Intent.SCALE, slots, spans=spans)) == then


def test_a_number_does_not_choose_between_drinks() -> None:
    """'Gimlet or Gibson?' is not answered by 'thirty'."""
    thirty = Command(Intent.SCALE, {"count": 30}, spans={"count": (0, 6)})
    assert settled(asking("Gimlet", "Gibson"), "thirty", thirty) is None


@pytest.mark.parametrize(
    ("text", "bare"),
    [
        ("gimlet", True),
        ("the gimlet, please", True),
        ("a Gimlet!", True),
        ("shake a gimlet", False),
        ("no gimlet", False),
    ],
)
def test_what_a_bare_name_is(text: str, bare: bool) -> None:
    """A name with nothing around it but small words."""
    start = text.casefold().index("gimlet")
    command = Command(Intent.SPEC, {"drink": "Gimlet"}, spans={"drink": (start, start + 6)})
    assert is_bare(command, text) is bare


def test_a_command_without_spans_is_not_bare() -> None:
    """What cannot be shown to be a name alone is taken for a whole question."""
    assert not is_bare(spec("Gimlet"), "gimlet")
