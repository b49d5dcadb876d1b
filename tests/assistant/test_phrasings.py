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
Phrasings = dict[str, list[dict[str, Any]]]  # by who says them
Unanswerable = dict[str, list[str]]  # by kind
ENOUGH = Decimal("0.97")  # of the phrasings
SAID_BEFORE = "gimlet specs"  # what a conversation was about before something that cannot be answered


def read(name: str) -> dict[str, Any]:
    """A file of phrasings, or of what cannot be answered."""
    return tomllib.loads((HERE / f"{name}.toml").read_text(encoding="utf-8"))


def both(name: str) -> tuple[Phrasings, Unanswerable]:
    """The two halves of a file that has both."""
    said = read(name)
    unanswerable = said.pop("unanswerable")
    return said, unanswerable


SETS: dict[str, tuple[Phrasings, Unanswerable]] = {
    "first set": (read("phrasings"), read("unanswerable")),
    "typed on shift": both("phrasings_on_shift"),
}
KINDS = [(name, kind) for name, (_, kinds) in SETS.items() for kind in kinds]


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

    @pytest.mark.parametrize("name", SETS)
    def test_nearly_all_are_understood(self, services: Services, name: str) -> None:
        """At least 97 of a hundred get the intent and the slots that the person would insist on."""
        misses = []
        entries = [(who, entry) for who, said in SETS[name][0].items() for entry in said]
        for who, entry in entries:
            reply, right = answer(services, entry)
            if not right:
                misses.append(missed(who, entry, reply))
        report = f"{len(entries) - len(misses)} of {len(entries)} right; missed:\n" + "\n".join(misses)
        print(report)
        assert Decimal(len(entries) - len(misses)) / len(entries) >= ENOUGH, report

    @pytest.mark.parametrize("name", SETS)
    def test_there_are_enough_of_them(self, name: str) -> None:
        """A hundred and fifty and more, and each of the three people says some."""
        said = SETS[name][0]
        entries = [entry for some in said.values() for entry in some]
        assert len(entries) >= 150
        assert len(said) == 3
        assert len({(entry["say"], *entry.get("after", ())) for entry in entries}) == len(entries)

    def test_some_are_typed_wrong(self) -> None:
        """Fifteen and more: fingers are wet."""
        entries = [entry for said, _ in SETS.values() for some in said.values() for entry in some]
        assert sum(entry.get("slip", False) for entry in entries) >= 15

    @pytest.mark.parametrize("name", SETS)
    def test_names_are_the_books_own(self, services: Services, name: str) -> None:
        """A name that the book does not have could never be understood, and would hide among the few misses."""
        book = services.book
        known = {
            "drink": set(book.drinks),
            "ingredient": set(book.ingredients),
            "family": set(book.families),
            "shelf": set(book.shelves),
        }
        for expected in (each for said in SETS[name][0].values() for entry in said for each in readings(entry)):
            for slot, value in expected.slots.items():
                names = known.get(slot.removesuffix("_2"))
                assert names is None or set(value if isinstance(value, list) else [value]) <= names, expected


class TestUnanswerable:
    """Drinks we do not have, the weather, noise, and what is not done here."""

    @pytest.mark.parametrize(("name", "kind"), KINDS)
    def test_nothing_is_answered_as_if_sure(self, services: Services, name: str, kind: str) -> None:
        """Out of the blue it is not understood, or asked back; and nothing changes."""
        wrong = answered(services, SETS[name][1][kind], [])
        assert not wrong, "\n".join(wrong)

    @pytest.mark.parametrize(("name", "kind"), [(name, kind) for name, kind in KINDS if kind != "half_said"])
    def test_nor_in_the_middle_of_a_talk(self, services: Services, name: str, kind: str) -> None:
        """Talk of a drink does not make sense of what has none."""
        wrong = answered(services, SETS[name][1][kind], [SAID_BEFORE])
        assert not wrong, "\n".join(wrong)

    @pytest.mark.parametrize("name", SETS)
    def test_there_are_enough_of_them(self, name: str) -> None:
        """Sixty and more."""
        assert sum(map(len, SETS[name][1].values())) >= 60


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
