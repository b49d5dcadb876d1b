"""Where the manager's PIN is kept, and each wrong try of it, so that no restart gives anybody new tries."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import Connection, Engine, bindparam, delete, insert, select

from assistant.database import changing, count_changes, translated
from assistant.pin import KeptPin, Work
from assistant.pin_limits import WrongTry, wait_until
from assistant.tables import PIN, PIN_SHOWN, WRONG_PIN

KEPT = select(PIN).where(PIN.c.venue == bindparam("venue"))


def has_pin(connection: Connection, venue: str) -> bool:
    """Whether a PIN is kept for the venue."""
    return connection.execute(KEPT, {"venue": venue}).first() is not None


class PinStore:
    """The PIN of one venue. Every method raises MemoryFailed when the database cannot be read or written."""

    def __init__(self, engine: Engine, venue: str) -> None:
        self._engine, self._venue = engine, venue

    def kept(self) -> KeptPin | None:
        """The PIN as it is kept; None when none is set."""
        with translated(), self._engine.begin() as connection:
            row = connection.execute(KEPT, {"venue": self._venue}).mappings().one_or_none()
        if row is None:
            return None
        return KeptPin(bytes.fromhex(row["salt"]), bytes.fromhex(row["digest"]), Work(row["n"], row["r"], row["p"]))

    def keep(self, pin: KeptPin | None) -> None:
        """Put this PIN in place of the one before, or take that away; forget who tried, and who had it right."""
        with changing(self._engine, self._venue) as connection:
            count_changes(connection, self._venue, 1)  # whether there is one is remembered with all the rest
            for table in (PIN, WRONG_PIN, PIN_SHOWN):
                connection.execute(delete(table).where(table.c.venue == self._venue))
            if pin is not None:
                row = {"salt": pin.salt.hex(), "digest": pin.digest.hex(), **vars(pin.work)}
                connection.execute(insert(PIN).values(venue=self._venue, **row))

    def count(self, source: str, now: datetime) -> datetime | None:
        """Count a try as wrong before it is looked at; or count nothing, and say until when the source must wait.

        Both in one transaction, so that tries of the same moment cannot slip by together, and a killed process takes
        none of them back.
        """
        with changing(self._engine, self._venue) as connection:
            wait = wait_until([one for _, one in self._wrong(connection)], source, now, self._known(connection))
            if wait is None:
                line = {"source": source, "at": now.astimezone(UTC).isoformat()}
                connection.execute(insert(WRONG_PIN).values(venue=self._venue, **line))
        return wait

    def forgive(self, source: str, before: datetime) -> None:
        """Forget the tries of a source that has shown the right PIN, and those of its kind from before that time.

        From now on it is known.
        """
        with changing(self._engine, self._venue) as connection:
            known = self._known(connection)
            over = [
                number
                for number, one in self._wrong(connection)
                if one.source == source or (one.at < before and (one.source in known) is (source in known))
            ]
            connection.execute(delete(WRONG_PIN).where(WRONG_PIN.c.number.in_(over)))
            if source not in known:
                connection.execute(insert(PIN_SHOWN).values(venue=self._venue, source=source))

    def _known(self, connection: Connection) -> frozenset[str]:
        """The sources that have shown the PIN since it was set."""
        query = select(PIN_SHOWN.c.source).where(PIN_SHOWN.c.venue == self._venue)
        return frozenset(connection.execute(query).scalars())

    def _wrong(self, connection: Connection) -> list[tuple[int, WrongTry]]:
        """The wrong tries with the numbers of their rows, oldest first."""
        query = select(WRONG_PIN).where(WRONG_PIN.c.venue == self._venue).order_by(WRONG_PIN.c.number)
        rows = connection.execute(query).mappings()
        return [(row["number"], WrongTry(row["source"], datetime.fromisoformat(row["at"]))) for row in rows]
