"""A session's own log in a store: it numbers, dates and chains what the session appends.

The log keeps all of its session's records in memory too. Where the store's file has gone, or another one lies under its
name, they are all written to the file that is there now; where another copy of the journal went on with the same
session, they go on as a session of their own. Either is told.

Duty: give each record its number, time and identity, make it durable, read the session back. It must not decide what is
recorded. Order is the number, never the clock: a clock can be set back.
"""

from __future__ import annotations

import secrets
import uuid
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any, TypedDict

from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import HEADER, LINE_FORMAT, RESUMED, Contents, Record, after, copied, encode, plain_json
from voicefit.journal.store import Conflict, Displaced, Store

Tell = Callable[[str, str], None]
MOVED, BRANCHED = "store-moved", "store-branched"  # what is told: the first argument of ``Tell``


class Versions(TypedDict):
    """What holds while a session is recorded: the program's version, and the digests of catalogue and grammar."""

    voicefit: str
    catalogue: str
    grammar: str


def utc_now() -> str:
    """The wall clock as a record writes it: ``2024-05-01T07:30:00.000Z``."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class SessionLog:
    """Append-only view of one session. Make one with :meth:`begin` or :meth:`resume`.

    ``session`` : its id, another one after it had to branch. ``tell(what, detail)`` : called when the records had to be
    written anew; what is told is safe by then.
    """

    def __init__(
        self, store: Store, session: str, records: list[Record], last_number: int, clock: Callable[[], str]
    ) -> None:
        self.store, self.session = store, session
        self.tell: Tell = lambda what, detail: None
        self._records, self._last, self._clock = records, last_number, clock
        self._opening = secrets.token_hex(8)
        self._doubtful: Record | None = None  # could not be written for sure: it may be there or not

    @classmethod
    def begin(cls, store: Store, versions: Versions, clock: Callable[[], str] = utc_now) -> SessionLog:
        """A new session, under these versions."""
        log = cls(store, uuid.uuid4().hex, [], -1, clock)
        log.append(HEADER, {"format": LINE_FORMAT, **versions})
        return log

    @classmethod
    def resume(cls, store: Store, session: str, versions: Versions, clock: Callable[[], str] = utc_now) -> SessionLog:
        """Go on with a session that is in the store, under the versions of now. Raises ``BadInput`` when it is not."""
        tip = store.tips(session).get(session)
        if tip is None:
            raise BadInput(f"there is no session {session[:8]} in this store")
        log = cls(store, session, _in_order(store.contents(session)), tip[0], clock)
        log.append(RESUMED, {"format": LINE_FORMAT, **versions})
        return log

    def append(self, kind: str, data: Mapping[str, Any]) -> Record:
        """Make one record durable and return it as it will be read back.

        Raises ``BadInput`` where ``data`` is not JSON and ``StoreError`` where it could not be made durable; then
        nothing may be confirmed aloud.
        """
        plain = plain_json(data)
        self._settle()
        record = self._following(kind, plain)
        try:
            self.store.append([record])
        except Displaced as error:
            record = self._write_anew(record, str(error))
        except Conflict:
            record = self._branch(record)
        except StoreError:
            self._doubtful = record
            raise
        self._keep(record)
        return record

    def contents(self) -> Contents:
        """This session's records in order of their numbers, header first, and what could not be read."""
        found = self.store.contents(self.session)
        return Contents(tuple(_in_order(found)), found.damage)

    # ---- one record after another -----------------------------------------------------------------------

    def _following(self, kind: str, data: Mapping[str, Any]) -> Record:
        before = self._records[-1] if self._records else None
        return after(before, Record(self.session, self._last + 1, self._clock(), kind, data, self._opening))

    def _keep(self, record: Record) -> None:
        self._records.append(record)
        self._last = record.sequence

    def _settle(self) -> None:
        """The last append failed: whether its record is there, the store knows. Another's record there is no matter
        of ours: what comes next finds out."""
        if self._doubtful is None:
            return
        doubtful, line = self._doubtful, encode(self._doubtful)
        with suppress(Displaced):  # then it is not there, and what comes next finds that out too
            if self.store.tips(self.session).get(self.session, (-1, ""))[1] == line:
                self._keep(doubtful)
        self._doubtful = None

    # ---- when the store is no longer what it was --------------------------------------------------------

    def _write_anew(self, record: Record, reason: str) -> Record:
        try:
            self.store.reopen()
            self.store.append([*self._records, record])
        except Conflict:
            return self._branch(record)
        except StoreError:
            self._doubtful = record
            raise
        self.tell(MOVED, reason)
        return record

    def _branch(self, record: Record) -> Record:
        """Another copy of this session was gone on with here: ours goes on as one of its own."""
        session = uuid.uuid4().hex
        *records, own = copied([*self._records, record], session, self._last)
        try:
            self.store.append([*records, own])
        except StoreError:
            self._doubtful = record
            raise
        before, self.session, self._records = self.session, session, records
        self.tell(BRANCHED, f"session {before[:8]} was gone on with elsewhere; this one is now session {session[:8]}")
        return own


def _in_order(contents: Contents) -> list[Record]:
    return sorted(contents.records, key=lambda record: record.sequence)
