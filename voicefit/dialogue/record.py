"""What a session has on record, and the one function that changes it.

Duty: the record as a frozen value and :func:`applied`, by which each entry of the journal changes it. The live
session and the replay of a journal both go through that function, so they cannot differ. Beliefs are not on record:
they follow from the readings. It must not word, match or judge anything.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from voicefit.dialogue import entries
from voicefit.dialogue.entries import Entry, OfTheWork, Opening, parsed
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

    ``number`` : unique in the session, never used again. ``decided`` : id of the end that the person said it is;
    ``look_alikes`` : ids of what was not excluded then. ``count`` : so many are ordered; ``None``: not said; 0: it is
    off the slip. ``beside`` : so many of its mate or its seals are ordered, each a line of its own. ``both`` : it is on
    both ends of the hose.
    """

    number: int = 1
    kind: str = END
    readings: tuple[Kept, ...] = ()
    impossible: frozenset[str] = frozenset()
    put_off: frozenset[str] = frozenset()
    answers: tuple[tuple[str, str], ...] = ()  # of a hose: topic and answer, where it is no reading
    worn: bool = False  # its thread is worn or damaged
    decided: str | None = None
    look_alikes: tuple[str, ...] = ()
    count: int | None = None
    beside: tuple[tuple[str, int], ...] = ()
    both: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing was said of it."""
        said = self.readings or self.answers or self.decided or self.impossible or self.put_off
        return not (said or self.worn or self.count or self.beside)


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
class Note:
    job: int
    name: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Work:
    """What undo brings back: all jobs, which one is in hand, notes; ``without`` : tools that are not at hand."""

    jobs: tuple[Job, ...] = (Job(1),)
    current: int = 0
    notes: tuple[Note, ...] = ()
    without: frozenset[str] = frozenset()

    @property
    def job(self) -> Job:
        return self.jobs[self.current]

    @property
    def piece(self) -> Piece:
        return self.job.piece

    def with_job(self, job: Job) -> Work:
        return replace(self, jobs=_with(self.jobs, self.current, job))

    def with_piece(self, piece: Piece) -> Work:
        return self.with_piece_at(self.job.current, piece)

    def with_piece_at(self, index: int, piece: Piece) -> Work:
        return self.with_job(replace(self.job, pieces=_with(self.job.pieces, index, piece)))

    def without_sound(self, names: Sequence[str]) -> Work:
        return replace(self, notes=tuple(note for note in self.notes if note.name not in names))


@dataclass(frozen=True, slots=True)
class OnRecord:
    """The work, and beside it what was said aloud, which no undo unsays.

    ``past`` : the work before each turn that changed it. ``undone`` : past and work before each undo since, which a
    redo brings back. ``told`` : (job, caution). ``read_back`` : by reading number, the option last read back.
    ``concluded`` : by piece number, the id of the end that the checks were said to conclude.
    """

    work: Work = field(default_factory=Work)
    past: tuple[Work, ...] = ()
    undone: tuple[tuple[tuple[Work, ...], Work], ...] = ()
    turn: int = 0  # the last turn on record
    changed_turn: int = 0  # the last turn that changed the work
    readings_made: int = 0
    pieces_made: int = 1
    told: frozenset[tuple[int, str]] = frozenset()
    read_back: Mapping[int, int] = field(default_factory=dict)
    concluded: Mapping[int, str] = field(default_factory=dict)
    opened: OnRecord | None = field(default=None, compare=False, repr=False)  # before the first entry of the last turn

    @property
    def notes(self) -> tuple[Note, ...]:
        return self.work.notes

    @property
    def without(self) -> frozenset[str]:
        """The tools that are not at hand."""
        return self.work.without

    def end_of(self, piece: Piece) -> str | None:
        """Id of the end that a piece is, by the person's decision or else by the checks."""
        return piece.decided or self.concluded.get(piece.number)

    def is_empty(self, job: Job) -> bool:
        """Whether nothing was said of a job, so that it can serve as a fresh one."""
        said = any(not piece.is_empty or piece.kind == HOSE for piece in job.pieces)
        noted = any(note.job == job.number for note in self.notes)
        return not (said or noted or job.machine or job.machine_note or job.finished or len(job.pieces) > 1)

    @property
    def last_open(self) -> Job | None:
        """The job that was in hand, or else the latest, that has something in it and is not finished."""
        jobs = [self.work.job, *reversed(self.work.jobs)]
        return next((job for job in jobs if not job.finished and not self.is_empty(job)), None)


def _with(items: tuple[_T, ...], index: int, item: _T) -> tuple[_T, ...]:
    return (*items[:index], item, *items[index + 1 :])


def _work_after(work: Work, entry: OfTheWork) -> Work:
    """The work after an entry that changes it."""
    piece, job = work.piece, work.job
    match entry:
        case entries.ReadingKept():
            kept = Kept(entry.number, entry.reading, confirmed=entry.confirmed)
            untold = piece.impossible - {entry.reading.asked}  # what was asked could be told after all
            return work.with_piece(replace(piece, readings=(*piece.readings, kept), impossible=untold))
        case entries.Dropped():
            left = tuple(kept for kept in piece.readings if kept.number != entry.number)
            return work.with_piece(replace(piece, readings=left))
        case entries.Impossible():
            return work.with_piece(replace(piece, impossible=piece.impossible | {entry.check}))
        case entries.PutOff():
            return work.with_piece(replace(piece, put_off=piece.put_off | {entry.check}))
        case entries.Worn():
            return work.with_piece(replace(piece, worn=True))
        case entries.Answered():
            others = tuple(answer for answer in piece.answers if answer[0] != entry.topic)
            return work.with_piece(replace(piece, answers=(*others, (entry.topic, entry.text))))
        case entries.Decided():
            return work.with_piece(replace(piece, decided=entry.end, look_alikes=entry.look_alikes))
        case entries.StartOver():
            return work.with_piece(Piece(entry.number, piece.kind))
        case entries.Becomes():
            return work.with_piece(Piece(entry.number, entry.piece))
        case entries.NewPiece():
            pieces = (*job.pieces, Piece(entry.number, entry.piece))
            return work.with_job(replace(job, pieces=pieces, current=len(job.pieces)))
        case entries.Removed():
            at = _position([each.number for each in job.pieces], entry.piece)
            pieces = (*job.pieces[:at], *job.pieces[at + 1 :])
            current = min(job.current - (at < job.current), len(pieces) - 1)
            return work.with_job(replace(job, pieces=pieces or (Piece(entry.number),), current=max(current, 0)))
        case entries.GoToPiece():
            _position(range(len(job.pieces)), entry.piece)
            return work.with_job(replace(job, current=entry.piece))
        case entries.NewJob():
            jobs = (*work.jobs, Job(entry.job, (Piece(entry.number),)))
            return replace(work, jobs=jobs, current=len(work.jobs))
        case entries.GoToJob():
            return replace(work, current=_position([each.number for each in work.jobs], entry.job))
        case entries.Mounted():
            return work.with_job(replace(job, mounted=entry.mounted))
        case entries.Finished():
            return work.with_job(replace(job, finished=entry.finished))
        case entries.NoteKept():
            return replace(work, notes=(*work.notes, Note(entry.job or 0, entry.name, entry.seconds)))
        case entries.WithoutTool():
            tool = frozenset({entry.tool})
            return replace(work, without=work.without | tool if entry.without else work.without - tool)
        case entries.Goal():
            goal = (entry.start, entry.goal)
            return work if goal in job.goals else work.with_job(replace(job, goals=(*job.goals, goal)))
        case entries.Counted():
            at = _position([each.number for each in job.pieces], entry.piece)
            return work.with_piece_at(at, replace(job.pieces[at], count=entry.count))
        case entries.Beside():
            at = _position([each.number for each in job.pieces], entry.piece)
            beside = tuple(each for each in job.pieces[at].beside if each[0] != entry.what)
            beside = (*beside, (entry.what, entry.count)) if entry.count else beside
            return work.with_piece_at(at, replace(job.pieces[at], beside=beside))
        case entries.BothEnds():
            at = _position([each.number for each in job.pieces], entry.piece)
            return work.with_piece_at(at, replace(job.pieces[at], both=entry.both))
        case entries.Machine():
            at = _position([each.number for each in work.jobs], entry.job)
            if entry.text is None:
                return replace(work, jobs=_with(work.jobs, at, replace(work.jobs[at], machine_note=entry.name or "")))
            return replace(work, jobs=_with(work.jobs, at, replace(work.jobs[at], machine=entry.text)))
    raise StoreError(f"nothing is known of entries of kind {entry.kind!r}")


def _beside_the_work(record: OnRecord, entry: Entry) -> OnRecord:
    """The record after an entry that no undo unsays."""
    match entry:
        case entries.ReadBack():
            return replace(record, read_back={**record.read_back, entry.number: entry.option})
        case entries.Concluded():
            others = {piece: end for piece, end in record.concluded.items() if piece != entry.piece}
            return replace(record, concluded=others if entry.end is None else {**others, entry.piece: entry.end})
        case entries.Told():
            return replace(record, told=record.told | {(entry.job or 0, entry.caution)})
        case entries.SoundRemoved():  # for good: no undo brings it back
            past = tuple(work.without_sound(entry.names) for work in record.past)
            return replace(record, work=record.work.without_sound(entry.names), past=past, undone=())
        case entries.Undone():
            if not 1 <= entry.turns <= len(record.past):
                raise StoreError(f"undo of {entry.turns} turns where {len(record.past)} are on record")
            work, past = record.past[-entry.turns], record.past[: -entry.turns]
            undone = (*record.undone, (record.past, record.work))
            return replace(record, work=work, past=past, undone=undone, changed_turn=0)
        case entries.Redone():
            if not record.undone:
                raise StoreError("redo where nothing was undone")
            past, work = record.undone[-1]
            return replace(record, work=work, past=past, undone=record.undone[:-1], changed_turn=0)
    raise StoreError(f"nothing is known of entries of kind {entry.kind!r}")


def applied(record: OnRecord, append: Append) -> OnRecord:
    """The record after an entry. Entries of one turn are one step of undo.

    Raises ``StoreError`` for an entry of a known kind whose data do not fit. Kinds not in :data:`entries.KINDS` (the
    journal's header, a shop's own) leave the record as it is.
    """
    entry = parsed(append)
    if entry is None:
        return record
    if isinstance(entry, entries.Void):
        return record.opened if record.turn == entry.turn and record.opened is not None else record
    if entry.turn != record.turn:
        record = replace(record, opened=replace(record, opened=None))
    if not isinstance(entry, OfTheWork):
        return replace(_beside_the_work(record, entry), turn=entry.turn)
    if isinstance(entry, entries.NoteKept | entries.WithoutTool) and entry.schema_ < entries.UNDONE_FROM:
        earlier = tuple(_work_after(each, entry) for each in record.past)
        return replace(record, work=_work_after(record.work, entry), past=earlier, turn=entry.turn)
    past = record.past if entry.turn == record.changed_turn else (*record.past, record.work)
    work = _work_after(record.work, entry)
    record = replace(record, work=work, past=past, undone=(), turn=entry.turn, changed_turn=entry.turn)
    if isinstance(entry, entries.ReadingKept):
        return replace(record, readings_made=max(record.readings_made, entry.number))
    if isinstance(entry, Opening):
        return replace(record, pieces_made=max(record.pieces_made, entry.number))
    return record


def _position(items: Sequence[int], item: int | None) -> int:
    for index, each in enumerate(items):
        if each == item:
            return index
    raise StoreError(f"there is no number {item} on record")
