"""Who changed what, and who changed one thing."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from assistant.answers.trail import changes_told
from assistant.memory import Entry
from assistant.messages import Table

NOW = datetime(2024, 3, 4, 12, tzinfo=UTC)


def changed(kind: str, name: str, who: str, minutes: int) -> Entry:
    """A change made so long ago."""
    at = NOW - timedelta(minutes=minutes)
    return Entry(f"{name} {minutes}", at, who, kind, name, None, {"name": name, "price": "30"}, None)


TRAIL = (
    changed("out", "mint", "Ana", 1),
    changed("price", "mezcal", "Kit", 5),
    changed("price", "gin", "Sam", 9),
    changed("price", "mezcal", "Ana", 60),
)


def test_of_one_thing_only_its_own_changes_are_told() -> None:
    """'Who changed the price of mezcal?' is not answered with the mint."""
    reply = changes_told(TRAIL, NOW, "mezcal")
    assert reply.say.startswith("The last change was five minutes ago: Kit changed mezcal.")
    assert reply.card is not None
    table = reply.card.blocks[0]
    assert isinstance(table, Table)
    assert [row.label for row in table.rows] == ["Mezcal", "Mezcal"]


def test_what_nobody_changed_is_said() -> None:
    """Not passed over for a change of something else."""
    assert changes_told(TRAIL, NOW, "vodka").say == "Nobody has changed vodka yet."


def test_without_a_name_the_last_of_all_is_told() -> None:
    """'Who changed what?'"""
    assert changes_told(TRAIL, NOW).say.startswith("The last change was one minute ago: Ana changed mint.")
