"""What it holds: its working pressures, whether it holds one that is named, the weakest part of the job.

Whether it is safe at a pressure is judged by the lowest figure that is published for the end in hand, or, of a whole
line, for each of its ends, settled or very likely, its adapters and its hose, the weakest that it may be. What is asked
is never put on record: it is no working pressure of a hose.

Duty: word this. It must not rate anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis
from voicefit.dialogue import assemblies, slips
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.using import in_psi
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.subjects import subject
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import fitting
from voicefit.ordering.job_slip import HoseOrder, adapter_ends
from voicefit.ordering.rating import lowest
from voicefit.ordering.slip import DecidedBy
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Measurand

_OF_ALL = frozenset({"weakest", "whole", "lowest", "assembly", "everything", "entire", "complete"})
_PARTS = frozenset({"end", "ends", "hose", "hoses", "fitting", "fittings", "both", "each", "every"})
_HIGHEST_BAR = 1000.0  # more bar than any part of a line is for: a number without a unit is P S I then
_SLACK = 1 + 1e-6  # of a converted figure


@dataclass(frozen=True, slots=True)
class _Holds:
    """What a part is good for, in bar; ``recalled`` : the figure is from memory."""

    name: str
    bar: float
    recalled: bool


def pressure(turn: Turn, command: Command) -> None:
    """The end's figures; with a pressure, whether it is within them; of the whole line, its weakest part."""
    asked = _asked(command)
    psi = in_psi(turn) if asked is None else asked.unit is Unit.PSI
    of_all = not _OF_ALL.isdisjoint(turn.heard.casefold().replace(",", " ").split())
    parts = _parts(turn)
    of_all = of_all or (asked is None and _of_other_parts(turn))
    if turn.piece.kind == HOSE and asked is None and not of_all and assemblies.say_assembly(turn):
        say_too_weak(turn, parts)
        return
    if (len(parts) > 1 and of_all) or (parts and turn.piece.kind == HOSE):
        _judge_all(turn, parts, asked, psi=psi)
        return
    about = subject(turn, command)
    if about is None:
        say_too_weak(turn, parts, None if asked is None else float(asked.bar))
        return
    end = turn.knowledge.catalogue.ends[about.row]
    own = _of_end(turn, end)
    if asked is not None:
        _judge(turn, own, asked, psi=psi)
        if own is not None and float(asked.bar) <= own.bar * _SLACK:
            _say_joint(turn, end, asked, psi=psi)
            say_too_weak(turn, parts, float(asked.bar))
        return
    figures = turn.knowledge.aftercare.pressures(about.row, psi=psi)
    if figures:
        turn.say_list(figures, "listed", "items")
    else:
        turn.say("no-pressure")
    weakest = min(parts, key=lambda each: each.bar, default=None)
    if len(parts) > 1 and weakest is not None and (own is None or weakest.bar < own.bar):
        _say_weakest(turn, weakest, psi=psi)


def _of_other_parts(turn: Turn) -> bool:
    """Whether the pressure that was said of the job's hose is asked about, and of what: "good for the light end"."""
    words = frozenset(turn.heard.casefold().replace(",", " ").split())
    return _working_bar(turn) is not None and not words.isdisjoint(_PARTS)


def _judge(turn: Turn, holds: _Holds | None, asked: Quantity, *, psi: bool) -> None:
    if holds is None:
        turn.say("no-pressure")
        return
    words = turn.knowledge.aftercare.pressure(holds.bar, psi=psi, recalled=holds.recalled)
    turn.say("holds-so" if float(asked.bar) <= holds.bar * _SLACK else "holds-not", pressure=words)
    turn.caution("maker", again=True)


def _judge_all(turn: Turn, parts: tuple[_Holds, ...], asked: Quantity | None, *, psi: bool) -> None:
    """Every part against the pressure that is asked about, else that was said of the hose; which is the weakest."""
    weakest = min(parts, key=lambda each: each.bar)
    limit = _working_bar(turn) if asked is None else float(asked.bar)
    if say_too_weak(turn, parts, limit):
        pass
    elif limit is None or asked is None:
        _say_weakest(turn, weakest, psi=psi)
    else:
        words = turn.knowledge.aftercare.pressure(weakest.bar, psi=psi, recalled=weakest.recalled)
        turn.say("holds-so", pressure=words)
    _say_not_counted(turn)
    turn.caution("maker", again=True)


def say_too_weak(turn: Turn, parts: tuple[_Holds, ...] | None = None, bar: float | None = None) -> bool:
    """Say which parts of the job hold less than a pressure in bar, else than was said of its hose; whether any do."""
    bar = _working_bar(turn) if bar is None else bar
    found = sorted(_parts(turn) if parts is None else parts, key=lambda each: each.bar)
    weak = [each for each in found if bar is not None and bar > each.bar * _SLACK]
    if bar is None or not weak:
        return False
    aftercare, psi = turn.knowledge.aftercare, in_psi(turn)
    each = [(part.name, aftercare.pressure(part.bar, psi=psi, recalled=part.recalled)) for part in weak]
    said = [turn.knowledge.wording.phrase("part-holds", part=name, pressure=words) for name, words in each]
    turn.say("too-weak", pressure=aftercare.pressure(bar, psi=psi), parts="; ".join(dict.fromkeys(said)))
    return True


def _working_bar(turn: Turn) -> float | None:
    """The highest working pressure that was said of a hose of the job."""
    said = [order.facts.pressure_bar for order in _hoses(turn)]
    return max((bar for bar in said if bar is not None), default=None)


def _say_weakest(turn: Turn, holds: _Holds, *, psi: bool) -> None:
    words = turn.knowledge.aftercare.pressure(holds.bar, psi=psi, recalled=holds.recalled)
    turn.say("weakest-of", part=holds.name, pressure=words)


def _asked(command: Command) -> Quantity | None:
    """The pressure that is asked about; a number without a unit is bar as far as a line may have so many."""
    options = [option for reading in command.about for option in reading.options]
    named = [o.value for o in options if o.measurand is Measurand.PRESSURE and isinstance(o.value, Quantity)]
    return next((each for each in named if each.unit is not Unit.BAR or float(each.bar) <= _HIGHEST_BAR), None)


def _of_end(turn: Turn, end: CandidateEnd) -> _Holds | None:
    figure = lowest(end)
    return None if figure is None else _Holds(turn.knowledge.names.end(end, brief=True), figure.low, figure.recalled)


def _hoses(turn: Turn) -> list[HoseOrder]:
    knowledge, record, job = turn.knowledge, turn.record, turn.job
    return [slips.hose_order(knowledge, record, job, piece) for piece in job.pieces if piece.kind == HOSE]


def _ends(turn: Turn) -> list[tuple[CandidateEnd, bool]]:
    """The ends of the job that are settled or very likely, and whether each is settled."""
    pieces = [piece for piece in turn.job.pieces if piece.kind == END and not piece.is_empty]
    facts = [slips.end_facts(turn.knowledge, turn.record, piece) for piece in pieces]
    rows = [(turn.knowledge.row_of(each.end or ""), each.decided_by is not DecidedBy.LIKELY) for each in facts]
    return [(turn.knowledge.catalogue.ends[row], settled) for row, settled in rows if row is not None]


def _parts(turn: Turn) -> tuple[_Holds, ...]:
    """The ends, settled or very likely, the adapters and the hoses of the job that have a figure."""
    knowledge, ends = turn.knowledge, _ends(turn)
    adapters = adapter_ends(knowledge.aftercare.ordering, [end.id for end, _ in ends], turn.job.goals)
    found = []
    for end, settled in (*ends, *((end, True) for end in adapters)):
        if (own := _of_end(turn, end)) is not None:
            name = own.name if settled else knowledge.wording.phrase("part-likely", end=own.name)
            found.append(replace(own, name=name))
    hoses = [_of_hose(turn, order) for order in _hoses(turn)]
    return (*found, *(each for each in hoses if each is not None))


def _of_hose(turn: Turn, order: HoseOrder) -> _Holds | None:
    """The hose; of several kinds that it may be, the weakest, where it is known at least how it is made."""
    knowledge, facts, hose = turn.knowledge, order.facts, order.hose
    if hose is None and (facts.hose_type or facts.reinforcement):
        every = fitting(knowledge.catalogue.hoses, replace(facts, pressure_bar=None))
        possible = (each for each in every if facts.hose_type or each.type.reinforcement)
        hose = min(possible, key=lambda each: each.pressure_bar, default=None)
    if hose is None:
        return None
    words = knowledge.hose_words(hose)
    name = words if order.hose is not None else knowledge.wording.phrase("part-possible", hose=words)
    return _Holds(name, hose.pressure_bar, hose.basis is Basis.MEMORY)


def _say_not_counted(turn: Turn) -> None:
    """Which pieces of the job are not settled, and whether one has no figure."""
    knowledge, wording = turn.knowledge, turn.knowledge.wording
    open_ = []
    for index, piece in enumerate(turn.job.pieces):
        hose = piece.kind == HOSE
        order = _of_hose(turn, slips.hose_order(knowledge, turn.record, turn.job, piece)) if hose else None
        known = None if hose else slips.end_facts(knowledge, turn.record, piece).end
        settled = order is not None if hose else piece.is_empty or known is not None
        if not settled:
            open_.append(wording.phrase(f"uncounted-{piece.kind}", number=wording.count(index + 1)))
    if open_:
        turn.say("weakest-open", pieces=" and ".join(open_))
    if any(lowest(end) is None for end, _ in _ends(turn)):
        turn.say("hose-no-figure")


def _say_joint(turn: Turn, end: CandidateEnd, asked: Quantity, *, psi: bool) -> None:
    """Of an end that holds it, the mate of its own series that does not; and that no hose is counted."""
    aftercare = turn.knowledge.aftercare
    mating = aftercare.follow(turn.knowledge.names.rows[end.id]).mating
    mates = [mate for mate in mating.mates if mate.id in mating.weaker]
    weak = min(mates, key=lambda mate: mating.weaker[mate.id].low, default=None)
    if weak is not None and float(asked.bar) > mating.weaker[weak.id].low * _SLACK:
        held = mating.weaker[weak.id]
        words = aftercare.pressure(held.low, psi=psi, recalled=held.recalled)
        turn.say("holds-not-joint", end=turn.knowledge.names.end(weak, brief=True), pressure=words)
    if all(_of_hose(turn, order) is None for order in _hoses(turn)):
        turn.say("end-alone")


TABLE: Mapping[str, Does] = {"pressure": pressure}
