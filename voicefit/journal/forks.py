"""Copies of a journal that went on apart: where they part, and the copy as a session of its own.

Two copies of one session have the same records up to some number and others from there on. The shared journal keeps
the session of who came first; what another copy has becomes a branch: all of its records, also those before the
parting, under a session id that follows from the first record of its own. Whoever sends it again computes the same id.

Duty: compare and copy records; pure. It must not touch a store.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace

from voicefit.journal.record import Record, after, encode

BRANCH_OF = "branch_of"  # in the header's data of a branch: the session's id; "after" beside it: the last common number


def parting(here: Iterable[Record], there: Iterable[Record]) -> Record | None:
    """The first record here that has another one under its number there; ``None`` where they did not part."""
    others = {record.sequence: record for record in there}
    return next((r for r in here if r.sequence in others and encode(others[r.sequence]) != encode(r)), None)


def branch(records: Sequence[Record], own: Record) -> list[Record]:
    """The records, in order of their numbers, as a session of their own. ``own`` : the first that no other copy has."""
    return copied(records, hashlib.sha256(encode(own).encode()).hexdigest()[:32], own.sequence - 1)


def copied(records: Sequence[Record], session: str, last_common: int) -> list[Record]:
    """The records under another session's id, chained anew; the first one says where they come from."""
    made: list[Record] = []
    for record in records:
        data = dict(record.data)
        if not made:
            data |= {BRANCH_OF: record.session, "after": last_common}
        made.append(after(made[-1] if made else None, replace(record, session=session, data=data)))
    return made
