"""What is said of a hose assembly as a whole: what it holds and by which part, how far it may be bent.

Duty: word what :mod:`voicefit.ordering.assembly` computes. It must not choose a hose.
"""

from __future__ import annotations

from voicefit.dialogue import slips
from voicefit.dialogue.turn import Turn
from voicefit.ordering.assembly import Assembly
from voicefit.ordering.job_slip import adapter_ends
from voicefit.records import Measurand

STEP_DEG = 5  # an angle of a hose is said so finely


def say_assembly(turn: Turn) -> bool:
    """Rating with its weakest part and the design factor, then bend. ``False``: no one hose is chosen yet."""
    knowledge = turn.knowledge
    order = slips.hose_order(knowledge, turn.record, turn.job, turn.piece)
    if order.hose is None:
        return False
    ordering = knowledge.aftercare.ordering
    ends = adapter_ends(ordering, order.facts.ends, turn.job.goals)
    assembly = ordering.assess(order.hose, order.facts, ends)
    turn.say(
        "hose-holds",
        pressure=knowledge.aftercare.pressure(assembly.rating.bar or 0.0, psi=turn.settings.length_unit == "in"),
        part=_weakest(turn, assembly),
        factor=knowledge.wording.count(round(assembly.design_factor)),
    )
    if assembly.rating.without_figure:
        turn.say("hose-no-figure")
    radius = knowledge.wording.count(round(assembly.hose.bend_radius_mm))
    if assembly.most_turn_deg is None:
        turn.say("hose-bend", radius=radius)
    else:
        angle = knowledge.wording.count(STEP_DEG * int(assembly.most_turn_deg / STEP_DEG))
        turn.say("hose-turn", radius=radius, angle=angle)
    return True


def say_convention(turn: Turn) -> None:
    """How an elbow angle is counted, when one was just taken."""
    new = [kept.reading for kept in turn.piece.readings if kept.number in turn.new_readings]
    if any(Measurand.ELBOW_ANGLE in reading.measurands for reading in new):
        turn.say("elbow-convention")


def _weakest(turn: Turn, assembly: Assembly) -> str:
    row = turn.knowledge.row_of(assembly.rating.weakest or "")
    return turn.knowledge.wording.plain("hose") if row is None else turn.knowledge.end_words(row)
