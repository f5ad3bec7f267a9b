"""A session's own log in a store: it numbers and dates what the session appends.

Duty: give each record its number and time, make it durable, read the session back. It must not decide what is recorded.
Order is the number, never the clock: a clock can be set back.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import HEADER, LINE_FORMAT, RESUMED, Contents, Record, plain_json

if TYPE_CHECKING:
    from voicefit.journal.store import Store


def utc_now() -> str:
    """The wall clock as a record writes it: ``2024-05-01T07:30:00.000Z``."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class SessionLog:
    """Append-only view of one session. Make one with :meth:`begin` or :meth:`resume`."""

    def __init__(self, store: Store, session: str, next_sequence: int, clock: Callable[[], str]) -> None:
        self.store, self.session = store, session
        self._next, self._clock = next_sequence, clock
        self._doubtful = False

    @classmethod
    def begin(
        cls, store: Store, *, version: str, catalogue: str, grammar: str, clock: Callable[[], str] = utc_now
    ) -> SessionLog:
        """A new session. The header names the versions: of the program, and digests of catalogue and grammar."""
        log = cls(store, uuid.uuid4().hex, 0, clock)
        log.append(HEADER, _versions(version, catalogue, grammar))
        return log

    @classmethod
    def resume(
        cls,
        store: Store,
        session: str,
        *,
        version: str,
        catalogue: str,
        grammar: str,
        clock: Callable[[], str] = utc_now,
    ) -> SessionLog:
        """Go on with a session that is in the store, under the versions of now. Raises ``BadInput`` when it is not."""
        last = store.lasts().get(session)
        if last is None:
            raise BadInput(f"there is no session {session[:8]} in this store")
        log = cls(store, session, last + 1, clock)
        log.append(RESUMED, _versions(version, catalogue, grammar))
        return log

    def append(self, kind: str, data: Mapping[str, Any]) -> Record:
        """Make one record durable and return it as it will be read back.

        Raises ``BadInput`` where ``data`` is not JSON and ``StoreError`` where it could not be made durable; then
        nothing may be confirmed aloud.
        """
        plain = plain_json(data)
        if self._doubtful:  # the last one failed: it may be there or not, the store knows
            self._next = self.store.lasts().get(self.session, -1) + 1
            self._doubtful = False
        record = Record(self.session, self._next, self._clock(), kind, plain)
        try:
            self.store.append([record])
        except StoreError:
            self._doubtful = True
            raise
        self._next += 1
        return record

    def contents(self) -> Contents:
        """This session's records in order of their numbers, header first, and what could not be read."""
        found = self.store.contents(self.session)
        return Contents(tuple(sorted(found.records, key=lambda record: record.sequence)), found.damage)


def _versions(version: str, catalogue: str, grammar: str) -> dict[str, str | int]:
    return {"format": LINE_FORMAT, "voicefit": version, "catalogue": catalogue, "grammar": grammar}
