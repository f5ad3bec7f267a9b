"""A store that writes here at once and copies to a shared store behind the session's back.

Duty: a shop's shared journal that never makes a session wait. What is appended is durable in the local store; a thread
sends it on, and sends it again after the server was away. It must not lose or double a record: the shared store knows
each by session and number.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from itertools import groupby

from voicefit.errors import VoicefitError
from voicefit.journal.record import Contents, Record, branch, encode, parting
from voicefit.journal.store import Conflict, Store

OnBranch = Callable[[str, str], None]
RETRY_S = 5.0
CLOSING_S = 5.0
BATCH = 500


def sync(local: Store, shared: Store, on_branch: OnBranch = lambda session, branch: None) -> int:
    """Send all that the shared store lacks; returns how many records went.

    A session of which another copy was gone on with there goes as a branch, see :mod:`voicefit.journal.record`;
    ``on_branch`` is called with both ids when it is new. Raises ``StoreAway`` or another ``StoreError``; a
    :class:`Conflict` only after the other sessions were sent.
    """
    there = shared.tips()
    sent = 0
    conflict: Conflict | None = None
    for session, tip in local.tips().items():
        if there.get(session) != tip:
            try:
                sent += _send_session(_records_of(local, session), shared, on_branch)
            except Conflict as error:
                conflict = error
    if conflict is not None:
        raise conflict
    return sent


def _send_session(records: list[Record], shared: Store, on_branch: OnBranch) -> int:
    session = records[0].session if records else ""
    there = _records_of(shared, session)
    while (own := parting(records, there)) is not None:
        records = branch(records, own)
        there = _records_of(shared, records[0].session)
        if not there:
            on_branch(session, records[0].session)
    have = {record.sequence for record in there}
    lack = [record for record in records if record.sequence not in have]
    for start in range(0, len(lack), BATCH):
        shared.append(lack[start : start + BATCH])
    return len(lack)


def _records_of(store: Store, session: str) -> list[Record]:
    return sorted(store.contents(session).records, key=lambda record: record.sequence)


class Mirror:
    """``local`` now, ``open_shared()`` when it answers.

    ``on_change(away, detail)`` is called from the thread when the shared store goes away or comes back;
    ``on_branch(session, branch)`` when another copy of a session was gone on with there, and this one goes as a branch.
    """

    def __init__(
        self,
        local: Store,
        open_shared: Callable[[], Store],
        on_change: Callable[[bool, str], None] = lambda away, detail: None,
        on_branch: OnBranch = lambda session, branch: None,
        retry_s: float = RETRY_S,
    ) -> None:
        self._local, self._open_shared, self._on_change, self._retry_s = local, open_shared, on_change, retry_s
        self._on_branch = on_branch
        self._waiting: list[Record] = []
        self._sent: dict[str, str] = {}  # by session: the last line that the shared store took
        self._lock = threading.Lock()
        self._news, self._closing = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._run, name="journal mirror", daemon=True)
        self._thread.start()

    def append(self, records: Sequence[Record]) -> None:
        self._local.append(records)
        with self._lock:
            self._waiting.extend(records)
        self._news.set()

    def contents(self, session: str | None = None) -> Contents:
        return self._local.contents(session)

    def tips(self, session: str | None = None) -> dict[str, tuple[int, str]]:
        return self._local.tips(session)

    def reopen(self) -> None:
        self._local.reopen()

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
                    sync(self._local, shared, self._on_branch)
                    self._sent.clear()
                    whole = True
                self._send(shared)
                if away:
                    away = False
                    self._on_change(False, "")
            except VoicefitError as error:  # the driver may be missing too
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
                return
            for session, records in groupby(batch, key=lambda record: record.session):
                self._send_on(session, list(records), shared)

    def _send_on(self, session: str, records: list[Record], shared: Store) -> None:
        """Straight on where the shared store has what this session sent last and nothing else; else all is compared."""
        tip = shared.tips(session).get(session)
        try:
            if records[0].sequence > 0 and (tip is None or tip[1] != self._sent.get(session)):
                raise Conflict(f"session {session[:8]} was gone on with elsewhere")
            shared.append(records)
        except Conflict:
            _send_session(_records_of(self._local, session), shared, self._on_branch)
        self._sent[session] = encode(records[-1])
