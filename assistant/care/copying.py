"""All that is remembered, copied from one database into another; either may be SQLite or PostgreSQL.

Rows are copied in the order of their numbers and numbered anew: nothing but that order ever rests on a number.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sqlalchemy import JSON, Column, Connection, MetaData, Table, delete, event, func, insert, select
from sqlalchemy.engine.interfaces import ReflectedColumn

from assistant.database import count_changes
from assistant.errors import Miscounted
from assistant.schema import SCHEMA
from assistant.tables import BOOK, VENUE, metadata

AT_A_TIME = 500  # rows in one insert
COPIED: tuple[Table, ...] = tuple(table for table in metadata.sorted_tables if table not in (SCHEMA, VENUE))

Counts = Mapping[str, int]  # rows by table


def venues_in(connection: Connection) -> frozenset[str]:
    """The venues that have anything in this database."""
    found: set[str] = set(connection.execute(select(VENUE.c.name)).scalars())
    for table in COPIED:
        found |= set(connection.execute(select(table.c.venue).distinct()).scalars())
    return frozenset(found - {BOOK})


def counts(connection: Connection, venues: Iterable[str]) -> Counts:
    """How many rows of these venues each table has."""
    where = tuple(venues)
    return {
        table.name: connection.execute(
            select(func.count()).select_from(table).where(table.c.venue.in_(where))
        ).scalar_one()
        for table in COPIED
    }


def copy_all(source: Connection, target: Connection, renamed: Mapping[str, str] | None = None) -> Counts:
    """Add all rows of one database to another, and count them there; `renamed` gives venues other names on the way.

    Raises Miscounted when the target has not grown by just these rows; then it must not be committed.
    """
    names = {venue: venue for venue in (*venues_in(source), BOOK)} | dict(renamed or {})  # the book is held last
    _hold(target, names, dict(source.execute(select(VENUE.c.name, VENUE.c.changes)).all()))
    before, sent = counts(target, names.values()), counts(source, names)
    for table in COPIED:
        _copy_table(table, source, target, names)
    arrived = {name: after - before[name] for name, after in counts(target, names.values()).items()}
    if arrived != sent:
        raise Miscounted(sent, arrived)
    return arrived


def copy_as_it_is(source: Connection, target: Connection) -> None:
    """Copy our tables as an earlier version left them, to the last number of a row, into an empty database."""
    left = MetaData()
    event.listen(left, "column_reflect", _for_any_database)
    left.reflect(source, only=lambda name, _: name in metadata.tables)
    left.create_all(target)
    for table in left.sorted_tables:
        for rows in source.execute(select(table)).mappings().partitions(AT_A_TIME):
            target.execute(insert(table), [{**row} for row in rows])


def _for_any_database(_inspector: object, _table: Table, column: ReflectedColumn) -> None:
    """A column as any kind of database may have it: without the counter that PostgreSQL takes new numbers from."""
    column["default"] = None
    found = column["type"].as_generic()
    column["type"] = JSON(none_as_null=True) if isinstance(found, JSON) else found


def empty(connection: Connection) -> None:
    """Take all rows away. The counts of changes stay and grow, so that whoever looks sees that all is other now."""
    _hold(connection, {venue: venue for venue in (*venues_in(connection), BOOK)}, {})
    for table in reversed(COPIED):
        connection.execute(delete(table))


def _hold(connection: Connection, names: Mapping[str, str], changes: Mapping[str, int]) -> None:
    """Let nobody else change anything of these venues from here on, and have whoever looks see a change."""
    for old, new in names.items():
        count_changes(connection, new, changes.get(old, 0) + 1)


def _copy_table(table: Table, source: Connection, target: Connection, names: Mapping[str, str]) -> None:
    columns = [column for column in table.columns if not _is_number(column)]
    query = select(*columns).order_by(*(column for column in table.columns if column.primary_key))
    for rows in source.execute(query).mappings().partitions(AT_A_TIME):
        moved = [{**row, "venue": names[row["venue"]]} for row in rows]
        target.execute(insert(table), moved)


def _is_number(column: Column[object]) -> bool:
    """Whether the database counts this column by itself."""
    return column is column.table.autoincrement_column
