"""What is said of a hose assembly as a whole: what it holds and by which part, and whether it bears its bend.

Duty: word what :mod:`voicefit.ordering.assembly` computes. It must not choose a hose.
"""

from __future__ import annotations

import math

from voicefit.catalogue.ends import Basis
from voicefit.dialogue import slips
from voicefit.dialogue.turn import Turn
from voicefit.ordering.assembly import Assembly, Fault
from voicefit.ordering.job_slip import HoseOrder, adapter_ends
from voicefit.records import Measurand

STEP_DEG = 5  # an angle of a hose is said so finely
STEP_MM = 10  # and a length of it
DECIDES_A_BEND = frozenset(
    {
        Measurand.ROUTE_BEND,
        Measurand.ROUTE_RADIUS,
        Measurand.LENGTH,
        Measurand.HOSE_TYPE,
        Measurand.DASH,
        Measurand.HOSE_BORE,
    }
)


def judged(turn: Turn, order: HoseOrder) -> Assembly | None:
    """The assembly of a hose of the job in hand, with its ends and adapters; ``None``: no one hose is chosen yet."""
    if order.hose is None:
        return None
    ordering = turn.knowledge.aftercare.ordering
    return ordering.assess(order.hose, order.facts, adapter_ends(ordering, order.facts.ends, turn.job.goals))


def say_assembly(turn: Turn, *, asked: bool = True) -> bool:
    """Rating with its weakest part and the design factor, then bend. ``False``: no one hose is chosen yet.

    ``asked`` : the person wants to hear it; else the bend is left out where there is more than a breath to say.
    """
    knowledge = turn.knowledge
    assembly = _in_hand(turn)
    if assembly is None:
        return False
    turn.say(
        "hose-holds",
        pressure=knowledge.aftercare.pressure(
            assembly.rating.bar or 0.0, psi=turn.settings.length_unit == "in", recalled=assembly.recalled
        ),
        part=_weakest(turn, assembly),
        factor=knowledge.wording.count(round(assembly.design_factor)),
    )
    if assembly.rating.without_figure:
        turn.say("hose-no-figure")
    say = turn.say if asked else turn.add
    radius = _radius(turn, assembly)
    if assembly.most_turn_deg is None:
        say("hose-bend", radius=radius)
    else:
        angle = knowledge.wording.count(STEP_DEG * int(assembly.most_turn_deg / STEP_DEG))
        say("hose-turn", radius=radius, angle=angle)
    return True


def say_convention(turn: Turn) -> None:
    """How an elbow angle is counted, when one was just taken."""
    if Measurand.ELBOW_ANGLE in _new(turn):
        turn.say("elbow-convention")


def say_bend(turn: Turn) -> None:
    """Whether the hose bears the bend of its route, when something that decides it was just taken."""
    assembly = _in_hand(turn) if _new(turn) & DECIDES_A_BEND else None
    if assembly is None:
        return
    count = turn.knowledge.wording.count
    if Fault.BEND in assembly.faults:
        turn.say("hose-too-tight", radius=_radius(turn, assembly))
    elif Fault.SHORT in assembly.faults:
        turn.say("hose-too-short", length=count(STEP_MM * math.ceil(assembly.least_length_mm / STEP_MM)))
    elif assembly.facts.routed_bend_deg is not None or assembly.facts.routed_radius_mm is not None:
        turn.say("hose-bears-it")


def _radius(turn: Turn, assembly: Assembly) -> str:
    """The least bend radius, and whether it was recalled."""
    wording, hose = turn.knowledge.wording, assembly.hose
    words = wording.phrase("hose-radius", radius=wording.count(round(hose.bend_radius_mm)))
    return wording.phrase("from-memory-within", value=words) if hose.basis is Basis.MEMORY else words


def _in_hand(turn: Turn) -> Assembly | None:
    return judged(turn, slips.hose_order(turn.knowledge, turn.record, turn.job, turn.piece))


def _new(turn: Turn) -> frozenset[Measurand]:
    """What was measured in this turn."""
    new = [kept.reading for kept in turn.piece.readings if kept.number in turn.new_readings]
    return frozenset(measurand for reading in new for measurand in reading.measurands)


def _weakest(turn: Turn, assembly: Assembly) -> str:
    row = turn.knowledge.row_of(assembly.rating.weakest or "")
    return turn.knowledge.wording.plain("hose") if row is None else turn.knowledge.end_words(row)
