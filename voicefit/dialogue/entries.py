"""What a session writes down: one frozen type a kind of entry, with the version of its schema.

    turn.log(Dropped(number=3)) -> Append("dropped", {"number": 3, "job": 1, "turn": 7, "schema": 4}) -> Dropped

An entry carries what was said and decided, never what is believed. :data:`KINDS` is the whole schema: a field that is
no longer written stays readable, a new one has a default, so that a journal of an earlier version opens as it is.
Version 1 had no ``schema``; version 2 added what the person decided, the tools that are not at hand and what is worn;
version 3 how many are ordered, and the end that is on both ends of the hose; version 4 what is ordered beside a piece,
its mate or its seals, and a piece that is off the slip; what is undone being done again, and pieces that are removed.

Duty: types, and data both ways. It must not change a record (:mod:`voicefit.dialogue.record` does).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator, ValidationError

from voicefit.dialogue.reading_data import reading_from_data, reading_to_data
from voicefit.errors import StoreError
from voicefit.records import Append, Reading
from voicefit.toml_data import faults_of

SCHEMA = 4
UNDONE_FROM = 4  # version from which an undo also takes back a note, and that a tool is not at hand
MOST_ORDERED = 999  # of one thing; more was misheard
LONGEST_NOTE = 200  # letters of a note or a name that is kept in words


def _read(data: Any) -> Reading:
    return data if isinstance(data, Reading) else reading_from_data(data)


Said = Annotated[Reading, PlainValidator(_read), PlainSerializer(reading_to_data)]

# ---- the entries ----------------------------------------------------------------------------------------


class Entry(BaseModel):
    """What all entries have. ``job`` and ``turn`` are filled in by the turn that writes it."""

    model_config = ConfigDict(frozen=True, extra="ignore")
    kind: ClassVar[str]

    job: int | None = None
    turn: int = 0
    schema_: int = Field(default=1, alias="schema", le=SCHEMA)


class OfTheWork(Entry):
    """One that changes the work, and is undone with its turn."""


class Opening(OfTheWork):
    """One that opens a piece; ``number`` is the piece's, filled in by the turn."""

    number: int = 0


class ReadingKept(OfTheWork):
    kind = "reading"
    number: int
    reading: Said
    confirmed: bool = False  # the person said yes to it


class Dropped(OfTheWork):
    kind = "dropped"
    number: int


class Impossible(OfTheWork):
    """A check that cannot be made, or does not apply, on this piece."""

    kind = "impossible"
    check: str


class PutOff(OfTheWork):
    kind = "put_off"
    check: str


class Worn(OfTheWork):
    """The thread of this piece is worn or damaged: its measured sizes say less."""

    kind = "worn"


class WithoutTool(OfTheWork):
    """A tool that is not at hand, or is again: in all jobs of the session."""

    kind = "without_tool"
    tool: str
    without: bool = True


class Answered(OfTheWork):
    kind = "answered"  # about a hose, where it is no reading
    topic: str
    text: str


class Decided(OfTheWork):
    """The person decided which end it is; ``look_alikes`` : ids of what was not excluded then. No end: withdrawn."""

    kind = "decided"
    end: str | None
    look_alikes: tuple[str, ...] = ()


class StartOver(Opening):
    kind = "start_over"


class NewJob(Opening):
    kind = "new_job"
    job: int


class GoToJob(OfTheWork):
    kind = "go_to_job"
    job: int


class NewPiece(Opening):
    kind = "new_piece"
    piece: str


class Removed(Opening):
    """A piece of the job in hand is taken away; ``piece`` : its number. ``number`` is that of the empty one that stands
    in for the last."""

    kind = "removed"
    piece: int


class GoToPiece(OfTheWork):
    kind = "go_to_piece"
    piece: int


class Becomes(Opening):
    kind = "becomes"
    piece: str


class Mounted(OfTheWork):
    kind = "mounted"
    mounted: bool


class Finished(OfTheWork):
    kind = "finished"
    finished: bool


class Goal(OfTheWork):
    kind = "goal"
    start: str
    goal: str


class Counted(OfTheWork):
    """So many are ordered of a piece of the job in hand; ``piece`` : its number. None: it is off the slip."""

    kind = "counted"
    piece: int
    count: Annotated[int, Field(ge=0, le=MOST_ORDERED)]


class Beside(OfTheWork):
    """So many are ordered of what belongs to a piece of the job in hand: the end that goes on it, or its seals; none:
    taken off the slip. ``piece`` : its number. A "seal" is what the tables say seals it."""

    kind = "beside"
    piece: int
    what: str = Field(pattern="mate|o-ring|washer|seal")
    count: Annotated[int, Field(ge=0, le=MOST_ORDERED)]


class BothEnds(OfTheWork):
    """A piece of the job in hand is on both ends of its hose, or on one only; ``piece`` : its number."""

    kind = "both_ends"
    piece: int
    both: bool = True


class Machine(OfTheWork):
    kind = "machine"  # as it was spelled, or the name of the sound in which it was spoken
    text: str | None = None
    name: str | None = None


class ReadBack(Entry):
    kind = "read_back"
    number: int
    option: int


class Concluded(Entry):
    """What a piece was said to be by the checks; no end: said no longer."""

    kind = "concluded"
    piece: int
    end: str | None


class Told(Entry):
    kind = "told"
    caution: str


class NoteKept(OfTheWork):
    kind = "note"
    name: str
    seconds: float


class SoundRemoved(Entry):
    kind = "sound_removed"
    names: tuple[str, ...]


class Undone(Entry):
    kind = "undo"
    turns: int


class Redone(Entry):
    """The last undo is taken back."""

    kind = "redo"


class Void(Entry):
    """A turn that could not be made durable as a whole: what there is of it does not count."""

    kind = "void"


KINDS: Mapping[str, type[Entry]] = {
    each.kind: each
    for each in (
        ReadingKept, Dropped, Impossible, PutOff, Worn, WithoutTool, Answered, Decided, StartOver, NewJob, GoToJob,
        NewPiece, GoToPiece, Removed, Becomes, Mounted, Finished, Goal, Counted, Beside, BothEnds, Machine, ReadBack,
        Concluded, Told, NoteKept, SoundRemoved, Undone, Redone, Void,
    )
}  # fmt: skip


def appended(entry: Entry) -> Append:
    """The entry as the journal keeps it."""
    return Append(entry.kind, entry.model_dump(by_alias=True, exclude_defaults=True) | {"schema": SCHEMA})


def parsed(entry: Append) -> Entry | None:
    """The typed entry; ``None`` for a kind of others (the journal's header, a shop's own).

    Raises ``StoreError`` for an entry of a known kind whose data do not fit.
    """
    if (kind := KINDS.get(entry.kind)) is None:
        return None
    try:
        found = kind.model_validate(entry.data)
    except ValidationError as error:
        faults = "; ".join(f"{fault.where}: {fault.reason}" for fault in faults_of(error))
        raise StoreError(f"a journal entry of kind {entry.kind!r} does not fit: {faults}") from error
    if found.turn < 1 or (isinstance(found, Opening) and found.number < 1):
        raise StoreError(f"a journal entry of kind {entry.kind!r} does not fit: it names no turn, or no piece")
    return found
