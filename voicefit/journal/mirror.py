"""A store that writes here at once and copies to a shared store behind the session's back.

Duty: a shop's shared journal that never makes a session wait. What is appended is durable in the local store; a thread
sends it on, and sends it again after the server was away. It must not lose or double a record: the shared store knows
each by session and number.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from itertools import groupby

from voicefit.errors import StoreError
from voicefit.journal.record import Contents, Record
from voicefit.journal.store import Conflict, Store

RETRY_S = 5.0
CLOSING_S = 5.0
BATCH = 500


def sync(local: Store, shared: Store) -> int:
    """Send all that the shared store lacks; returns how many records went.

    A session's records go in order of their numbers, so the greatest number there says what it has. Raises
    ``StoreAway`` or another ``StoreError``; a :class:`Conflict` only after the other sessions were sent.
    """
    there = shared.lasts()
    behind = [session for session, last in local.lasts().items() if last > there.get(session, -1)]
    sent = 0
    conflict: Conflict | None = None
    for session in behind:
        records = [r for r in local.contents(session).records if r.sequence > there.get(session, -1)]
        records.sort(key=lambda record: record.sequence)
        try:
            for start in range(0, len(records), BATCH):
                shared.append(records[start : start + BATCH])
            sent += len(records)
        except Conflict as error:
            conflict = error
    if conflict is not None:
        raise conflict
    return sent


class Mirror:
    """``local`` now, ``open_shared()`` when it answers.

    ``on_change(away, detail)`` is called from the thread when the shared store goes away or comes back.
    """

    def __init__(
        self,
        local: Store,
        open_shared: Callable[[], Store],
        on_change: Callable[[bool, str], None] = lambda away, detail: None,
        retry_s: float = RETRY_S,
    ) -> None:
        self._local, self._open_shared, self._on_change, self._retry_s = local, open_shared, on_change, retry_s
        self._waiting: list[Record] = []
        self._lock = threading.Lock()
        self._news, self._closing = threading.Event(), threading.Event()
        self._up_to_date = threading.Event()
        self._thread = threading.Thread(target=self._run, name="journal mirror", daemon=True)
        self._thread.start()

    def append(self, records: Sequence[Record]) -> None:
        self._local.append(records)
        with self._lock:
            self._waiting.extend(records)
            self._up_to_date.clear()
        self._news.set()

    def contents(self, session: str | None = None) -> Contents:
        return self._local.contents(session)

    def lasts(self) -> dict[str, int]:
        return self._local.lasts()

    def wait_until_sent(self, timeout_s: float) -> bool:
        """Whether all that was appended reached the shared store within the time."""
        return self._up_to_date.wait(timeout_s)

    def close(self) -> None:
        """Send what can be sent in a few seconds; what cannot goes with the next session."""
        if self._closing.is_set():
            return
        self._closing.set()
        self._news.set()
        self._thread.join(CLOSING_S)
        self._local.close()

    def _run(self) -> None:
        shared: Store | None = None
        whole = False  # whether the shared store has all of the local one, but for what is waiting
        away = False
        while True:
            try:
                if shared is None:
                    shared = self._open_shared()
                if not whole:
                    with self._lock:
                        self._waiting.clear()
                    sync(self._local, shared)
                    whole = True
                self._send(shared)
                if away:
                    away = False
                    self._on_change(False, "")
            except StoreError as error:
                whole = False
                if not away:
                    away = True
                    self._on_change(True, str(error))
                if shared is not None and not isinstance(error, Conflict):
                    shared.close()
                    shared = None
            if self._closing.is_set():
                break
            self._news.wait(self._retry_s if away else None)
            self._news.clear()
        if shared is not None:
            shared.close()

    def _send(self, shared: Store) -> None:
        while True:
            with self._lock:
                batch, self._waiting = self._waiting[:BATCH], self._waiting[BATCH:]
                if not batch:
                    self._up_to_date.set()
                    return
            for _, records in groupby(batch, key=lambda record: record.session):
                shared.append(list(records))
