"""An end whose thread nobody measured: its tube alone tells the size.

Duty: that such an end is not concluded while its thread can be measured. It must not choose any other check.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue.snapshot import Belief
from voicefit.matching import Advisor, Posterior
from voicefit.records import Advice, Certainty, Measurand

_SIZES = frozenset(
    {Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.THREAD_SIZE, Measurand.DASH, Measurand.SERIES}
)


def is_so(belief: Belief) -> bool:
    """Whether an end is very likely, and its thread was not measured though a tube was."""
    said = {each.option.measurand for each in belief.taken if not each.option.negated}
    likely = belief.advice.certainty is Certainty.LIKELY
    return likely and Measurand.TUBE_OUTSIDE_DIAMETER in said and not said & _SIZES


def advise(advisor: Advisor, posterior: Posterior, unavailable: frozenset[str], put_off: frozenset[str]) -> Advice:
    """The advice on an end; where it would conclude from the tube alone, the diameter of the thread is asked for: tubes
    of neighbouring sizes lie nearer to each other than their threads, and a number may have been meant of either."""
    advice = advisor.advise_on(posterior, unavailable, put_off)
    said = {o.measurand for reading in posterior.readings for o in reading.options if not o.negated}
    if not advice.identified or Measurand.TUBE_OUTSIDE_DIAMETER not in said or said & _SIZES:
        return advice
    check = next((each for each in advisor.worth(posterior, unavailable) if each.measurand in _SIZES), None)
    return advice if check is None else replace(advice, checks=(check,), certainty=Certainty.LIKELY)
