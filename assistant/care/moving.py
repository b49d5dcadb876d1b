"""Moving house: what one database remembers goes into another, which may hold other venues, whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import Connection, select

from assistant.care.copying import Counts, copy_all, venues_in
from assistant.database import opened, writing
from assistant.errors import MoveRefused
from assistant.tables import SHARED, STATE, TRAIL


def move(source_url: str, target_url: str, venue: str = "") -> Counts:
    """Copy everything into another database, in one transaction; the database it comes from stays as it is.

    With `venue`, the one venue that is there goes by that name from now on. Returns the rows that arrived, by table, as
    counted there. Raises MoveRefused ('nothing', 'many', 'there', 'moved' or 'drinks'), Miscounted, NewerDatabase and
    MemoryFailed; then nothing has arrived.
    """
    with (
        opened(source_url) as source,
        opened(target_url) as target,
        writing(source) as sent,  # nobody changes anything there meanwhile
        writing(target) as arriving,
    ):
        return copy_all(sent, arriving, _renamed(sent, arriving, venue))


def _renamed(sent: Connection, arriving: Connection, venue: str) -> Mapping[str, str]:
    moving = venues_in(sent)
    if not moving:
        raise MoveRefused("nothing")
    if venue and len(moving) > 1:
        raise MoveRefused("many", *sorted(moving))
    renamed = {name: venue or name for name in moving}
    there = venues_in(arriving) & set(renamed.values())
    if there:
        raise MoveRefused("there", *sorted(there))
    first = sent.execute(select(TRAIL.c.token).order_by(TRAIL.c.number).limit(1)).scalar()
    if arriving.execute(select(TRAIL.c.token).where(TRAIL.c.token == first)).scalar() is not None:
        raise MoveRefused("moved")
    clashing = _shared_names(sent) & _shared_names(arriving)
    if clashing:
        raise MoveRefused("drinks", *sorted(clashing))
    return renamed


def _shared_names(connection: Connection) -> set[str]:
    return {name for kind in SHARED for name in connection.execute(select(STATE[kind].c.name)).scalars()}
