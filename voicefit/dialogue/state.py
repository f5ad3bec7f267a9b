"""What the session is in the midst of: frozen values, gone when the session ends.

Duty: the types. What must outlast the session is in :mod:`voicefit.dialogue.record`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from voicefit.dialogue.record import Record
from voicefit.dialogue.settings import Settings
from voicefit.records import Check, Meaning, Rejection

MOST_ITEMS = 3  # of a list in one breath
BREATH_WORDS = 25


@dataclass(frozen=True, slots=True)
class Sure:
    """An open question whether this was said; nothing of it is on record yet. ``replacing`` : reading numbers."""

    meaning: Meaning
    replacing: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Which:
    """An open question which of two was said. ``item`` : position of the item in which they differ."""

    choices: tuple[Meaning, Meaning]
    item: int
    replacing: tuple[int, ...] = ()


Question = Sure | Which


@dataclass(frozen=True, slots=True)
class Lesson:
    """A check that is being explained: its steps, and the one said last."""

    check: str
    steps: tuple[str, ...]
    at: int = 0


@dataclass(frozen=True, slots=True)
class Listing:
    """A list that is being read, a breath at a time; ``starts`` : the first item of each breath so far."""

    items: tuple[str, ...]
    starts: tuple[int, ...] = ()

    def breath(self, start: int) -> tuple[str, ...]:
        """The items from ``start`` on that one breath holds: one at least, ``MOST_ITEMS`` at most."""
        words = 0
        for count, item in enumerate(self.items[start : start + MOST_ITEMS]):
            words += len(item.split())
            if count and words > BREATH_WORDS:
                return self.items[start : start + count]
        return self.items[start : start + MOST_ITEMS]

    @property
    def next(self) -> int:
        """The first item that has not been said."""
        return self.starts[-1] + len(self.breath(self.starts[-1])) if self.starts else 0

    @property
    def done(self) -> bool:
        return self.next >= len(self.items)


@dataclass(frozen=True, slots=True)
class Focus:
    """``check`` : the one last prompted. ``lead`` : the part last said to lead. ``contradiction`` : numbers of the
    readings last said not to fit together. ``attending`` : the attention word was
    just said. ``refusals``, ``quiets`` : in a row."""

    question: Question | None = None
    check: Check | None = None
    lesson: Lesson | None = None
    listing: Listing | None = None
    lead: str | None = None
    contradiction: tuple[int, ...] = ()
    asleep: bool = False
    paused: bool = False
    attending: bool = False
    spelling: tuple[str, ...] | None = None  # the pieces of the machine's name so far; None: it is not being spelled
    correcting: bool = False  # the next value replaces the last one
    recording: str = ""  # what the edge is recording: note, machine
    refusals: int = 0
    quiets: int = 0
    troubles: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Last:
    """What the last event led to, for repeating it and for the snapshot."""

    heard: str = ""
    rejected: tuple[Rejection, ...] = ()
    cautions: tuple[str, ...] = ()
    reply: str = ""
    spoken: str = ""  # the last reply that was not empty


@dataclass(frozen=True, slots=True)
class State:
    record: Record = field(default_factory=Record)
    focus: Focus = field(default_factory=Focus)
    settings: Settings = field(default_factory=Settings)
    last: Last = field(default_factory=Last)
