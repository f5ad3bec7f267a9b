"""What it holds: its working pressures, whether it holds one that is named, the weakest part of the job.

Whether it is safe at a pressure is judged by the lowest figure that is published for the end in hand, or, of a whole
line, for the weakest of its ends, adapters and hose (:mod:`voicefit.ordering.rating`). What is asked is never put on
record: it is no working pressure of a hose.

Duty: word this. It must not rate anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis
from voicefit.dialogue import assemblies, slips
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.using import in_psi
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.subjects import subject
from voicefit.dialogue.turn import Turn
from voicefit.ordering.job_slip import adapter_ends
from voicefit.ordering.rating import lowest, rating_of
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Measurand

_OF_ALL = frozenset({"weakest", "whole", "lowest", "assembly", "everything", "entire", "complete"})
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
    if turn.piece.kind == HOSE and asked is None and not of_all and assemblies.say_assembly(turn):
        return
    weakest, parts = _weakest(turn)
    if parts > 1 and (of_all or turn.piece.kind == HOSE):
        _judge(turn, weakest, asked, psi=psi, of_all=True)
        return
    about = subject(turn, command)
    if about is None:
        return
    end = turn.knowledge.catalogue.ends[about.row]
    own = _of_end(turn, end)
    if asked is not None:
        _judge(turn, own, asked, psi=psi)
        if own is not None and float(asked.bar) <= own.bar * _SLACK:
            _say_joint(turn, end, asked, psi=psi)
        return
    figures = turn.knowledge.aftercare.pressures(about.row, psi=psi)
    if figures:
        turn.say_list(figures, "listed", "items")
    else:
        turn.say("no-pressure")
    if parts > 1 and weakest is not None and (own is None or weakest.bar < own.bar):
        _say_weakest(turn, weakest, psi=psi)


def _judge(turn: Turn, holds: _Holds | None, asked: Quantity | None, *, psi: bool, of_all: bool = False) -> None:
    if holds is None:
        turn.say("no-pressure")
        return
    words = turn.knowledge.aftercare.pressure(holds.bar, psi=psi, recalled=holds.recalled)
    if asked is None:
        _say_weakest(turn, holds, psi=psi)
    elif float(asked.bar) <= holds.bar * _SLACK:
        turn.say("holds-so", pressure=words)
    elif of_all:
        turn.say("holds-not-all", part=holds.name, pressure=words)
    else:
        turn.say("holds-not", pressure=words)
    if of_all:
        _say_not_counted(turn)
    turn.caution("maker", again=True)


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


def _ends(turn: Turn) -> list[CandidateEnd]:
    ends = (turn.record.end_of(piece) for piece in turn.job.pieces if piece.kind == END)
    rows = (turn.knowledge.row_of(end) for end in ends if end is not None)
    return [turn.knowledge.catalogue.ends[row] for row in rows if row is not None]


def _weakest(turn: Turn) -> tuple[_Holds | None, int]:
    """The weakest of the settled ends of the job, its adapters and its hoses; how many parts there are."""
    knowledge = turn.knowledge
    ends = _ends(turn)
    ordering = knowledge.aftercare.ordering
    adapters = adapter_ends(ordering, [end.id for end in ends], turn.job.goals)
    orders = [
        slips.hose_order(knowledge, turn.record, turn.job, piece) for piece in turn.job.pieces if piece.kind == HOSE
    ]
    hoses = [order.hose for order in orders if order.hose is not None]
    found = [_Holds(knowledge.hose_words(each), each.pressure_bar, each.basis is Basis.MEMORY) for each in hoses]
    rating = rating_of((*ends, *adapters))
    row = knowledge.row_of(rating.weakest or "")
    if row is not None and (own := _of_end(turn, knowledge.catalogue.ends[row])) is not None:
        found.append(own)
    return min(found, key=lambda each: each.bar, default=None), len(ends) + len(adapters) + len(orders)


def _say_not_counted(turn: Turn) -> None:
    """Which pieces of the job are not settled, and whether one has no figure."""
    knowledge, wording = turn.knowledge, turn.knowledge.wording
    open_ = []
    for index, piece in enumerate(turn.job.pieces):
        hose = piece.kind == HOSE
        order = slips.hose_order(knowledge, turn.record, turn.job, piece).hose if hose else None
        settled = order is not None if hose else piece.is_empty or turn.record.end_of(piece) is not None
        if not settled:
            open_.append(wording.phrase(f"uncounted-{piece.kind}", number=wording.count(index + 1)))
    if open_:
        turn.say("weakest-open", pieces=" and ".join(open_))
    if any(lowest(end) is None for end in _ends(turn)):
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
    turn.say("end-alone")


TABLE: Mapping[str, Does] = {"pressure": pressure}
