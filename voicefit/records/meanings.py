"""What words mean: readings, commands, rejections, the meanings made of them, and the context that they are heard in.

What was left unsaid stays open as the options of a reading; a meaning weighs one parse against the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from voicefit.quantities import Quantity
from voicefit.records.measurands import Measurand


class Reason(StrEnum):
    """Why something heard was not taken. Each has its own short reply in ``grammar/``."""

    SILENCE = "silence"
    NOISE = "noise"
    OUT_OF_GRAMMAR = "out_of_grammar"
    LOW_CONFIDENCE = "low_confidence"
    OUT_OF_RANGE = "out_of_range"  # a number no connection has
    UNIT_MISMATCH = "unit_mismatch"  # a unit that makes no sense for the measurand
    INCOMPLETE = "incomplete"  # "outside" and no number
    TOO_LONG = "too_long"
    TOO_QUIET = "too_quiet"
    TOO_LOUD = "too_loud"
    NOTHING_ASKED = "nothing_asked"  # "yes" when no question was open


@dataclass(frozen=True, slots=True)
class KindShares:
    """What a sentence is like, by a classifier. ``shares`` : the probability of each kind, which sum to one;
    ``denied`` : the probability that it says that something is not so; ``told`` : of each letter of the text, the
    probability that it belongs to what is told of the end in hand."""

    shares: Mapping[str, float]
    denied: float
    told: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Rejection:
    text: str
    reason: Reason
    detail: str = ""  # the offending word or value, for the reply
    limits: tuple[Option, ...] = ()  # of a value that nothing has: the least and the greatest that it could have been


class Hedge(StrEnum):
    """How loosely a value was said. Values appear in the public JSON."""

    ABOUT = "about"  # near it, on either side
    UNDER = "under"  # a little less: "just under", "nearly"
    OVER = "over"  # a little more
    BETWEEN = "between"  # between two values or one of them: the value is the middle, its resolution the distance
    PERHAPS = "perhaps"  # not sure of it: "I think", "maybe"


@dataclass(frozen=True, slots=True)
class Option:
    """One way to take what was said: a measurand and a value.

    ``value`` : a :class:`Quantity`, or a category (``SeatForm``, ``Seal`` or ``O_RING``, ``"tapered"``, a series id
    ...), or ``ABSENT`` where the end has nothing of the kind.
    ``log_prior`` : log weight among the reading's options (language habit x recogniser), any constant offset.
    ``negated`` : the value is what it is *not* ("gap on the nineteen leaf").
    ``hedge`` : the value is near what was said, or was said without being sure.
    ``certainty`` : how often somebody who says it so knows it, and does not guess; one where nothing was said of that.
    """

    measurand: Measurand
    value: Quantity | str
    log_prior: float = 0.0
    negated: bool = False
    hedge: Hedge | None = None
    certainty: float = 1.0

    def doubted(self, certainty: float) -> Option:
        """The same, only perhaps so."""
        return replace(self, hedge=self.hedge or Hedge.PERHAPS, certainty=min(self.certainty, certainty))


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing said about the end. What was left unsaid (unit, side, half or included) is several options."""

    heard: str
    options: tuple[Option, ...]
    threads_engaged: int | None = None  # for a pitch: gauge teeth that lay in the thread, if said
    asked: str | None = None  # id of the check it answers, if any
    guessed: bool = False  # by the words in it, no phrase took them: asked about before it is taken

    @property
    def measurands(self) -> frozenset[Measurand]:
        return frozenset(option.measurand for option in self.options)


@dataclass(frozen=True, slots=True)
class Command:
    """Something to do. ``name`` is an id of ``grammar/commands.toml``; a correction carries its readings.

    ``about`` : what a question names ("is it safe at three hundred bar"); ``other`` : what it names of a second end
    ("adapter from this to half inch NPT"). Neither is ever put on record.
    """

    name: str
    heard: str
    readings: tuple[Reading, ...] = ()
    argument: str | None = None  # a series id, a job number, a name: as the registry says
    about: tuple[Reading, ...] = ()
    other: tuple[Reading, ...] = ()


Item = Reading | Command | Rejection


def item_key(item: Item) -> tuple[object, ...]:
    """What makes two items the same, whatever words said them."""
    if isinstance(item, Reading):
        return (frozenset(map(option_key, item.options)), item.threads_engaged)
    if isinstance(item, Command):
        carried = (item.readings, item.about, item.other)
        return (item.name, item.argument, *(tuple(map(item_key, each)) for each in carried))
    return (item.reason, item.detail or item.text)


def option_key(option: Option) -> tuple[object, ...]:
    return option.measurand, option.value, option.negated, option.hedge


@dataclass(frozen=True, slots=True)
class Meaning:
    """One parse of one or more equivalent texts; weights of a list of meanings sum to one."""

    text: str
    items: tuple[Item, ...]
    log_weight: float = 0.0


@dataclass(frozen=True, slots=True)
class Context:
    """What the session knows before the next words come: priors for hearing, never walls.

    ``expected`` : measurands just asked for; a bare number is first taken as one of these.
    ``values`` : for each such measurand the plausible values with weights, if the matcher gave them.
    ``misfit`` : the open question is whether a gauge shows a gap or light.
    ``yes_no`` : a question that "yes" or "no" answers is open.
    ``commands`` : command ids that make sense now (empty: all).
    ``spelling`` : a name is being spelled: letters and figures alone are parts of it.
    ``asked`` : of a question that yes or no answers, what yes would say.
    ``in_hand`` : the numbers by which the piece in hand may be called.
    ``gauged`` : what was last taken is that a leaf or a seat gauge fits: that light shows there is told of it.
    """

    expected: tuple[Measurand, ...] = ()
    values: Mapping[Measurand, tuple[tuple[Quantity | str, float], ...]] = field(default_factory=dict)
    yes_no: bool = False
    commands: frozenset[str] = frozenset()
    misfit: bool = False  # "yes" would mean that the gauge does not fit: "gap" says yes, "it fits" says no
    preferred_length: str | None = None  # "in" | "mm": the user's habit for a number without a unit
    spelling: bool = False
    asked: Option | None = None  # what "yes" would say
    in_hand: frozenset[str] = frozenset()
    gauged: bool = False
