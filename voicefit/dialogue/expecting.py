"""What the session expects to hear next: priors for hearing, never walls.

Duty: name what was just asked, the values that exist, and the functions that make sense now. It must not weigh values
by the readings so far: the matcher does that with what was heard, and nothing may be weighed twice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import END, HOSE, Job, Piece
from voicefit.dialogue.state import Attention, Choosing, Confirming, Correcting, Explaining, Spelling
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Context, Meaning, Measurand, Option

if TYPE_CHECKING:
    from voicefit.catalogue import Catalogue
    from voicefit.dialogue.knowledge import Knowledge
    from voicefit.dialogue.snapshot import Belief, ReadingTaken
    from voicefit.dialogue.state import State

_GAUGED = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.FLANK_ANGLE})
Values = Mapping[Measurand, tuple[tuple[Quantity | str, float], ...]]


def context_of(knowledge: Knowledge, state: State) -> Context:
    """Measurands just asked for and their values, whether yes or no answers, the functions that make sense, the unit
    habit."""
    return replace(
        _context_of(knowledge, state), in_hand=_in_hand(state.record.work.job), gauged=_gauged(knowledge, state)
    )


def _gauged(knowledge: Knowledge, state: State) -> bool:
    """Whether the last thing on record is a gauge that fits, said in the last turn that changed anything."""
    record = state.record
    if record.turn != record.changed_turn or state.focus.question is not None or record.work.piece.kind != END:
        return False
    return last_gauged(knowledge.believe(*state.in_hand).taken) is not None


def last_gauged(taken: Sequence[ReadingTaken]) -> Option | None:
    """The last reading as taken, where it is that a leaf or a seat gauge fits; else ``None``."""
    last = taken[-1].option if taken else None
    return last if last is not None and last.measurand in _GAUGED and not last.negated else None


def _in_hand(job: Job) -> frozenset[str]:
    """The numbers of the end in hand: among all pieces and among the ends, as long as they are the same."""
    if job.piece.kind != END:
        return frozenset()  # "end one" is an end of the hose
    ends = [piece.kind == END for piece in job.pieces[: job.current + 1]]
    numbers = {len(ends), sum(ends)}
    return frozenset(map(str, numbers)) if len(numbers) == 1 else frozenset()


def _context_of(knowledge: Knowledge, state: State) -> Context:
    focus, preferred = state.focus, state.settings.length_unit or None
    if focus.attention is Attention.ASLEEP:
        return Context(commands=frozenset({"wake-up"}), preferred_length=preferred)
    commands = knowledge.registry.sensible(situations(state))
    check = focus.check
    measurand, yes = (None, None) if check is None else (check.measurand, check.yes)
    match focus.mode:
        case Confirming(meaning):
            return _of_choices((meaning,), commands, yes_no=True, preferred=preferred)
        case Choosing(choices):
            return _of_choices(choices, commands, yes_no=False, preferred=preferred)
        case Spelling():
            return Context(spelling=True, commands=commands, preferred_length=preferred)
        case Correcting():
            taken = knowledge.believe(state.record.work.piece).taken
            measurand, yes = (taken[-1].option.measurand if taken else None), None
    expected = [measurand, *(each.measurand for each in focus.beside if yes is None)]
    expected += _MEASURED_OF.get(shape_said(knowledge, knowledge.believe(*state.in_hand)) or "", ())
    if _nothing_said(state.record.work.piece):
        expected = []  # whoever opens says what is at hand, in any order
    asked = tuple(dict.fromkeys(each for each in expected if each is not None))
    return Context(
        expected=asked,
        values={m: values for m, values in knowledge.values.items() if m in asked},
        yes_no=yes is not None,
        commands=commands,
        misfit=yes is not None and yes.negated,
        asked=yes,
        preferred_length=preferred,
    )


# What is said of that nobody asked for, of an end without a thread of its own, or of a banjo.
_OF_A_FLANGE = (
    Measurand.FLANGE_HEAD_DIAMETER,
    Measurand.BOLT_LONG,
    Measurand.BOLT_SHORT,
    Measurand.BOLT_CIRCLE,
    Measurand.FLANGE_HEAD_THICKNESS,
)
_NAMES_A_SHAPE = frozenset({Measurand.SHAPE, Measurand.SERIES})
_MEASURED_OF: Mapping[str, tuple[Measurand, ...]] = {
    "flange": (*_OF_A_FLANGE, Measurand.SERIES),  # "the sixty-one"
    "banjo": (Measurand.GENDER,),  # "the bolt"
    "coupler": (Measurand.PROFILE_DIAMETER,),
    "staple": (Measurand.PROFILE_DIAMETER,),
}


def shape_said(knowledge: Knowledge, belief: Belief, meaning: Meaning | None = None) -> str | None:
    """The shape that was said, as it is taken: by its name, by a series that has it, or by what a flange alone has;
    ``meaning`` : what is being said, where nothing was said of it before."""
    said = {t.option.measurand: t.option.value for t in reversed(belief.taken) if not t.option.negated}
    for reading in readings_of(meaning) if meaning is not None else ():
        option = reading.options[0]
        one = len({each.value for each in reading.options}) == 1 and reading.measurands <= _NAMES_A_SHAPE
        if one and not option.negated:  # "staple" is a shape and a series
            said.setdefault(option.measurand, option.value)
    if Measurand.SHAPE in said:
        return str(said[Measurand.SHAPE])
    series = said.get(Measurand.SERIES)
    of_series = next((end.shape for end in knowledge.catalogue.ends if end.series == series), None)
    return "flange" if said.keys() & _OF_A_FLANGE else of_series and str(of_series.value)


def _nothing_said(piece: Piece) -> bool:
    """Whether nothing was answered of an end yet."""
    return piece.kind == END and piece.is_empty and not (piece.impossible or piece.put_off)


def situations(state: State) -> frozenset[str]:
    """What the session is in the midst of, by the names that ``when`` has in the registry."""
    focus, work = state.focus, state.record.work
    yes_or_no = focus.check is not None and focus.check.yes is not None
    holds = {
        "question": focus.question is not None or yes_or_no,
        "choice": isinstance(focus.mode, Choosing),
        "check": focus.check is not None and focus.question is None,
        "lesson": isinstance(focus.mode, Explaining),
        "list": focus.listing is not None,
        "asleep": focus.attention is Attention.ASLEEP,
        "spelling": isinstance(focus.begun, Spelling),
        "identified": state.record.end_of(work.piece) is not None,
        "hose": work.piece.kind == HOSE,
    }
    return frozenset(name for name, is_so in holds.items() if is_so)


def _of_choices(
    choices: tuple[Meaning, ...], commands: frozenset[str], *, yes_no: bool, preferred: str | None
) -> Context:
    values: dict[Measurand, dict[Quantity | str, float]] = {}
    for choice in choices:
        for reading in readings_of(choice):
            for option in reading.options:
                values.setdefault(option.measurand, {})[option.value] = 1.0
    return Context(
        expected=tuple(values),
        values={measurand: tuple(of_it.items()) for measurand, of_it in values.items()},
        yes_no=yes_no,
        commands=commands,
        preferred_length=preferred,
    )


def existing(catalogue: Catalogue) -> Values:
    """The values that exist of what comes in steps: leaves, gauges, dashes, sizes, kinds. What a caliper reads is not
    among them: worn and toleranced, it can be anything."""
    found: dict[Measurand, dict[Quantity | str, float]] = {}

    def add(measurand: Measurand, value: Quantity | str) -> None:
        found.setdefault(measurand, {})[value] = 1.0

    for end in catalogue.ends:
        thread = end.thread
        add(Measurand.GENDER, end.gender.value)
        add(Measurand.SEAT_FORM, end.seat_form.value)
        add(Measurand.SEAL, end.seal.value)
        add(Measurand.SERIES, end.series)
        if end.dash is not None:
            add(Measurand.DASH, Quantity(Fraction(end.dash), Unit.COUNT))
        for half in (end.seat_half_angle_deg, *end.also_seats_deg):
            if half is not None:  # a gauge names either angle
                add(Measurand.SEAT_ANGLE, Quantity(exact(str(half)), Unit.DEGREE))
                add(Measurand.SEAT_ANGLE, Quantity(2 * exact(str(half)), Unit.DEGREE))
        if thread is None:
            continue
        add(Measurand.THREAD_SIZE, Quantity(exact(thread.size), Unit(thread.size_unit)))
        if thread.tpi is None:
            add(Measurand.PITCH, Quantity(exact(str(thread.pitch_mm)), Unit.MILLIMETRE))
        else:
            add(Measurand.PITCH, Quantity(thread.tpi, Unit.THREADS_PER_INCH))
    for hose in catalogue.hoses:
        add(Measurand.HOSE_TYPE, hose.type.id)
        add(Measurand.DASH, Quantity(Fraction(hose.dash), Unit.COUNT))
    for angle in (55, 60):
        add(Measurand.FLANK_ANGLE, Quantity(Fraction(angle), Unit.DEGREE))
    return {measurand: tuple(values.items()) for measurand, values in found.items()}
