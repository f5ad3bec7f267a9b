"""A technician who answers checks truthfully of the end in the hand, measuring a thread of the middle of its limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from voicefit.catalogue import CandidateEnd
from voicefit.driver import Conversation
from voicefit.quantities import Quantity
from voicefit.records import Measurand, Option

MOST_CHECKS = 24
CANNOT_TELL = "can't tell"


def answer(conversation: Conversation, end: str, said: Mapping[str, str], say: Callable[[str], None]) -> None:
    """Answer what is asked, truthfully, until the end is identified.

    ``end`` : id of the end in the hand. ``said`` : by measurand, the words to use; sizes are measured where not given.
    """
    held = conversation.knowledge.catalogue.by_id[end]
    for _ in range(MOST_CHECKS):
        snapshot = conversation.session.snapshot()
        check = snapshot.advice.check
        if snapshot.advice.identified or check is None:
            return
        truth = None if check.yes is None else is_true(held, check.yes)
        if truth is not None:
            say("yes" if truth else "no")
        else:
            say(said.get(check.measurand.value) or measured(held, check.measurand))


def measured(end: CandidateEnd, measurand: Measurand) -> str:
    """A size of the end as it is typed by a caliper, or "can't tell"."""
    thread, flange = end.thread, end.flange
    size: float | None = None
    match measurand:
        case Measurand.OUTSIDE_DIAMETER | Measurand.INSIDE_DIAMETER if thread is not None:
            side = "outside" if end.external else "inside"
            limits = thread.external_major_mm if end.external else thread.internal_minor_mm
            return f"{side} {sum(limits) / 2:.2f} mm"
        case Measurand.PITCH if thread is not None:
            return f"{thread.pitch_mm:g} mm pitch" if thread.tpi is None else f"{float(thread.tpi):g} pitch"
        case Measurand.HEX if end.hex_mm:
            size = end.hex_mm[0]
        case Measurand.TUBE_OUTSIDE_DIAMETER:
            size = end.tube_od_mm
        case Measurand.FLANGE_HEAD_DIAMETER if flange is not None:
            size = flange.head_diameter_mm
        case Measurand.FLANGE_HEAD_THICKNESS if flange is not None:
            size = flange.head_thickness_mm
        case Measurand.BOLT_LONG if flange is not None:
            size = flange.bolt_long_mm
        case Measurand.BOLT_SHORT if flange is not None:
            size = flange.bolt_short_mm
    return CANNOT_TELL if size is None else f"{size:.1f} mm"


def is_true(end: CandidateEnd, option: Option) -> bool | None:
    """Whether what "yes" means is so of the end in the hand; ``None`` where the tables do not say."""
    thread, value = end.thread, option.value
    match option.measurand:
        case Measurand.PITCH if thread is not None and isinstance(value, Quantity):
            so = abs(float(value.pitch_mm) - thread.pitch_mm) < 0.005
        case Measurand.SEAT_ANGLE if isinstance(value, Quantity) and end.seat_half_angle_deg is not None:
            so = float(value.value) in (end.seat_half_angle_deg, 2 * end.seat_half_angle_deg)
        case Measurand.FLANK_ANGLE if thread is not None and isinstance(value, Quantity):
            so = float(value.value) == thread.flank_angle_deg
        case Measurand.SEAT_FORM:
            so = value == end.seat_form
        case Measurand.SEAL:
            so = value == end.seal
        case Measurand.THREAD_SIDE:
            so = (value == "external") == bool(end.external)
        case Measurand.NOSE if end.seat_form == "convex":
            so = value == ("ball" if end.ball_nose_share > 0.5 else "straight")
        case Measurand.BODY:
            so = (value == "housing") == (end.gender == "port")
        case Measurand.SHAPE:
            so = str(value) in end.series
        case _:
            return None
    return so != option.negated
