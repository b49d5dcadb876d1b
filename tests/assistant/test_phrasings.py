"""What three people really say is understood, and what cannot be answered is not answered as if it could."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from assistant.messages import Reply
from assistant.services import Services
from grammar.command import Command, Intent
from tests.expected import Expected, is_right, is_sure, readings, told
from tests.talk import Talk

HERE = Path(__file__).parent
PHRASINGS: dict[str, list[dict[str, Any]]] = tomllib.loads((HERE / "phrasings.toml").read_text(encoding="utf-8"))
UNANSWERABLE: dict[str, list[str]] = tomllib.loads((HERE / "unanswerable.toml").read_text(encoding="utf-8"))
ENOUGH = Decimal("0.97")  # of the phrasings
SAID_BEFORE = "gimlet specs"  # what a conversation was about before something that cannot be answered


@pytest.fixture(scope="module")
def services(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Services]:
    """The assistant with the real book and a database of this module's own."""
    url = f"sqlite:///{tmp_path_factory.mktemp('shift') / 'shift.db'}"
    services = Services(database_url=url)
    yield services
    services.close()


def talk(services: Services, utterances: list[str]) -> list[Reply]:
    """The replies to a conversation, which leaves the bar as it was."""
    conversation = Talk(services)
    replies = [conversation.ask(text) for text in utterances]
    conversation.take_back()
    return replies


def answer(services: Services, entry: dict[str, Any]) -> tuple[Reply, bool]:
    """The reply to an entry, and whether it is to what was meant."""
    *before, reply = talk(services, [*entry.get("after", ()), entry["say"]])
    return reply, is_right(reply, before[-1] if before else None, readings(entry))


def answered(services: Services, texts: list[str], before: list[str]) -> list[str]:
    """What of the unanswerable is answered as if sure, or changes anything."""
    wrong = []
    for text in texts:
        version = services.memory.version()
        reply = talk(services, [*before, text])[-1]
        if is_sure(reply) or services.memory.version() != version:
            wrong.append(f"{text!r} -> {told(reply)}")
    return wrong


def missed(who: str, entry: dict[str, Any], reply: Reply) -> str:
    """A miss in one line."""
    after = f" after {entry['after']}" if "after" in entry else ""
    return f"{who}: {entry['say']!r}{after} -> {told(reply)}"


class TestPhrasings:
    """Typed or said by a bartender in mid-shift, a trainee and a manager."""

    def test_nearly_all_are_understood(self, services: Services) -> None:
        """At least 97 of a hundred get the intent and the slots that the person would insist on."""
        misses = []
        entries = [(who, entry) for who, said in PHRASINGS.items() for entry in said]
        for who, entry in entries:
            reply, right = answer(services, entry)
            if not right:
                misses.append(missed(who, entry, reply))
        report = f"{len(entries) - len(misses)} of {len(entries)} right; missed:\n" + "\n".join(misses)
        print(report)
        assert Decimal(len(entries) - len(misses)) / len(entries) >= ENOUGH, report

    def test_there_are_enough_of_them(self) -> None:
        """A hundred and fifty and more, of which fifteen are typed wrong, and every person says some."""
        entries = [entry for said in PHRASINGS.values() for entry in said]
        assert len(entries) >= 150
        assert len({(entry["say"], *entry.get("after", ())) for entry in entries}) == len(entries)
        assert sum(entry.get("slip", False) for entry in entries) >= 15

    def test_names_are_the_books_own(self, services: Services) -> None:
        """A name that the book does not have could never be understood, and would hide among the few misses."""
        book = services.book
        known = {
            "drink": set(book.drinks),
            "ingredient": set(book.ingredients),
            "family": set(book.families),
            "shelf": set(book.shelves),
        }
        for expected in (each for said in PHRASINGS.values() for entry in said for each in readings(entry)):
            for slot, value in expected.slots.items():
                names = known.get(slot.removesuffix("_2"))
                assert names is None or set(value if isinstance(value, list) else [value]) <= names, expected


class TestUnanswerable:
    """Drinks we do not have, the weather, noise."""

    @pytest.mark.parametrize("kind", UNANSWERABLE)
    def test_nothing_is_answered_as_if_sure(self, services: Services, kind: str) -> None:
        """Out of the blue it is not understood, or asked back; and nothing changes."""
        wrong = answered(services, UNANSWERABLE[kind], [])
        assert not wrong, "\n".join(wrong)

    @pytest.mark.parametrize("kind", [kind for kind in UNANSWERABLE if kind != "half_said"])
    def test_nor_in_the_middle_of_a_talk(self, services: Services, kind: str) -> None:
        """Talk of a drink does not make sense of what has none."""
        wrong = answered(services, UNANSWERABLE[kind], [SAID_BEFORE])
        assert not wrong, "\n".join(wrong)

    def test_there_are_enough_of_them(self) -> None:
        """Sixty and more."""
        assert sum(map(len, UNANSWERABLE.values())) >= 60


class TestExpected:
    """The measure itself."""

    SAME: tuple[tuple[str, str, dict[str, Any], dict[str, Any]], ...] = (
        ("another word for an allergen", "contains", {"text": "dairy"}, {"text": "milk"}),
        ("any of a list", "can_make", {"role": ["citrus", "acid"]}, {"role": "acid"}),
        ("the two sides changed over", "compare", {"drink": "A", "drink_2": "B"}, {"drink": "B", "drink_2": "A"}),
        ("a number as the grammar holds it", "set_price", {"money": 0.6}, {"money": Decimal("0.60")}),
        ("a part more", "balance", {"drink": "A"}, {"drink": "A", "part": "strength"}),
    )
    OTHER: tuple[tuple[str, str, dict[str, Any], dict[str, Any]], ...] = (
        ("another allergen", "contains", {"text": "egg"}, {"text": "milk"}),
        ("a name more", "spec", {"drink": "A"}, {"drink": "A", "ingredient": "gin"}),
        ("a name less", "spec", {"drink": "A"}, {}),
        ("another number", "scale", {"count": 3}, {"count": 4}),
        ("the two sides of a swap changed over", "riff", {"ingredient": "a"}, {"ingredient_2": "a"}),
    )

    @pytest.mark.parametrize(("what", "intent", "wanted", "got"), SAME, ids=[row[0] for row in SAME])
    def test_takes_what_means_the_same(
        self, what: str, intent: str, wanted: dict[str, Any], got: dict[str, Any]
    ) -> None:
        """The same in other words is right."""
        assert Expected(Intent(intent), wanted).is_met(Command(Intent(intent), got))

    @pytest.mark.parametrize(("what", "intent", "wanted", "got"), OTHER, ids=[row[0] for row in OTHER])
    def test_takes_nothing_else(self, what: str, intent: str, wanted: dict[str, Any], got: dict[str, Any]) -> None:
        """What differs in a name or a number is wrong."""
        assert not Expected(Intent(intent), wanted).is_met(Command(Intent(intent), got))

    def test_takes_no_other_intent(self) -> None:
        """The same names asked otherwise are wrong."""
        assert not Expected(Intent.SPEC, {"drink": "A"}).is_met(Command(Intent.BUILD, {"drink": "A"}))
