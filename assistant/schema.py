"""Which schema a database has, and how an older one is brought to ours, step by step and all or nothing.

A schema has a number, which the database holds in a table of one row. Whoever changes or adds a table in
`assistant.tables` appends a step here, which makes the new schema of the one before. A step that was released is never
edited: where its table has changed again since, it says in SQL what the table was at the time.
`tests/assistant/releases/` has a database of every released schema; tests open each and hold what came of it against a
new one, column by column. (Alembic was weighed: a second command, a folder of scripts and a table of its own, for what
is a tuple of functions here, run by whoever opens the database.)
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Column, Connection, Engine, Integer, Table, insert, inspect, select, text, update

from assistant.errors import NewerDatabase
from assistant.tables import PIN, PIN_SHOWN, STATE, TRAIL, VENUE, WRONG_PIN, metadata

Step = Callable[[Connection], None]

SCHEMA = Table("schema_release", metadata, Column("release", Integer, primary_key=True, autoincrement=False))
ONE_AT_A_TIME = 0x70726570  # PostgreSQL's advisory lock that whoever changes the schema holds


def _number_the_schema(connection: Connection) -> None:
    """1 to 2: the schema has a number of its own."""
    SCHEMA.create(connection)
    connection.execute(insert(SCHEMA).values(release=1))


def _know_people(connection: Connection) -> None:
    """2 to 3: the people of the house by name, the manager's PIN, and the wrong tries of it."""
    for table in (STATE["person"], PIN, WRONG_PIN):
        table.create(connection)


def _share_the_book(connection: Connection) -> None:
    """3 to 4: kept drinks are in the book of all venues; each venue counts its changes."""
    VENUE.create(connection)
    for index in TRAIL.indexes:
        index.create(connection)
    for statement in (
        "INSERT INTO venue (name, changes) SELECT venue, count(*) FROM trail GROUP BY venue",
        "UPDATE kept_drink SET venue = '(book)' WHERE number IN (SELECT max(number) FROM kept_drink GROUP BY name)",
        "DELETE FROM kept_drink WHERE venue <> '(book)'",  # of two venues' drinks of one name the trail has both
    ):
        connection.execute(text(statement))


def _count_the_stock(connection: Connection) -> None:
    """4 to 5: what was counted in the house."""
    STATE["counted"].create(connection)


def _keep_pars(connection: Connection) -> None:
    """5 to 6: pars of each venue's own."""
    STATE["par"].create(connection)


def _note_where_the_pin_was_shown(connection: Connection) -> None:
    """6 to 7: where the manager's PIN was typed."""
    PIN_SHOWN.create(connection)


# The first leads from 1 to 2.
STEPS: tuple[Step, ...] = (
    _number_the_schema,
    _know_people,
    _share_the_book,
    _count_the_stock,
    _keep_pars,
    _note_where_the_pin_was_shown,
)
NEWEST = 1 + len(STEPS)


def release_of(connection: Connection) -> int:
    """The number of the schema; 0 for a database that has none of our tables."""
    there = inspect(connection).get_table_names()
    if SCHEMA.name in there:
        return int(connection.execute(select(SCHEMA.c.release)).scalar_one())
    return 1 if TRAIL.name in there else 0


def bring_up_to_date(engine: Engine) -> None:
    """Make the tables in an empty database, or take the steps that an older one lacks; one transaction.

    A database that is up to date is only read. Raises NewerDatabase for one that a later program has changed.
    """
    with engine.begin() as connection:
        if _checked(connection) == NEWEST:
            return
    with engine.execution_options(writing=True).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": ONE_AT_A_TIME})
        _bring(connection, _checked(connection))


def _checked(connection: Connection) -> int:
    found = release_of(connection)
    if found > NEWEST:
        raise NewerDatabase(found, NEWEST)
    return found


def _bring(connection: Connection, found: int) -> None:
    if found == NEWEST:
        return  # somebody else was quicker
    if found == 0:
        metadata.create_all(connection)
        connection.execute(insert(SCHEMA).values(release=NEWEST))
        return
    for step in STEPS[found - 1 :]:
        step(connection)
    connection.execute(update(SCHEMA).values(release=NEWEST))
