"""The tables of the memory. A change of one of them needs a step in `assistant.schema`."""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    Column,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

metadata = MetaData()

BOOK = "(book)"  # the venue of what all venues share
SHARED = frozenset({"drink"})  # the kinds of STATE that all venues share: there is one book


def _state(name: str, *columns: Column[int] | Column[str]) -> Table:
    """A table of what holds now: one row for each name at each venue; `number` keeps the order of writing."""
    return Table(
        name,
        metadata,
        Column("number", Integer, primary_key=True, autoincrement=True),
        Column("venue", String(80), nullable=False),
        Column("name", String(200), nullable=False),
        *columns,
        UniqueConstraint("venue", "name"),
    )


STATE = {
    "out": _state("out_of_stock"),
    "price": _state("pack_price", Column("price", String(40), nullable=False)),  # money, a decimal number
    "drink": _state("kept_drink", Column("document", Text, nullable=False)),  # assistant.kept
    "mark": _state(
        "quiz_mark",
        Column("trainee", String(200), nullable=False),
        Column("drink", String(200), nullable=False),
        Column("kind", String(200), nullable=False),
        Column("points", Integer, nullable=False),
        Column("out_of", Integer, nullable=False),
    ),
    "test": _state(
        "floor_test",
        Column("trainee", String(200), nullable=False),
        Column("title", String(200), nullable=False),
        Column("points", Integer, nullable=False),
        Column("out_of", Integer, nullable=False),
        Column("passed", Integer, nullable=False),  # 1 or 0
    ),
    "supplied": _state("supplier_name", Column("ingredients", Text, nullable=False)),  # names, one a line
    "counted": _state(
        "on_hand",
        Column("ready", String(80), nullable=False),  # number and unit of what can be poured; empty: not counted
        Column("fruit", String(40), nullable=False),  # a number; empty: not counted
        Column("at", String(40), nullable=False),  # ISO 8601, UTC
    ),
    "par": _state("par_level", Column("par", String(80), nullable=False)),  # number and unit
    "sold": _state("sold", Column("count", Integer, nullable=False)),
    "person": _state("person"),  # who has said who they are
}

TRAIL = Table(
    "trail",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("token", String(40), nullable=False, unique=True),
    Column("venue", String(80), nullable=False),
    Column("at", String(40), nullable=False),  # ISO 8601, UTC
    Column("who", String(200), nullable=False),
    Column("kind", String(20), nullable=False),  # a key of STATE
    Column("name", String(200), nullable=False),  # what was changed: the name of its row
    Column("before", JSON(none_as_null=True)),  # the row as it was; null: there was none
    Column("after", JSON(none_as_null=True)),  # the row as it became; null: taken away
    Column("undoes", String(40), unique=True),  # token of the change that this one takes back
    Index("ix_trail_venue", "venue", "number"),
    Index("ix_trail_thing", "kind", "name"),
)

VENUE = Table(
    "venue",  # its row is what holds the others back while one changes something there
    metadata,
    Column("name", String(80), primary_key=True),  # BOOK among them
    Column("changes", Integer, nullable=False),  # how many were ever made
)

TOGETHER = Table(
    "changed_together",  # the changes of one import: made together, undone together
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("venue", String(80), nullable=False),
    Column("token", String(40), nullable=False, index=True),  # of all of them
    Column("part", String(40), nullable=False, unique=True),  # token of one of them, in the trail
)

PIN = Table(
    "manager_pin",  # assistant.pin
    metadata,
    Column("venue", String(80), primary_key=True),
    Column("salt", String(64), nullable=False),  # hex
    Column("digest", String(128), nullable=False),  # hex
    Column("n", Integer, nullable=False),
    Column("r", Integer, nullable=False),
    Column("p", Integer, nullable=False),
)

WRONG_PIN = Table(
    "wrong_pin",  # each try of the PIN that was wrong, or is not yet known to be right
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("venue", String(80), nullable=False),
    Column("source", String(80), nullable=False),
    Column("at", String(40), nullable=False),  # ISO 8601, UTC
)

PIN_SHOWN = Table(
    "pin_shown",  # sources that have shown the PIN since it was set
    metadata,
    Column("venue", String(80), primary_key=True),
    Column("source", String(80), primary_key=True),
)
