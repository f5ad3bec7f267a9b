"""Ends of other trades: when it is settled that one is in the hand.

What the line carries decides it before the end itself is known: whichever of that trade's ends it is, it is refused.
Who says that it carries refrigerant has said so; who says that it is no hydraulic oil leaves open what else.

Duty: that judgement. It must not word the refusal (``standing.py`` does).
"""

from __future__ import annotations

from collections.abc import Sequence

from voicefit.catalogue.ends import HYDRAULIC, CandidateEnd
from voicefit.matching import MeasurementModel, Posterior
from voicefit.records import Measurand, Option


def is_settled(ends: Sequence[CandidateEnd], model: MeasurementModel, posterior: Posterior) -> bool:
    """Whether what leads is of another trade, by what was said of its line."""
    line = ends[posterior.best_parts(1)[0][0]].line
    if line == HYDRAULIC:
        return False
    said = _lines(posterior)
    if any(not option.negated and option.value == line for option in said):
        least = model.decision.leads_posterior
    elif any(option.negated and option.value == HYDRAULIC for option in said):
        least = model.decision.likely_posterior
    else:
        return False
    return sum(float(p) for end, p in zip(ends, posterior.p, strict=False) if end.line == line) >= least


def _lines(posterior: Posterior) -> list[Option]:
    """What was said, and not loosely, of what the line carries."""
    return [
        reading.options[0]
        for reading in posterior.readings
        if len(reading.options) == 1
        if reading.options[0].measurand is Measurand.LINE and reading.options[0].hedge is None
    ]
