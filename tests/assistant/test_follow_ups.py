"""Follow-ups that say only what is different, through the real grammar and the real book."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import count

import pytest

from assistant.services import Services
from grammar.command import Command, Intent, SlotValue

Said = Callable[..., str]
_numbers = count()


@pytest.fixture(scope="module")
def services(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Services]:
    """The assistant on the book that ships."""
    services = Services(None, f"sqlite:///{tmp_path_factory.mktemp('shift') / 'shift.db'}")
    yield services
    services.close()


@pytest.fixture
def command(services: Services) -> Callable[..., Command | None]:
    """Says each of several things in a conversation of its own; gives what the last was taken for."""
    conversation = f"talk {next(_numbers)}"

    def talk(*texts: str) -> Command | None:
        return [services.ask(text, conversation).command for text in texts][-1]

    return talk


@pytest.fixture
def say(services: Services) -> Iterator[Said]:
    """The same, but gives what came back; whatever is out or repriced at the end is undone."""
    conversation = f"talk {next(_numbers)}"

    def talk(*texts: str) -> str:
        return [services.ask(text, conversation).say for text in texts][-1]

    yield talk
    while "nothing more to undo" not in talk("undo"):
        pass


@pytest.mark.parametrize(
    ("first", "then", "intent", "slots"),
    [
        ("what does a sidecar cost", "and the white lady?", "cost", {}),
        ("what does a sidecar cost", "what about the white lady", "cost", {}),
        ("what does a sidecar cost", "how about a white lady", "cost", {}),
        ("how strong is a gimlet", "and the white lady", "balance", {"part": "strength"}),
        ("are there nuts in the army and navy", "what about the white lady", "contains", {"text": "nuts"}),
        ("how much lemon in a sidecar", "and the white lady", "amount", {"ingredient": "lemon juice"}),
        ("what glass for a gimlet", "and the white lady", "spec", {"part": "glass"}),
        ("what family is the sidecar", "and the white lady", "family", {}),
        ("spec for a sidecar", "what about the white lady", "spec", {}),
        ("batch thirty manhattans", "what about the white lady", "spec", {}),
        ("what does a sidecar cost", "the white lady", "spec", {}),
    ],
)
def test_the_last_question_is_asked_of_another_drink(
    command: Callable[..., Command], first: str, then: str, intent: str, slots: dict[str, SlotValue]
) -> None:
    """'And the white lady?' asks what was asked of the drink before; after what is no such question, its spec."""
    found = command(first, then)
    assert (found.intent, dict(found.slots)) == (Intent(intent), {**slots, "drink": "White Lady"})


def test_a_part_asked_by_the_way_is_not_asked_of_the_next(say: Said) -> None:
    """'Spec for a gimlet', 'and the garnish', 'what about a clover club': the whole spec again."""
    assert say("spec for a gimlet", "and the garnish", "what about a clover club").startswith(
        "Clover Club: one and a half"
    )


@pytest.mark.parametrize(
    ("texts", "answer"),
    [
        (("manhattan spec", "how much vermouth"), "One ounce of sweet vermouth."),
        (("how much vermouth in a martini",), "Half an ounce of dry vermouth."),
        (("manhattan spec", "what can I use instead of vermouth"), "Use "),
        (("gimlet spec", "how much vermouth"), "Did you mean sweet vermouth, dry vermouth or blanc vermouth?"),
        (("how much vermouth",), "Did you mean sweet vermouth, dry vermouth or blanc vermouth?"),
        (("manhattan spec", "we're out of vermouth"), "Did you mean sweet vermouth, dry vermouth or blanc vermouth?"),
    ],
)
def test_a_word_for_several_means_the_one_in_the_drink(say: Said, texts: tuple[str, ...], answer: str) -> None:
    """'How much vermouth', of a drink with one, is that one; what would change something is asked all the same."""
    assert say(*texts).startswith(answer)


@pytest.mark.parametrize(
    ("first", "then", "intent", "slots"),
    [
        ("what does a sidecar cost", "no, I meant the gimlet", "cost", {"drink": "Gimlet"}),
        ("what does a sidecar cost", "no, the gimlet", "cost", {"drink": "Gimlet"}),
        ("what does a sidecar cost", "I said the gimlet", "cost", {"drink": "Gimlet"}),
        ("how much lime in a gimlet", "no, I meant lemon", "amount", {"ingredient": "lemon juice", "drink": "Gimlet"}),
        ("batch thirty manhattans", "no, I meant forty", "batch", {"count": 40, "drink": "Manhattan"}),
        ("spec for a sidecar", "no, what does it cost", "cost", {"drink": "Sidecar"}),
        ("prep for eighty covers", "no, I meant the gimlet", "spec", {"drink": "Gimlet"}),
    ],
)
def test_what_was_meant_is_put_right(
    command: Callable[..., Command], first: str, then: str, intent: str, slots: dict[str, SlotValue]
) -> None:
    """'No, I meant the gimlet' asks the same again, of the gimlet."""
    found = command(first, then)
    assert found.intent is Intent(intent)
    assert {**found.slots, **slots} == dict(found.slots)


@pytest.mark.parametrize("text", ["no egg white", "no eg white", "no egg whte"])
def test_leaving_out_is_not_taking_back(command: Callable[..., Command], text: str) -> None:
    """'No egg white', slips and all, is a drink without it."""
    found = command("spec for a clover club", text)
    assert (found.intent, found.slots["ingredient"]) == (Intent.WITHOUT, "egg white")


def test_a_change_put_right_is_taken_back_first(services: Services, say: Said) -> None:
    """'We're out of lime' - 'no, I meant lemon': lime is in, lemon is out, and both are said."""
    assert say("we're out of lime", "no, I meant lemon").startswith(
        "Undone. Lime juice is in again. Noted: lemon juice is out."
    )
    assert services.memory.recall().out == {"lemon juice"}


def test_a_price_put_right_is_told_against_the_old_one(services: Services, say: Said) -> None:
    """'Gin is forty dollars' - 'no, I meant fifty': fifty, and it was what it was before the slip."""
    before = services.book.ingredients["gin"].pack
    assert before is not None
    reply = say("gin is forty dollars now", "no, I meant fifty")
    assert "Gin is now fifty dollars a bottle. It was twenty-four dollars." in reply
    assert services.memory.recall().prices["gin"].magnitude == Decimal(50)


@pytest.mark.parametrize("text", ["no, put that back", "put that back", "no put it back"])
def test_put_that_back_undoes_what_was_just_changed(services: Services, say: Said, text: str) -> None:
    """After a change 'put that back' is undo."""
    assert say("we're out of orgeat", text) == "Undone. Orgeat is in again."
    assert services.memory.recall().out == frozenset()


def test_put_that_back_after_no_change_undoes_nothing(services: Services, say: Said) -> None:
    """With another answer in between, an older change stays."""
    say("we're out of orgeat", "spec for a gimlet", "no, put that back")
    assert services.memory.recall().out == {"orgeat"}


ASKED = "Back to the question. How is the Daiquiri built?"


class TestBesideAQuiz:
    """While a quiz question is open."""

    @pytest.mark.parametrize(
        ("text", "answer"),
        [
            ("what does a gimlet cost", "The Gimlet costs "),
            ("compare the gibson and the gimlet", "Against the Gibson, "),
            ("prep for eighty covers", "Prep for eighty covers"),
            ("we're out of orgeat", "Noted: orgeat is out."),
            ("what can I use instead of orgeat", "Use almond liqueur"),
            ("any nuts in an army and navy", "Yes, nuts in the Army and Navy"),
            ("what can I make with mezcal", ""),
            ("lime is sixty cents", "Lime juice is now sixty cents"),
            ("batch thirty manhattans", "Thirty Manhattans, batched"),
        ],
    )
    def test_a_clear_command_is_done_and_the_question_asked_again(self, say: Said, text: str, answer: str) -> None:
        """It is no answer, so it is not marked as one."""
        reply = say("quiz me on the daiquiri", text)
        assert reply.startswith(answer)
        assert ASKED in reply

    @pytest.mark.parametrize("text", ["gin is two", "what's in a daiquiri", "what's in a gimlet", "gimlet"])
    def test_what_may_be_an_answer_is_one(self, services: Services, say: Said, text: str) -> None:
        """A name, a recital that sounds like a price, and a look at the spec are taken for answers."""
        prices = services.memory.recall().prices
        reply = say("quiz me on the daiquiri", text)
        assert "I heard no answer in that." in reply or "Next. " in reply
        assert "Daiquiri: " not in reply
        assert services.memory.recall().prices == prices

    @pytest.mark.parametrize("text", ["what does it cost", "compare the daiquiri and the gimlet", "batch daiquiris"])
    def test_the_drink_that_is_asked_about_is_not_told(self, say: Said, text: str) -> None:
        """No peeking: whatever would show its pours is not done while it is asked about."""
        assert say("quiz me on the daiquiri", text).startswith("I heard no answer in that.")

    def test_a_question_back_is_settled_before_the_quiz_goes_on(self, say: Said) -> None:
        """'Batch a manhattan' - 'How many?' - 'thirty': the batch, and then the quiz question."""
        assert say("quiz me on the daiquiri", "batch a manhattan").startswith("How many serves")
        reply = say("thirty")
        assert reply.startswith("Thirty Manhattans, batched")
        assert ASKED in reply

    @pytest.mark.parametrize("text", ["stop the quiz", "end the quiz", "stop"])
    def test_stop_the_quiz_stops_it(self, say: Said, text: str) -> None:
        """However it is said."""
        assert say("quiz me on the daiquiri", text) == "All right. The quiz is over."


def test_what_is_out_comes_with_what_stands_in(say: Said) -> None:
    """'We're out of orgeat' names in one breath what stops and what to use."""
    assert say("we're out of orgeat") == (
        "Noted: orgeat is out. Use almond liqueur or simple syrup instead of orgeat. "
        "Without orgeat one drink cannot be made: Army and Navy."
    )
