"""What a session makes of the advice on an end.

An end is not concluded from its tube alone while its thread can be measured: tubes of neighbouring sizes lie nearer to
each other than their threads, and a number may have been meant of either. An end of another trade is settled before it
is known which one it is, for all of them are refused: who says that the line carries refrigerant has said so; who says
that it is no hydraulic oil leaves open what else. What was only put off, or said unasked, is asked after all when
nothing else is left.

Duty: these judgements. It must not word anything, and must not choose checks as the advisor does.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.catalogue.ends import HYDRAULIC
from voicefit.dialogue.snapshot import Belief
from voicefit.matching import Advisor, Posterior
from voicefit.records import Advice, Certainty, Measurand

_SIZES = frozenset(
    {Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.THREAD_SIZE, Measurand.DASH, Measurand.SERIES}
)


def amended(
    advice: Advice,
    advisor: Advisor,
    posterior: Posterior,
    impossible: frozenset[str],
    put_off: frozenset[str],
    tried: frozenset[str],
) -> Advice:
    """The advice; ids of checks that cannot be made, were put off, and were asked in vain. What was asked in vain is
    not asked again, and nothing is concluded for want of its answer: only a reading, or that it cannot be told, makes
    an end surer."""
    if _of_another_trade(advisor, posterior):
        return replace(advice, checks=(), certainty=Certainty.IDENTIFIED, again=False, nothing_fits=False)
    if advice.identified and _by_its_tube(
        {o.measurand for reading in posterior.readings for o in reading.options if not o.negated}
    ):
        check = next((each for each in advisor.worth(posterior, impossible) if each.measurand in _SIZES), None)
        advice = advice if check is None else replace(advice, checks=(check,), certainty=Certainty.LIKELY)
    if advice.check is None and put_off and not advice.identified:
        return advisor.advise_on(posterior, impossible, tried)
    said = _said_unasked(advisor, posterior)
    if not advice.contradiction and any(check.id in said for check in advice.checks):
        other = advisor.advise_on(posterior, impossible, put_off | tried | said)
        return advice if other.check is None else other
    return advice


def is_unmeasured(belief: Belief) -> bool:
    """Whether an end is very likely, and its thread was not measured though a tube was."""
    said = {each.option.measurand for each in belief.taken if not each.option.negated}
    return belief.advice.certainty is Certainty.LIKELY and _by_its_tube(said)


def _by_its_tube(said: set[Measurand]) -> bool:
    return Measurand.TUBE_OUTSIDE_DIAMETER in said and not said & _SIZES


def _of_another_trade(advisor: Advisor, posterior: Posterior) -> bool:
    """Whether what leads is of another trade, by what was said, and not loosely, of what the line carries."""
    ends, decision = advisor.matcher.ends, advisor.matcher.model.decision
    line = ends[posterior.best_parts(1)[0][0]].line
    if line == HYDRAULIC:
        return False
    first = [reading.options[0] for reading in posterior.readings if len(reading.options) == 1]
    said = [option for option in first if option.measurand is Measurand.LINE and option.hedge is None]
    if any(not option.negated and option.value == line for option in said):
        least = decision.leads_posterior
    elif any(option.negated and option.value == HYDRAULIC for option in said):
        least = decision.likely_posterior
    else:
        return False
    return sum(float(p) for end, p in zip(ends, posterior.p, strict=False) if end.line == line) >= least


def _said_unasked(advisor: Advisor, posterior: Posterior) -> frozenset[str]:
    """Ids of the yes-or-no checks whose very answer was said unasked: asked only where nothing else is left."""
    sure = (reading.options[0] for reading in posterior.readings if len(reading.options) == 1)
    said = {(option.measurand, option.value) for option in sure if option.hedge is None}
    return frozenset(id_ for id_, entry in advisor.checks.items() if (entry.measurand, entry.value) in said)
