"""The jobs that a store holds: folded from its records, found by id, searched by words, gone on with.

Duty: a session's records become its jobs through :func:`voicefit.dialogue.record.applied`, the function of the live
session itself; which session goes on after a crash or a restart, and that only one process goes on with it. It must not
match anything and must not write; a record that does not fit is named and passed over.

A job's id is the first eight digits of its session and its number there: ``3f9c21ab-2``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout
from pydantic import Field

from voicefit.catalogue.public import Document
from voicefit.dialogue.record import END, Job, OnRecord, applied
from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import HEADER, RESUMED, Contents, Damage, Record
from voicefit.private_files import PRIVATE_FILE, make_private_folder
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
