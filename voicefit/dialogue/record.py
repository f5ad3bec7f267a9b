"""What a session has on record, and the one function that changes it.

Duty: the record as a frozen value and :func:`applied`, by which each entry of the journal changes it. The live
session and the replay of a journal both go through that function, so they cannot differ. Beliefs are not on record:
they follow from the readings. It must not word, match or judge anything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from voicefit.dialogue.codec import reading_from_data
from voicefit.errors import StoreError
from voicefit.records import Append, Reading

END, HOSE = "end", "hose"
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Kept:
    """A reading on record. ``number`` : unique in the session. ``confirmed`` : the person said yes to it."""

    number: int
    reading: Reading
    confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """One end or one hose of a job: its readings, and the checks that cannot or need not be made.

    ``number`` : unique in the session, never used again.
    """

    number: int = 1
    kind: str = END
    readings: tuple[Kept, ...] = ()
    impossible: frozenset[str] = frozenset()
    put_off: frozenset[str] = frozenset()
    answers: tuple[tuple[str, str], ...] = ()  # of a hose: topic and answer, where it is no reading


@dataclass(frozen=True, slots=True)
class Job:
    number: int
    pieces: tuple[Piece, ...] = (Piece(),)
    current: int = 0
    mounted: bool = True  # until said otherwise: the cautious way round
    finished: bool = False
    machine: str = ""  # its name as spelled
    machine_note: str = ""  # name of the note in which its name was spoken
    goals: tuple[tuple[str, str], ...] = ()  # pairs of end ids between which adapters were asked for

    @property
    def piece(self) -> Piece:
        return self.pieces[self.current]


@dataclass(frozen=True, slots=True)
class Work:
    """What undo brings back: all jobs, and which one is in hand."""

    jobs: tuple[Job, ...] = (Job(1),)
    current: int = 0

    @property
    def job(self) -> Job:
        return self.jobs[self.current]

    @property
    def piece(self) -> Piece:
        return self.job.piece

    def with_job(self, job: Job) -> Work:
        return replace(self, jobs=_with(self.jobs, self.current, job))

    def with_piece(self, piece: Piece) -> Work:
        job = self.job
        return self.with_job(replace(job, pieces=_with(job.pieces, job.current, piece)))


@dataclass(frozen=True, slots=True)
class Note:
    job: int
    name: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Record:
    """The work, and beside it what was said aloud, which no undo unsays.

    ``past`` : the work before each turn that changed it. ``told`` : (job, caution). ``read_back`` : by reading
    number, the option last read back. ``concluded`` : by piece number, the id of the end that was said to be it.
    """

    work: Work = field(default_factory=Work)
    past: tuple[Work, ...] = ()
    turn: int = 0  # the last turn on record
    changed_turn: int = 0  # the last turn that changed the work
    readings_made: int = 0
    pieces_made: int = 1
    told: frozenset[tuple[int, str]] = frozenset()
    read_back: Mapping[int, int] = field(default_factory=dict)
    concluded: Mapping[int, str] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    # Before the first entry of the last turn, itself without this field; no part of what is on record.
    opened: Record | None = field(default=None, compare=False, repr=False)


def _with(items: tuple[_T, ...], index: int, item: _T) -> tuple[_T, ...]:
    return (*items[:index], item, *items[index + 1 :])


# ---- one function a kind of entry ---------------------------------------------------------------------
# Those in WORK change the work and are undone with their turn; those in ASIDE are not undone.


def _reading(work: Work, data: Mapping[str, Any]) -> Work:
    kept = Kept(data["number"], reading_from_data(data["reading"]), confirmed=data.get("confirmed", False))
    return work.with_piece(replace(work.piece, readings=(*work.piece.readings, kept)))


def _dropped(work: Work, data: Mapping[str, Any]) -> Work:
    left = tuple(kept for kept in work.piece.readings if kept.number != data["number"])
    return work.with_piece(replace(work.piece, readings=left))


def _impossible(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_piece(replace(work.piece, impossible=work.piece.impossible | {data["check"]}))


def _put_off(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_piece(replace(work.piece, put_off=work.piece.put_off | {data["check"]}))


def _answered(work: Work, data: Mapping[str, Any]) -> Work:
    others = tuple(answer for answer in work.piece.answers if answer[0] != data["topic"])
    return work.with_piece(replace(work.piece, answers=(*others, (data["topic"], data["text"]))))


def _start_over(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_piece(Piece(data["number"], work.piece.kind))


def _new_job(work: Work, data: Mapping[str, Any]) -> Work:
    return Work((*work.jobs, Job(data["job"], (Piece(data["number"]),))), len(work.jobs))


def _go_to_job(work: Work, data: Mapping[str, Any]) -> Work:
    return replace(work, current=_position([job.number for job in work.jobs], data["job"]))


def _new_piece(work: Work, data: Mapping[str, Any]) -> Work:
    job = work.job
    return work.with_job(
        replace(job, pieces=(*job.pieces, Piece(data["number"], data["piece"])), current=len(job.pieces))
    )


def _go_to_piece(work: Work, data: Mapping[str, Any]) -> Work:
    _position(range(len(work.job.pieces)), data["piece"])
    return work.with_job(replace(work.job, current=data["piece"]))


def _becomes(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_piece(Piece(data["number"], data["piece"]))


def _mounted(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_job(replace(work.job, mounted=data["mounted"]))


def _finished(work: Work, data: Mapping[str, Any]) -> Work:
    return work.with_job(replace(work.job, finished=data["finished"]))


def _goal(work: Work, data: Mapping[str, Any]) -> Work:
    goal = (data["start"], data["goal"])
    return work if goal in work.job.goals else work.with_job(replace(work.job, goals=(*work.job.goals, goal)))


def _machine(work: Work, data: Mapping[str, Any]) -> Work:
    at = _position([job.number for job in work.jobs], data["job"])
    named = {"machine": data["text"]} if "text" in data else {"machine_note": data["name"]}
    return replace(work, jobs=_with(work.jobs, at, replace(work.jobs[at], **named)))


WORK: Mapping[str, Callable[[Work, Mapping[str, Any]], Work]] = {
    "reading": _reading,
    "dropped": _dropped,
    "impossible": _impossible,
    "put_off": _put_off,
    "answered": _answered,
    "start_over": _start_over,
    "new_job": _new_job,
    "go_to_job": _go_to_job,
    "new_piece": _new_piece,
    "go_to_piece": _go_to_piece,
    "becomes": _becomes,
    "mounted": _mounted,
    "finished": _finished,
    "goal": _goal,
    "machine": _machine,
}


def _read_back(record: Record, data: Mapping[str, Any]) -> Record:
    return replace(record, read_back={**record.read_back, data["number"]: data["option"]})


def _concluded(record: Record, data: Mapping[str, Any]) -> Record:
    others = {piece: end for piece, end in record.concluded.items() if piece != data["piece"]}
    return replace(record, concluded=others if data["end"] is None else {**others, data["piece"]: data["end"]})


def _told(record: Record, data: Mapping[str, Any]) -> Record:
    return replace(record, told=record.told | {(data["job"], data["caution"])})


def _note(record: Record, data: Mapping[str, Any]) -> Record:
    return replace(record, notes=(*record.notes, Note(data["job"], data["name"], data["seconds"])))


def _sound_removed(record: Record, data: Mapping[str, Any]) -> Record:
    return replace(record, notes=tuple(note for note in record.notes if note.name not in data["names"]))


def _undo(record: Record, data: Mapping[str, Any]) -> Record:
    turns = data["turns"]
    if not 1 <= turns <= len(record.past):
        raise StoreError(f"undo of {turns} turns where {len(record.past)} are on record")
    return replace(record, work=record.past[-turns], past=record.past[:-turns], changed_turn=0)


def _void(record: Record, data: Mapping[str, Any]) -> Record:
    """A turn that could not be made durable as a whole: what there is of it does not count."""
    return record.opened if record.turn == data["turn"] and record.opened is not None else record


ASIDE: Mapping[str, Callable[[Record, Mapping[str, Any]], Record]] = {
    "read_back": _read_back,
    "concluded": _concluded,
    "told": _told,
    "note": _note,
    "sound_removed": _sound_removed,
    "undo": _undo,
}
VOID = "void"
NEW_PIECES = frozenset({"new_job", "new_piece", "becomes", "start_over"})  # these carry the number of the new piece
KINDS = frozenset(WORK) | frozenset(ASIDE) | {VOID}


def applied(record: Record, entry: Append) -> Record:
    """The record after an entry. Entries of one turn are one step of undo.

    Raises ``StoreError`` for an entry of a known kind whose data does not fit. Kinds not in :data:`KINDS` (the
    journal's header, a shop's own) leave the record as it is.
    """
    if entry.kind not in KINDS:
        return record
    data = entry.data
    try:
        if entry.kind == VOID:
            return _void(record, data)
        turn = int(data["turn"])
        if turn != record.turn:
            record = replace(record, opened=replace(record, opened=None))
        if entry.kind in ASIDE:
            return replace(ASIDE[entry.kind](record, data), turn=turn)
        past = record.past if turn == record.changed_turn else (*record.past, record.work)
        work = WORK[entry.kind](record.work, data)
        record = replace(record, work=work, past=past, turn=turn, changed_turn=turn)
        if entry.kind == "reading":
            return replace(record, readings_made=max(record.readings_made, data["number"]))
        if entry.kind in NEW_PIECES:
            return replace(record, pieces_made=max(record.pieces_made, data["number"]))
        return record
    except (KeyError, TypeError, IndexError, ValueError) as error:
        raise StoreError(f"a journal entry of kind {entry.kind!r} does not fit: {error!r}") from error


def _position(items: Any, item: Any) -> int:
    for index, each in enumerate(items):
        if each == item:
            return index
    raise StoreError(f"there is no number {item} on record")
