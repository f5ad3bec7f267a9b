"""Made-up pieces to practise on: what one would find on a listed end, check by check, in words that may be answered.

A piece is the end as its table has it, a little worn; nothing of it is measured. Whoever practises hears after each
question what the check finds, says it in whatever words, and learns the dialogue before there is a fitting in the hand.

Duty: the findings of an end, and what is told of them beside the session's replies. It must not match, and must not
answer anything itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import Knowledge, Snapshot
from voicefit.quantities import MM_PER_INCH, Quantity, Unit
from voicefit.records import Check, Context, Gender, Measurand, Option, Reading, Seal

WORN_MM = 0.1  # off a male thread; common practice, no source
LIKELY = 0.5  # share of an end's pieces from which on this one has the form
FIRST = (  # what the piece is introduced by
    Measurand.SHAPE,
    Measurand.GENDER,
    Measurand.OUTSIDE_DIAMETER,
    Measurand.INSIDE_DIAMETER,
    Measurand.PITCH,
    Measurand.TAPER,
    Measurand.SEAT_FORM,
    Measurand.SEAT_ANGLE,
    Measurand.SEAL,
    Measurand.MOUTH_DIAMETER,
    Measurand.TUBE_OUTSIDE_DIAMETER,
    Measurand.HEX,
    Measurand.FLANGE_HEAD_DIAMETER,
    Measurand.FLANGE_HEAD_THICKNESS,
    Measurand.BOLT_LONG,
    Measurand.BOLT_SHORT,
    Measurand.PROFILE_DIAMETER,
)

Value = Quantity | str | None

_FELT_IN_A_PORT = Seal.BASE_O_RING  # its chamfer, though the ring came away with the stud


class PracticePiece:
    """A piece of ``end``. ``None`` as a value: the end has nothing of the kind, or it cannot be seen."""

    def __init__(self, knowledge: Knowledge, end: CandidateEnd) -> None:
        self.end = end
        self._knowledge = knowledge
        self._values = _threaded(end) | _formed(end) | _sized(end)

    def introduction(self) -> list[str]:
        """What is to be found on it, one finding each, in words."""
        return [self._words(measurand) for measurand in FIRST if self._values.get(measurand) is not None]

    def found(self, check: Check) -> str:
        """What the check finds, in words that answer it; "can't tell" where it finds nothing."""
        if check.yes is not None:
            return self._yes_or_no(check.yes)
        asked = check.measurand
        diameters = (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER)
        if asked in diameters:  # "the thread's diameter" may be asked for before it is known which side there is
            asked = next((each for each in diameters if self._values.get(each) is not None), asked)
        return "can't tell" if self._values.get(asked) is None else self._words(asked)

    def is_it(self, end_id: str | None) -> bool:
        """Whether one would order the same for the end of this id."""
        ends = self._knowledge.catalogue.ends
        return any(end.id == end_id and end.part == self.end.part for end in ends)

    def _words(self, measurand: Measurand) -> str:
        """As the tool says it where it understands that; else the bare number, or an example of its grammar."""
        value = self._values[measurand]
        assert value is not None
        option, wording = Option(measurand, value), self._knowledge.wording
        said = wording.reading(option)
        if self._means(said, option):
            return said
        if isinstance(value, Quantity):
            return wording.value(option)  # to the question after it, a bare number is of what was asked
        examples = self._knowledge.language.examples(measurand)
        return next((words for words in examples if self._means(words, option)), said)

    def _means(self, words: str, wanted: Option) -> bool:
        items = self._knowledge.language.interpret(words, Context())[0].items
        options = items[0].options if len(items) == 1 and isinstance(items[0], Reading) else ()
        likeliest = max(options, key=lambda option: option.log_prior, default=None)
        if likeliest is None or likeliest.negated or likeliest.measurand is not wanted.measurand:
            return False
        if isinstance(likeliest.value, Quantity) and isinstance(wanted.value, Quantity):
            return (likeliest.value.value, likeliest.value.unit) == (wanted.value.value, wanted.value.unit)
        return likeliest.value == wanted.value

    def _yes_or_no(self, yes: Option) -> str:
        value = self._values.get(yes.measurand)
        if value is None and yes.measurand in (Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.FLANK_ANGLE):
            return "can't tell"
        return "yes" if self._shows(yes.value, self._seats() if _is_angle(yes) else [value]) != yes.negated else "no"

    def _seats(self) -> list[Value]:
        """The gauges that lie on the seat without light: by the half and by the included angle."""
        half = self.end.seat_half_angle_deg
        angles = () if half is None else (half, *self.end.also_seats_deg)
        return [degrees for angle in angles for degrees in (_degrees(angle), _degrees(2 * angle))]

    @staticmethod
    def _shows(asked: Quantity | str, values: Iterable[Value]) -> bool:
        return any(_same(asked, value) for value in values if value is not None)


class Practice:
    """Stands beside a session: ``begin`` and ``after`` give what to say when it has spoken; empty: nothing."""

    def __init__(self, knowledge: Knowledge, choose: Callable[[], CandidateEnd]) -> None:
        """``choose`` : the end of the next piece."""
        self._knowledge = knowledge
        self._choose = choose
        self.piece = PracticePiece(knowledge, choose())
        self._begun = self._told = False

    def begin(self) -> str:
        """Said once, before anything else."""
        return f"This is practice, nothing is kept. {self._introduced()} After each question I say what you find."

    def after(self, snapshot: Snapshot) -> str:
        """What follows a reply: what the piece shows, whether it was found out, or the next piece."""
        if "stop" in snapshot.did:
            return "That was practice, though: none of it is kept."
        if self._begun and not snapshot.readings:
            self.piece = PracticePiece(self._knowledge, self._choose())
            self._begun = self._told = False
            return self._introduced()
        self._begun = self._begun or bool(snapshot.readings)
        if self._told:
            return ""
        ended = snapshot.concluded is not None or snapshot.advice.standoff is not None
        if ended and snapshot.reply:
            self._told = True
            return f"{self._verdict(snapshot)} Ask what fits or how tight, or say start over for another piece."
        if snapshot.prompt and snapshot.reply.endswith(snapshot.prompt):
            return f"You find: {', '.join(self.piece.found(check) for check in snapshot.advice.checks)}."
        return ""

    def _introduced(self) -> str:
        words = self.piece.introduction()
        return f"In your hand is a made-up piece: {words[0]}. Say that first."

    def _verdict(self, snapshot: Snapshot) -> str:
        name = self._knowledge.names.end(self.piece.end)
        if snapshot.concluded is None:
            return f"The piece is {name}."
        return "That is the piece." if self.piece.is_it(snapshot.concluded) else f"No: the piece is {name}."


def _is_angle(option: Option) -> bool:
    return option.measurand is Measurand.SEAT_ANGLE


def _same(asked: Quantity | str, value: Quantity | str) -> bool:
    if not isinstance(asked, Quantity) or not isinstance(value, Quantity):
        return asked == value
    if asked.unit is Unit.DEGREE:
        return asked.value == value.value
    return abs(float(asked.pitch_mm) - float(value.pitch_mm)) < 0.005  # two leaves: 27 and 28 tpi are 0.03 mm apart


def _degrees(value: float) -> Quantity:
    return Quantity(Fraction(str(value)), Unit.DEGREE, Fraction(1))


def _mm(value: float | None) -> Quantity | None:
    if value is None:
        return None
    return Quantity(Fraction(round(Fraction(value) * 10), 10), Unit.MILLIMETRE, Fraction(1, 10))


def _length(mm: float, *, inches: bool) -> Quantity:
    """As the calipers of that trade show it: a hundredth of an inch, or a tenth of a millimetre."""
    if not inches:
        found = _mm(mm)
        assert found is not None
        return found
    step = Fraction(1, 100)
    return Quantity(round(Fraction(mm) / MM_PER_INCH / step) * step, Unit.INCH, step)


def _threaded(end: CandidateEnd) -> dict[Measurand, Value]:
    thread = end.thread
    if thread is None:
        return {}
    inches = thread.system == "UN"
    low, high = thread.external_major_mm if end.external else thread.internal_minor_mm
    middle = thread.major_diameter_mm if end.external and thread.taper else (low + high) / 2
    across = middle - WORN_MM if end.external else middle
    first, last = (low, high) if end.external else (high, low)
    tapers = bool(thread.taper)
    pitch = (
        Quantity(thread.tpi, Unit.THREADS_PER_INCH)
        if thread.tpi is not None
        else Quantity(Fraction(str(thread.pitch_mm)), Unit.MILLIMETRE)
    )
    side = Measurand.OUTSIDE_DIAMETER if end.external else Measurand.INSIDE_DIAMETER
    return {
        side: _length(across, inches=inches),
        Measurand.FIRST_THREAD_DIAMETER: _length(first if tapers else across, inches=inches),
        Measurand.LAST_THREAD_DIAMETER: _length(last if tapers else across, inches=inches),
        Measurand.PITCH: pitch,
        Measurand.TAPER: "tapered" if tapers else "parallel",
        Measurand.FLANK_ANGLE: _degrees(thread.flank_angle_deg),
        Measurand.THREAD_SIDE: "external" if end.external else "internal",
    }


def _formed(end: CandidateEnd) -> dict[Measurand, Value]:
    half = end.seat_half_angle_deg
    convex = end.seat_form == "convex"
    return {
        Measurand.GENDER: end.gender.value,
        Measurand.SEAT_FORM: end.seat_form.value,
        Measurand.SEAT_ANGLE: None if half is None else _degrees(half if end.named_by_half_angle else 2 * half),
        Measurand.NOSE: ("ball" if end.ball_nose_share > LIKELY else "straight") if convex else None,
        Measurand.SEAL: end.seal.value if end.carries_seal or end.seal == _FELT_IN_A_PORT else None,
        Measurand.SHOULDER_EDGE: end.around_shoulder,
        Measurand.BODY: "housing" if end.gender is Gender.PORT else "loose",
        Measurand.LINE: end.line,
        Measurand.SHAPE: end.shape.value if end.shape != "threaded" else None,
    }


def _sized(end: CandidateEnd) -> dict[Measurand, Value]:
    head = end.flange
    has_head = head is not None and end.gender is not Gender.PORT
    return {
        Measurand.MOUTH_DIAMETER: None if end.mouth_mm is None else _mm(sum(end.mouth_mm) / 2),
        Measurand.TUBE_OUTSIDE_DIAMETER: _mm(end.tube_od_mm),
        Measurand.HEX: _mm(end.hex_mm[0]) if end.hex_mm else None,
        Measurand.FLANGE_HEAD_DIAMETER: _mm(head.head_diameter_mm) if head is not None and has_head else None,
        Measurand.FLANGE_HEAD_THICKNESS: _mm(head.head_thickness_mm) if head is not None and has_head else None,
        Measurand.BOLT_LONG: None if head is None else _mm(head.bolt_long_mm),
        Measurand.BOLT_SHORT: None if head is None else _mm(head.bolt_short_mm),
        Measurand.PROFILE_DIAMETER: _mm(end.profile_mm[0][1]) if end.profile_mm else None,
    }
