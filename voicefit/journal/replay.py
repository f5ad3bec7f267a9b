"""A recorded job under today's catalogue: does the answer still hold?

Duty: replay and compare. It must not change the record.
"""

from __future__ import annotations

from pydantic import Field

from voicefit.catalogue.public import Document
from voicefit.dialogue import Knowledge, Session
from voicefit.dialogue.record import END, Piece
from voicefit.journal.history import JobDocument, SessionRecords


class ReplayedPiece(Document):
    """One end. ``was``, ``now`` : id of the end that it was said to be, and that it is today; null: not identified."""

    heard: list[str]
    was: str | None
    now: str | None
    leading: str | None = Field(description="the likeliest today, identified or not")
    probability: float = Field(ge=0, le=1, description="of the likeliest, today")
    changed: bool


class ReplayDocument(Document):
    """``changed`` : an end is not what it was said to be then."""

    job: str
    catalogue_then: str
    catalogue_now: str
    grammar_then: str
    grammar_now: str
    pieces: list[ReplayedPiece]
    changed: bool


def replayed(knowledge: Knowledge, session: SessionRecords, job: JobDocument, grammar: str) -> ReplayDocument:
    """The job's ends computed again. ``grammar`` : digest of today's. Raises ``StoreError`` for a record unfit."""
    live = Session.replay(knowledge, session.entries)
    work = next(each for each in live.record.work.jobs if each.number == job.number)
    pieces = [
        _piece(knowledge, piece, live.record.concluded.get(piece.number), live.record.without)
        for piece in work.pieces
        if piece.kind == END and piece.readings
    ]
    return ReplayDocument(
        job=job.id,
        catalogue_then=job.catalogue,
        catalogue_now=knowledge.catalogue.digest,
        grammar_then=job.grammar,
        grammar_now=grammar,
        pieces=pieces,
        changed=any(piece.changed for piece in pieces),
    )


def _piece(knowledge: Knowledge, piece: Piece, was: str | None, without: frozenset[str]) -> ReplayedPiece:
    ends = knowledge.catalogue.ends
    belief = knowledge.believe(piece, without)
    best = belief.parts[0] if belief.parts else None
    leading = None if best is None else ends[best.row].id
    now = leading if belief.advice.identified else None
    return ReplayedPiece(
        heard=[kept.reading.heard for kept in piece.readings],
        was=was,
        now=now,
        leading=leading,
        probability=0.0 if best is None else min(max(best.probability, 0.0), 1.0),
        changed=_part(knowledge, was) != _part(knowledge, now),
    )


def _part(knowledge: Knowledge, end: str | None) -> str | None:
    """What is ordered for an end; ends that are interchangeable are no change."""
    known = None if end is None else knowledge.catalogue.by_id.get(end)
    return end if known is None else known.part
