"""The journal of a live session: which store, a new session or one that goes on.

Duty: open and close it for the command ``talk``. It must not decide what is recorded.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from voicefit.cli.common import say
from voicefit.records import Resumed

if TYPE_CHECKING:
    from voicefit.dialogue import Knowledge
    from voicefit.journal.record import Damage
    from voicefit.journal.resuming import InHand
    from voicefit.journal.session_log import SessionLog
    from voicefit.journal.store import Store
    from voicefit.records import Append, Event

DAMAGE_SHOWN = 5


@dataclass(frozen=True, slots=True)
class Recording:
    """``entries`` : what is on record of the session already; ``begin`` : the event with which it then begins."""

    log: SessionLog
    entries: tuple[Append, ...] = ()
    begin: Event = field(default_factory=Resumed)


@contextlib.contextmanager
def recording(knowledge: Knowledge, location: str | None, job: str | None) -> Iterator[Recording]:
    """The journal for one live session; closed, and the session let go of, afterwards.

    ``job`` : id of the job to go on with. Without it the session goes on that has a job which is not finished, on a
    fresh job; else a new session begins. Raises ``BadInput`` for a job that is not there or is open elsewhere.
    """
    from voicefit import __version__
    from voicefit.driver import grammar_digest
    from voicefit.journal.resuming import InHand, asked_for, left_open
    from voicefit.journal.session_log import SessionLog
    from voicefit.journal.store import default_folder

    catalogue, grammar = knowledge.catalogue.digest, grammar_digest()
    locks = default_folder() / "open"
    in_hand: InHand | None = None
    store = _store(location)
    try:
        contents = store.contents()
        warn(contents.damage)
        if job is not None:
            session, number, in_hand = asked_for(contents, job, locks)
            begin = Resumed(number)
        elif (found := left_open(contents, locks)) is not None:
            session, in_hand = found
            begin = Resumed()
        else:
            log = SessionLog.begin(store, version=__version__, catalogue=catalogue, grammar=grammar)
            in_hand = InHand(locks, log.session)
            yield Recording(log)
            return
        log = SessionLog.resume(store, session.session, version=__version__, catalogue=catalogue, grammar=grammar)
        yield Recording(log, session.entries, begin)
    finally:
        store.close()
        if in_hand is not None:
            in_hand.release()


def warn(damage: Sequence[Damage]) -> None:
    """Name what a journal has that could not be read."""
    for each in damage[:DAMAGE_SHOWN]:
        say(f"voicefit: skipped: {each}")
    if len(damage) > DAMAGE_SHOWN:
        say(f"voicefit: skipped: {len(damage) - DAMAGE_SHOWN} more")


def _store(location: str | None) -> Store:
    """The user's own, or a shared one behind a local one that never waits for it."""
    from voicefit.journal.mirror import Mirror
    from voicefit.journal.store import is_shared, open_store, outbox_location

    if location is None or not is_shared(location):
        return open_store(location)
    return Mirror(
        open_store(outbox_location(location)),
        lambda: open_store(location),
        on_change=lambda away, detail: say(
            f"The shared journal is {'away; this one goes on here' if away else 'back'}. {detail}".strip()
        ),
        on_branch=lambda session, own: say(
            f"Session {session[:8]} was gone on with elsewhere too; this one is kept there as session {own[:8]}."
        ),
    )
