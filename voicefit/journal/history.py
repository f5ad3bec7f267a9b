"""The jobs that a store holds: folded from its records, found by id, searched by words.

Duty: a session's records become its jobs through :func:`voicefit.dialogue.record.applied`, the function of the live
session itself. It must not match anything and must not write; a record that does not fit is named and passed over.

A job's id is the first eight digits of its session and its number there: ``3f9c21ab-2``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import Field

from voicefit.catalogue.public import Document
from voicefit.dialogue.record import END, Job, OnRecord, applied
from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import HEADER, RESUMED, Contents, Damage, Record
from voicefit.records import Append

SHORT = 8
_ID = re.compile(r"([0-9a-f]{1,32})(?:-(\d+))?")


class PieceDocument(Document):
    """One end or hose of a job."""

    kind: str
    heard: list[str]
    end: str | None = Field(description="id of the end that was said to be it")


class JobDocument(Document):
    """One job. Times are the clock's of the machine that recorded it."""

    id: str
    session: str
    number: int
    opened_at: str
    last_at: str
    finished: bool
    machine: str = Field(description="its name as spelled, or the name of the sound that has it; empty: not named")
    pieces: list[PieceDocument]
    notes: list[str]
    goals: list[tuple[str, str]]
    voicefit: str
    catalogue: str = Field(description="digest of the catalogue that held then")
    grammar: str


@dataclass(frozen=True, slots=True)
class SessionRecords:
    """One session of a store: its records by number, its jobs, and what did not fit."""

    session: str
    records: tuple[Record, ...]
    jobs: tuple[JobDocument, ...]
    damage: tuple[Damage, ...]
    on_record: OnRecord  # what all of it comes to
    unfit: frozenset[int] = frozenset()  # numbers of the records that do not fit those before them

    @property
    def entries(self) -> tuple[Append, ...]:
        """What a replay takes: without the records that do not fit."""
        return entries_of(record for record in self.records if record.sequence not in self.unfit)


def entries_of(records: Iterable[Record]) -> tuple[Append, ...]:
    """Records as the session appended them, without the header."""
    return tuple(Append(record.kind, record.data) for record in records if record.kind not in (HEADER, RESUMED))


def sessions_of(contents: Contents) -> tuple[SessionRecords, ...]:
    """The sessions of a store in the order in which they came."""
    by_session: dict[str, list[Record]] = {}
    for record in contents.records:
        by_session.setdefault(record.session, []).append(record)
    return tuple(
        _session(session, tuple(sorted(records, key=lambda r: r.sequence))) for session, records in by_session.items()
    )


def find(sessions: Iterable[SessionRecords], job_id: str) -> tuple[SessionRecords, JobDocument]:
    """The job of an id; a beginning of the session's digits will do, and the number too where there is one job only.

    Raises ``BadInput`` when there is none, or more than one.
    """
    match = _ID.fullmatch(job_id.strip().lower())
    if match is None:
        raise BadInput(f"{job_id}: a job's id looks like 3f9c21ab-2")
    found = [
        (session, job)
        for session in sessions
        if session.session.startswith(match[1])
        for job in session.jobs
        if match[2] is None or job.number == int(match[2])
    ]
    if not found:
        raise BadInput(f"{job_id}: there is no such job")
    if len(found) > 1:
        raise BadInput(f"{job_id}: more than one job: {', '.join(job.id for _, job in found[:5])}")
    return found[0]


def matches(job: JobDocument, words: Iterable[str], names: dict[str, str]) -> bool:
    """Whether every word is in the job's id, dates, sounds, ends or what was heard. ``names`` : of ends, by id."""
    ends = [piece.end for piece in job.pieces if piece.end is not None]
    heard = [text for piece in job.pieces for text in piece.heard]
    hay = " ".join((job.id, job.opened_at, job.machine, *job.notes, *ends, *(names.get(e, "") for e in ends), *heard))
    return all(word.casefold() in hay.casefold() for word in words)


def job_id(session: str, number: int) -> str:
    return f"{session[:SHORT]}-{number}"


def _session(session: str, records: tuple[Record, ...]) -> SessionRecords:
    on_record, damage = OnRecord(), []
    unfit: set[int] = set()
    first: dict[int, str] = {}
    last: dict[int, str] = {}
    header: Mapping[str, Any] = {}
    under: dict[int, Mapping[str, Any]] = {}  # by job: the versions under which its last record was made
    for record in records:
        if record.kind in (HEADER, RESUMED):
            header = record.data
            continue
        try:
            on_record = applied(on_record, Append(record.kind, record.data))
        except StoreError as error:
            damage.append(Damage(f"session {session[:SHORT]}, record {record.sequence}", str(error)))
            unfit.add(record.sequence)
            continue
        number = on_record.work.job.number if record.job is None else record.job
        first.setdefault(number, record.at)
        last[number] = record.at
        under[number] = header
    jobs = tuple(
        JobDocument(
            id=job_id(session, job.number),
            session=session,
            number=job.number,
            opened_at=first[job.number],
            last_at=last[job.number],
            finished=job.finished,
            machine=job.machine or job.machine_note,
            pieces=_pieces(job, on_record),
            notes=[note.name for note in on_record.notes if note.job == job.number],
            goals=list(job.goals),
            voicefit=str(under[job.number].get("voicefit", "")),
            catalogue=str(under[job.number].get("catalogue", "")),
            grammar=str(under[job.number].get("grammar", "")),
        )
        for job in on_record.work.jobs
        if job.number in first and not on_record.is_empty(job)
    )
    return SessionRecords(session, records, jobs, tuple(damage), on_record, frozenset(unfit))


def _pieces(job: Job, on_record: OnRecord) -> list[PieceDocument]:
    return [
        PieceDocument(
            kind=piece.kind,
            heard=[kept.reading.heard for kept in piece.readings],
            end=on_record.concluded.get(piece.number) if piece.kind == END else None,
        )
        for piece in job.pieces
    ]
