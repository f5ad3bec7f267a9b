"""What the session is in the midst of: one mode, and whether it attends. Frozen values, gone when the session ends.

What the next words answer is the **mode**, a tagged union: nothing but the check that was asked (:class:`Checking`), a
question of ours (:class:`Confirming`, :class:`Choosing`), or something that the person began (:class:`Explaining` a
check, :class:`Spelling` a name, :class:`Correcting` a value). A question of ours is asked *over* what was in progress:
its ``beneath`` is the mode that goes on when it is settled. Beside the mode stand :class:`Attention` (whether what is
said is acted on at all), the check that was asked, and a list that is being read, which "more" reads on in any mode.

The transitions, and what makes them; :meth:`~voicefit.dialogue.turn.Turn.turn_to` refuses any other:

    from \\ to     Checking              Confirming, Choosing     Explaining   Spelling   Correcting
    Checking      .                     doubt about what was     "how"        "spell"    "sorry", "no"
                                        heard; what is for good
    Confirming,   yes, no, the first,   doubt about what was     .            "spell"    .
    Choosing      a value, "undo"       said instead
    Explaining    last step, a reading  doubt                    "next"       "spell"    "sorry"
    Spelling      "done", "cancel"      doubt                    .            a letter   .
    Correcting    the value, "cancel"   doubt                    "how"        "spell"    "sorry"

    Attention     OPEN -> PAUSED "hang on"; PAUSED -> OPEN anything said; OPEN -> ASLEEP "sleep"; ASLEEP -> OPEN
                  "wake up"; OPEN -> ATTENDING the attention word; ATTENDING -> OPEN what follows it, or quiet

Duty: the types and the table. What must outlast the session is in :mod:`voicefit.dialogue.record`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypedDict

from voicefit.dialogue.record import OnRecord, Piece
from voicefit.dialogue.settings import Settings
from voicefit.records import Check, Meaning, Rejection

MOST_ITEMS = 3  # of a list in one breath
BREATH_WORDS = 25
MOST_ASKED = 2  # so often the same check is asked with the same words

# ---- modes ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Checking:
    """At rest: the next words answer the check that was asked, or say anything else."""


@dataclass(frozen=True, slots=True)
class Explaining:
    """A check is being explained: its steps, and the one said last."""

    check: str
    steps: tuple[str, ...]
    at: int = 0


@dataclass(frozen=True, slots=True)
class Spelling:
    """The machine's name is being spelled: the pieces so far."""

    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Correcting:
    """The next value replaces the last one."""


Begun = Checking | Explaining | Spelling | Correcting


@dataclass(frozen=True, slots=True)
class Confirming:
    """ "...: right?" Nothing of it is on record yet. ``replacing`` : the readings whose place it takes. ``again`` : it
    was asked once more, and is not a third time."""

    meaning: Meaning
    replacing: tuple[int, ...] = ()
    beneath: Begun = Checking()
    again: bool = False


@dataclass(frozen=True, slots=True)
class Choosing:
    """Which of two was said? ``item`` : position of the item in which they differ. ``again`` : as above."""

    choices: tuple[Meaning, Meaning]
    item: int
    replacing: tuple[int, ...] = ()
    beneath: Begun = Checking()
    again: bool = False


Question = Confirming | Choosing
Mode = Begun | Question

_QUESTIONS: frozenset[type[Mode]] = frozenset({Confirming, Choosing})
TRANSITIONS: Mapping[type[Mode], frozenset[type[Mode]]] = {
    Checking: _QUESTIONS | {Checking, Explaining, Spelling, Correcting},
    Confirming: _QUESTIONS | {Checking, Spelling, Correcting, Explaining},
    Choosing: _QUESTIONS | {Checking, Spelling, Correcting, Explaining},
    Explaining: _QUESTIONS | {Checking, Explaining, Spelling, Correcting},
    Spelling: _QUESTIONS | {Checking, Spelling},
    Correcting: _QUESTIONS | {Checking, Explaining, Spelling, Correcting},
}


class Attention(StrEnum):
    """Whether what is said is acted on."""

    OPEN = "open"
    ATTENDING = "attending"  # the attention word was just said
    PAUSED = "paused"  # quiet until the person speaks
    ASLEEP = "asleep"


class Deed(StrEnum):
    """The names that :class:`voicefit.records.Do` may carry: what a session asks of its edge."""

    SET = "set"  # argument "name=value": apply and keep this setting
    NEXT = "next"  # argument voice | microphone | speaker: take the next one, answer with a Chosen event
    HUSH = "hush"  # stop speaking now
    SILENT = "silent"  # say nothing; the argument names why
    RECORD = "record"  # argument note | machine: record what is said next, answer with a NoteDone event
    PLAY = "play"  # argument: the name of a note
    REMOVE = "remove"  # argument: the name of a note, or "job 2": all sound of that job
    LISTEN = "listen"  # argument asleep | awake | attending: what is acted on from now
    SLIP = "slip"  # argument: a job's number; write its order slip


# ---- beside the mode ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Listing:
    """A list that is being read, a breath at a time; ``starts`` : the first item of each breath so far."""

    items: tuple[str, ...]
    starts: tuple[int, ...] = ()
    first: int = 0  # items in the first breath, where it shared its words with something else

    def breath(self, start: int, words: int = 0) -> tuple[str, ...]:
        """Items from ``start`` on that one breath holds beside so many words: one to ``MOST_ITEMS``."""
        for count, item in enumerate(self.items[start : start + MOST_ITEMS]):
            words += len(item.split())
            if count and words > BREATH_WORDS:
                return self.items[start : start + count]
        return self.items[start : start + MOST_ITEMS]

    @property
    def next(self) -> int:
        """The first item that has not been said."""
        if not self.starts:
            return 0
        if self.starts[-1] == 0 and self.first:
            return self.first
        return self.starts[-1] + len(self.breath(self.starts[-1]))

    @property
    def done(self) -> bool:
        return self.next >= len(self.items)


@dataclass(frozen=True, slots=True)
class Injury:
    """Somebody was said to be hurt. ``caution`` : what to do for them. ``job`` : number of the job then. ``working`` :
    a reading was said since."""

    caution: str
    job: int
    working: bool = False


@dataclass(frozen=True, slots=True)
class Focus:
    """``check`` : the one last asked; ``beside`` : others asked in the same breath. ``lead`` : the part last said to
    lead. ``contradiction`` : numbers of the readings last said not to fit together. ``recording`` : what the edge is
    recording: note, machine. ``asked`` : piece, check and slots, once for each time that it was asked. ``left`` :
    piece and check, given up. ``refusals``, ``quiets`` : in a row. ``injury`` : of somebody who was said to
    be hurt, until that was a false alarm or the job is left. ``unplaced`` : words with a number of which it was asked
    what it measures. ``screws`` : piece, and what was told of its screws. ``which_screw`` : piece, readings
    made until then, and the sizes of which it was asked which. ``other`` : number of the piece that was last told as
    the other end."""

    mode: Mode = Checking()
    attention: Attention = Attention.OPEN
    check: Check | None = None
    beside: tuple[Check, ...] = ()
    listing: Listing | None = None
    lead: str | None = None
    contradiction: tuple[int, ...] = ()
    recording: str = ""
    asked: tuple[tuple[int, str, str], ...] = ()
    left: frozenset[tuple[int, str]] = frozenset()
    refusals: int = 0
    quiets: int = 0
    troubles: frozenset[str] = frozenset()
    injury: Injury | None = None
    unplaced: str = ""
    screws: tuple[int, str] = (0, "")
    which_screw: tuple[int, int, tuple[str, ...]] = (0, 0, ())
    other: int = 0

    @property
    def question(self) -> Question | None:
        """The question of ours that is open, if one is."""
        return self.mode if isinstance(self.mode, Confirming | Choosing) else None

    @property
    def open_checks(self) -> tuple[Check, ...]:
        """The checks that were asked last."""
        return () if self.check is None else (self.check, *self.beside)

    def asked_enough(self, piece: int) -> frozenset[str]:
        """Ids of the checks of a piece that were asked as often as a check is, whatever the leaf, or to which only
        useless answers came."""
        asked = Counter(check for of, check, _ in self.asked if of == piece)
        enough = {check for check, times in asked.items() if times >= MOST_ASKED}
        return frozenset(enough | {check for of, check in self.left if of == piece})

    @property
    def begun(self) -> Begun:
        """What the person is in the midst of, an open question aside."""
        return self.mode.beneath if isinstance(self.mode, Confirming | Choosing) else self.mode


class Changes(TypedDict, total=False):
    """What may change of the focus, beside its mode."""

    attention: Attention
    check: Check | None
    beside: tuple[Check, ...]
    listing: Listing | None
    lead: str | None
    contradiction: tuple[int, ...]
    recording: str
    asked: tuple[tuple[int, str, str], ...]
    left: frozenset[tuple[int, str]]
    refusals: int
    quiets: int
    troubles: frozenset[str]
    unplaced: str
    screws: tuple[int, str]
    which_screw: tuple[int, int, tuple[str, ...]]
    other: int
    injury: Injury | None


@dataclass(frozen=True, slots=True)
class Last:
    """What the last event led to, for repeating it and for the snapshot."""

    heard: str = ""
    rejected: tuple[Rejection, ...] = ()
    cautions: tuple[str, ...] = ()
    did: tuple[str, ...] = ()  # ids of the functions that were called
    reply: str = ""
    spoken: str = ""  # the last reply that was not empty


@dataclass(frozen=True, slots=True)
class State:
    record: OnRecord = field(default_factory=OnRecord)
    focus: Focus = field(default_factory=Focus)
    settings: Settings = field(default_factory=Settings)
    last: Last = field(default_factory=Last)

    @property
    def in_hand(self) -> tuple[Piece, frozenset[str], frozenset[str]]:
        """What is to be believed in: the piece in hand, the tools that are not, and the checks that make way for
        others, having been asked enough."""
        piece = self.record.work.piece
        return piece, self.record.without, self.focus.asked_enough(piece.number)

    @property
    def attends(self) -> bool:
        """Whether what is said now is answered: asleep, or without the attention word, it is not."""
        if self.focus.attention is Attention.ASLEEP:
            return False
        attended = self.focus.attention is Attention.ATTENDING or self.focus.question is not None
        return self.settings.listening != "attention" or attended
