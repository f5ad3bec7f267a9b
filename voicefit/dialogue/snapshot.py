"""What a session believes of the piece in hand, and what it shows at one moment: frozen, for documents and screens.

Beliefs follow from the readings and are never on record.

Duty: the types, and the few questions that replies ask of them. It must not match, format or word.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from voicefit.catalogue.conditions import SealedBy
from voicefit.records import Advice, Check, Measurand, Option, Reading, Rejection

if TYPE_CHECKING:
    from voicefit.dialogue.hoses import Standing
    from voicefit.matching import Posterior


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """A reading with the option that is most probable given all readings, and that probability."""

    reading: Reading
    option: Option
    probability: float


@dataclass(frozen=True, slots=True)
class Part:
    """What one would order: the row of the end that names it, and the sum over its ends."""

    part: str
    row: int
    probability: float


@dataclass(frozen=True, slots=True)
class Belief:
    """``parts`` : best first. ``taken`` : for each reading, in their order, the option taken. ``posterior`` : the
    matcher's own, for its explanations. ``hose`` : of a hose, where its interview stands; it has no parts.
    """

    parts: tuple[Part, ...]
    none_probability: float
    taken: tuple[ReadingTaken, ...]
    advice: Advice
    posterior: Posterior = field(compare=False, repr=False)
    hose: Standing | None = None

    @property
    def leader(self) -> Part | None:
        return self.parts[0] if self.parts else None

    @property
    def sealed_by(self) -> SealedBy | None:
        """The kind of washer or ring that was named last; ``None`` where none was."""
        said = (each.option for each in reversed(self.taken) if each.option.measurand is Measurand.SEALED_BY)
        return next((SealedBy(str(each.value).replace("_", " ")) for each in said if not each.negated), None)


@dataclass(frozen=True, slots=True)
class Pending:
    """A question of ours that is open. ``kind`` : confirm ("...: right?") or choose. ``words`` : of each option, as
    they are offered; ``readings`` : likewise, what it would be taken as (none for a command)."""

    kind: str
    words: tuple[str, ...]
    readings: tuple[tuple[ReadingTaken, ...], ...]


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The session after its last event.

    ``heard`` : the text taken; empty when the last event was not speech. ``readings`` : those of the end in hand.
    ``rejected`` : what was heard in the last event and not taken. ``candidates`` : (row of the catalogue, probability),
    best first, one for each part: interchangeable ends count together under the name they are ordered by.
    ``prompt`` : the next checks in words; empty when there is none. ``next_checks`` : each with its own words, in the
    order in which they are asked. ``cautions`` : said in ``reply``. ``reply`` : exactly what is spoken; empty for a
    named silence. ``pending`` : the question of ours that is open. ``did`` : ids of the functions that were called.
    ``concluded`` : id of the end that the checks, or the person, said it is; ``decided_by`` : which of the two.
    """

    heard: str
    readings: tuple[ReadingTaken, ...]
    rejected: tuple[Rejection, ...]
    candidates: tuple[tuple[int, float], ...]
    none_probability: float
    advice: Advice
    prompt: str
    cautions: tuple[str, ...]
    reply: str
    job: int = 1
    piece: int = 1
    concluded: str | None = None
    decided_by: str | None = None  # checks | person
    look_alikes: tuple[int, ...] = ()  # rows of what was not excluded when the person decided
    next_checks: tuple[tuple[Check, str], ...] = ()
    pending: Pending | None = None
    did: tuple[str, ...] = ()
    hose: Standing | None = None

    @property
    def state(self) -> str:
        """How sure it is: open, leading, likely, identified; decided, where the person did."""
        return "decided" if self.decided_by == "person" else self.advice.certainty.value
