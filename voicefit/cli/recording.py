"""The journal of a live session: which store, a new session or one that goes on.

Duty: open and close it for the command ``talk``. It must not decide what is recorded.
"""

from __future__ import annotations

import contextlib
import queue
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from voicefit.cli.common import say
from voicefit.records import Resumed, Trouble

if TYPE_CHECKING:
    from voicefit.dialogue import Knowledge
    from voicefit.driver.talk import Edges
    from voicefit.journal.history import InHand
    from voicefit.journal.record import Damage
    from voicefit.journal.store import Store
    from voicefit.records import Event

DAMAGE_SHOWN = 5


@contextlib.contextmanager
def recording(edges: Edges, knowledge: Knowledge, location: str | None, job: str | None) -> Iterator[None]:
    """A live session's edges with its journal; closed, and the session let go of, afterwards.

    ``job`` : id of the job to go on with. Without it the session goes on that has a job which is not finished, on a
    fresh job; else a new session begins. Raises ``BadInput`` for a job that is not there or is open elsewhere.
    """
    from voicefit import __version__
    from voicefit.driver import grammar_digest
    from voicefit.journal.history import InHand, asked_for, left_open
    from voicefit.journal.session_log import SessionLog, Versions
    from voicefit.journal.store import default_folder

    locks = default_folder() / "open"
    in_hand: InHand | None = None
    news = edges.news
    store = _store(location, news)
    try:
        contents = store.contents()
        warn(contents.damage)
        session = None
        if job is not None:
            session, number, in_hand = asked_for(contents, job, locks)
            edges.begin = Resumed(number)
        elif (found := left_open(contents, locks)) is not None:
            session, in_hand = found
        versions = Versions(voicefit=__version__, catalogue=knowledge.catalogue.digest, grammar=grammar_digest())
        if session is None:
            log = SessionLog.begin(store, versions)
            in_hand = InHand(locks, log.session)
        else:
            log = SessionLog.resume(store, session.session, versions)
            edges.entries = session.entries
        log.tell = lambda what, detail: news.put(Trouble(what, detail))
        edges.log = log
        yield
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


def _store(location: str | None, news: queue.SimpleQueue[Event]) -> Store:
    """The user's own, or a shared one behind a local one that never waits for it; what befalls it is news."""
    from voicefit.journal.mirror import Mirror
    from voicefit.journal.store import is_shared, open_store, outbox_location

    def on_branch(session: str, own: str) -> None:
        detail = f"session {session[:8]} was gone on with elsewhere too; this one is kept there as session {own[:8]}"
        news.put(Trouble("store-branched", detail))

    if location is None or not is_shared(location):
        return open_store(location)
    return Mirror(
        open_store(outbox_location(location)),
        lambda: open_store(location),
        on_change=lambda away, detail: news.put(Trouble("shared", detail, back=not away)),
        on_branch=on_branch,
    )
