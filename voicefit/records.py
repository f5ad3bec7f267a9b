"""The nouns of the flow, and the session's events and effects.

    audio -> Utterance -> Transcript -> Meaning (Reading | Command | Rejection) -> posterior -> Advice -> Say

Duty: frozen types, each able to name the earlier ones that it came from. It must not compute, format or do
I/O. Posteriors hold arrays and live in :mod:`voicefit.matching`; ends live in :mod:`voicefit.catalogue`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from voicefit.quantities import Quantity

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SAMPLE_RATE_HZ = 16_000


ABSENT = "absent"  # the value of a reading that says that the end has none: no thread, no tube


class Measurand(StrEnum):
    """What a reading is a reading of (VIM 2.3). Values appear in the public JSON."""

    OUTSIDE_DIAMETER = "outside_diameter"  # across the crests of a male thread
    INSIDE_DIAMETER = "inside_diameter"  # across the crests of a female thread
    FIRST_THREAD_DIAMETER = "first_thread_diameter"  # at the small end of a suspected taper
    LAST_THREAD_DIAMETER = "last_thread_diameter"
    PITCH = "pitch"
    THREAD_SIZE = "thread_size"  # the nominal size in a designation: 9/16, M 18, G 3/8
    THREAD_SYSTEM = "thread_system"  # G, R, NPT, UN, M: a marking or a claim
    THREAD_SIDE = "thread_side"  # external | internal: which side the diameter was taken on
    FLANK_ANGLE = "flank_angle"  # of the thread: 55 or 60 degrees
    TAPER = "taper"  # tapered | parallel
    SEAT_ANGLE = "seat_angle"  # as said: half or included stays open
    SEAT_FORM = "seat_form"  # a SeatForm value
    NOSE = "nose"  # straight | ball: whether a convex seat is a straight cone or round
    SEAL = "seal"  # a Seal value
    SHOULDER_EDGE = "shoulder_edge"  # edge | plain: whether a stud's shoulder has a sealing edge around it
    BODY = "body"  # housing | loose: part of a block or housing, or an end that can be taken away
    SHAPE = "shape"  # threaded | banjo | flange | coupler | staple
    GENDER = "gender"  # male | female | port | stud
    DASH = "dash"
    HEX = "hex"
    TUBE_OUTSIDE_DIAMETER = "tube_outside_diameter"
    FLANGE_HEAD_DIAMETER = "flange_head_diameter"
    FLANGE_HEAD_THICKNESS = "flange_head_thickness"
    BOLT_LONG = "bolt_long"  # bolt centre distance, long side
    BOLT_SHORT = "bolt_short"
    PROFILE_DIAMETER = "profile_diameter"  # coupler or staple spigot
    HOSE_BORE = "hose_bore"
    HOSE_OUTSIDE_DIAMETER = "hose_outside_diameter"
    HOSE_TYPE = "hose_type"  # layline: a hose type id
    REINFORCEMENT = "reinforcement"
    LENGTH = "length"
    ELBOW_ANGLE = "elbow_angle"
    ROUTE_BEND = "route_bend"  # through so many degrees the hose turns on its way
    ROUTE_RADIUS = "route_radius"  # so tightly, to the inside of the bend
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    SERIES = "series"  # a series id: a marking, or what the person believes it is
    COUNTRY = "country"  # where the machine was built


class SeatForm(StrEnum):
    CONVEX = "convex"  # stands out: nose, flare, cone
    RECESSED = "recessed"  # goes in: inner cone
    FLAT = "flat"  # flat face
    SHOULDER = "shoulder"  # flat shoulder or spot face at the thread's base
    NONE = "none"


class Seal(StrEnum):
    METAL = "metal"
    CONE_O_RING = "cone_o_ring"
    FACE_O_RING = "face_o_ring"
    BASE_O_RING = "base_o_ring"  # at the base of a straight thread
    WASHER = "washer"  # bonded washer, captured ring, or plain washer on a shoulder
    CUTTING_RING = "cutting_ring"
    THREAD = "thread"
    FLANGE_O_RING = "flange_o_ring"
    BORE_O_RING = "bore_o_ring"  # radial, in a bore: staple, coupler


# An O-ring of which it was not said where it sits: any of these seals, and "no O-ring" is none of them.
O_RING = "o_ring"
O_RING_SEALS = frozenset({Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING, Seal.FLANGE_O_RING, Seal.BORE_O_RING})


class Gender(StrEnum):
    MALE = "male"
    FEMALE = "female"
    PORT = "port"
    STUD = "stud"


# ---- hearing ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Utterance:
    """One stretch of speech, from endpointing.

    ``samples`` : float32, shape (n,), 16 kHz mono, -1..1, with pre-roll and hang-over.
    """

    samples: NDArray[np.float32]
    start_s: float = 0.0
    level_dbfs: float | None = None  # of the voiced part
    noise_dbfs: float | None = None  # of what lay around it
    clipped: bool = False
    cut: bool = False  # it went on for longer than the longest utterance, and was cut there
    voice_s: float | None = None  # seconds of voice in it, by the detector

    @property
    def duration_s(self) -> float:
        return len(self.samples) / SAMPLE_RATE_HZ


@dataclass(frozen=True, slots=True)
class Alternative:
    """One text the engine may have heard, with the log of its share among the alternatives."""

    text: str
    log_probability: float


@dataclass(frozen=True, slots=True)
class Transcript:
    """What an engine made of an utterance: alternatives by meaning, best first, or a rejection.

    ``meanings`` : what all alternatives mean under the context in which they were heard, each meaning once, weights
    summing to one, best first. ``scores`` : named, the engine's own, ``confidence`` among them where it has one.
    """

    alternatives: tuple[Alternative, ...]
    engine: str = "text"
    rejection: Rejection | None = None
    scores: Mapping[str, float] = field(default_factory=dict)
    meanings: tuple[Meaning, ...] = ()

    @property
    def text(self) -> str:
        return self.alternatives[0].text if self.alternatives else ""


# ---- meaning ------------------------------------------------------------------------------------------


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
class Rejection:
    text: str
    reason: Reason
    detail: str = ""  # the offending word or value, for the reply


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
    """

    measurand: Measurand
    value: Quantity | str
    log_prior: float = 0.0
    negated: bool = False
    hedge: Hedge | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing said about the end. What was left unsaid (unit, side, half or included) is several options."""

    heard: str
    options: tuple[Option, ...]
    threads_engaged: int | None = None  # for a pitch: gauge teeth that lay in the thread, if said
    asked: str | None = None  # id of the check it answers, if any

    @property
    def measurands(self) -> frozenset[Measurand]:
        return frozenset(option.measurand for option in self.options)


@dataclass(frozen=True, slots=True)
class Command:
    """Something to do. ``name`` is an id of ``grammar/commands.toml``; a correction carries its readings."""

    name: str
    heard: str
    readings: tuple[Reading, ...] = ()
    argument: str | None = None  # a series id, a job number, a name: as the registry says


Item = Reading | Command | Rejection


def item_key(item: Item) -> tuple[object, ...]:
    """What makes two items the same, whatever words said them."""
    if isinstance(item, Reading):
        return (frozenset(map(option_key, item.options)), item.threads_engaged)
    if isinstance(item, Command):
        return (item.name, item.argument, tuple(item_key(reading) for reading in item.readings))
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
    """

    expected: tuple[Measurand, ...] = ()
    values: Mapping[Measurand, tuple[tuple[Quantity | str, float], ...]] = field(default_factory=dict)
    yes_no: bool = False
    commands: frozenset[str] = frozenset()
    misfit: bool = False  # "yes" would mean that the gauge does not fit: "gap" says yes, "it fits" says no
    preferred_length: str | None = None  # "in" | "mm": the user's habit for a number without a unit
    spelling: bool = False
    asked: Option | None = None  # what "yes" would say


# ---- advice -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Check:
    """A thing the person can do next. Its words live in ``grammar/checks.toml`` under ``id``.

    ``slots`` : values for the words ("leaf": 19 tpi). ``yes``/``no`` : what those answers mean as evidence;
    both ``None`` for a check that is answered by a value.
    """

    id: str
    measurand: Measurand
    time_s: float
    slots: Mapping[str, Quantity | str] = field(default_factory=dict)
    yes: Option | None = None
    no: Option | None = None
    information_bit: float = 0.0  # expected, over the decision


class Certainty(StrEnum):
    """How sure the identification is. Values appear in the public JSON."""

    OPEN = "open"  # nothing leads
    LEADING = "leading"  # one part leads
    LIKELY = "likely"  # it is right nine times in ten or better
    IDENTIFIED = "identified"  # to conclude is worth more than any further check


@dataclass(frozen=True, slots=True)
class Advice:
    """What to say next about the identification. Ends are rows of the catalogue, readings are indices.

    ``checks`` : what may be asked next in one breath, ``check`` first; a second stands there where it is worth asking
    whatever the first says. Empty when no check is left or it is identified.
    ``again`` : ``check`` was answered before; it is asked once more because the readings of ``contradiction`` do not go
    together.
    ``variants`` : the ends of the leading part that the readings do not tell apart and that seal differently, the
    likeliest first: one where the readings say which, empty where nothing leads.
    ``look_alikes`` : the likeliest end of every part that is not excluded, the likeliest first, without the leader's;
    ``grave`` : those of them that, taken for the leader, would hold at idle and let go.
    ``standoff`` : two ends that no possible check separates.
    ``contradiction`` : the one or two readings that spoil it, where all together fit no end at their word.
    """

    checks: tuple[Check, ...] = ()
    certainty: Certainty = Certainty.OPEN
    again: bool = False
    nothing_fits: bool = False
    variants: tuple[int, ...] = ()
    look_alikes: tuple[int, ...] = ()
    grave: tuple[int, ...] = ()
    standoff: tuple[int, int] | None = None
    contradiction: tuple[int, ...] = ()

    @property
    def check(self) -> Check | None:
        """The next check; ``None`` when no check is left or it is identified."""
        return self.checks[0] if self.checks else None

    @property
    def identified(self) -> bool:
        """Whether the checks that were made conclude it."""
        return self.certainty is Certainty.IDENTIFIED


# ---- the session's events and effects -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heard:
    """Speech (or typed text) was understood in one or several ways; weights sum to one."""

    meanings: tuple[Meaning, ...]
    at_s: float = 0.0  # the edge's clock; the core has none
    typed: bool = False  # by a person or a caliper with keys: meant for the session even while it does not listen


@dataclass(frozen=True, slots=True)
class Refused:
    """The edge refused the sound before any meaning was made."""

    rejection: Rejection
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Quiet:
    """Nobody has spoken for ``seconds``."""

    seconds: float
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something outside failed or came back: ``what`` is microphone, speaker, voice, recogniser, disk, store."""

    what: str
    detail: str = ""
    back: bool = False
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class NoteDone:
    """A voice note has been recorded (``name`` as the store knows it)."""

    name: str
    seconds: float
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Chosen:
    """The edge took the next one as asked: ``what`` is voice, microphone or speaker; ``name`` empty: no other."""

    what: str
    name: str
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Resumed:
    """The session begins with what is on record from before: a crash, a restart, another day.

    ``job`` : number of the job to go on with, as the user asked; ``None``: what is still open is only named.
    """

    job: int | None = None
    at_s: float = 0.0


Event = Heard | Refused | Quiet | Trouble | NoteDone | Chosen | Resumed


@dataclass(frozen=True, slots=True)
class Append:
    """Make this durable. Comes before the ``Say`` that confirms it."""

    kind: str
    data: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Say:
    """Speak ``text``, written for the ear: words only, numbers already spelled."""

    text: str


@dataclass(frozen=True, slots=True)
class Tone:
    """Play one of the four tones: listening, heard, refused, working."""

    name: str


@dataclass(frozen=True, slots=True)
class Do:
    """Ask the edge for something that is not speech: ``name`` with ``argument`` (settings, notes, listening)."""

    name: str
    argument: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """End the session after what was said before it has been spoken."""


Effect = Append | Say | Tone | Do | Stop
