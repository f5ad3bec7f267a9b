"""Which session of a store goes on after a crash, a restart or another day, and that only one process goes on with it.

Duty: find the session; hold its lock while it is spoken. It must not say anything and must not change a record.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout

from voicefit.errors import BadInput
from voicefit.journal.history import SHORT, SessionRecords, find, sessions_of
from voicefit.journal.record import Contents
from voicefit.private_files import PRIVATE_FILE, make_private_folder

LONGEST = 5000  # records of a session that goes on by itself; a longer one takes seconds to read, and begins anew


class InHand:
    """A session that is being spoken by this process; the system lets go of it when the process dies.

    ``folder`` : where the locks lie.
    """

    def __init__(self, folder: Path, session: str) -> None:
        make_private_folder(folder)
        self._path = folder / f"{session[:SHORT]}.lock"
        self._lock = FileLock(self._path, mode=PRIVATE_FILE)
        try:
            self._lock.acquire(blocking=False)
        except Timeout:
            raise BadInput(f"session {session[:SHORT]} is open in another window") from None

    def release(self) -> None:
        """Let go of it. Safe to call twice."""
        if self._lock.is_locked:
            with suppress(OSError):
                self._path.unlink()
            self._lock.release()


def asked_for(contents: Contents, job: str, folder: Path) -> tuple[SessionRecords, int, InHand]:
    """The session of a job's id, the job's number there, and the session in hand.

    Raises ``BadInput`` when there is no such job, or it is open in another process.
    """
    session, found = find(sessions_of(contents), job)
    return session, found.number, InHand(folder, session.session)


def left_open(contents: Contents, folder: Path) -> tuple[SessionRecords, InHand] | None:
    """The session last written to that has a job which is not finished, in hand; ``None`` where there is none.

    One that another process has in hand, or that is longer than ``LONGEST``, is passed over: its jobs are still gone on
    with by their id.
    """
    written = {record.session: position for position, record in enumerate(contents.records)}
    for session in sorted(sessions_of(contents), key=lambda each: -written[each.session]):
        if session.on_record.last_open is None or len(session.records) > LONGEST:
            continue
        try:
            return session, InHand(folder, session.session)
        except BadInput:
            continue
    return None
