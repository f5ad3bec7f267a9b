"""Readings that do not go together: which of them is to be read anew, and by which check.

Duty: that choice. Which readings contradict is judged in ``reach.py``; it must not decide when one is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from voicefit.catalogue.ends import HYDRAULIC
from voicefit.matching.diameter import SIDED
from voicefit.matching.foresight import Foresight, same_place
from voicefit.matching.posterior import Posterior
from voicefit.matching.reach import suspects
from voicefit.records import Check, Measurand, Option, Reading


def anew(
    foresight: Foresight, posterior: Posterior, unavailable: frozenset[str], against: tuple[int, ...]
) -> Check | None:
    """The check that reads anew one of the readings ``against``, the most doubtful first; or which side was measured,
    where the leader has its thread on the other side, and nobody said which.

    None where one of them was confirmed already, for then what else there is to tell comes first; nor where one is what
    the line carries: who names another trade's fluid has read nothing that could be misread.
    """
    readings, matcher = posterior.readings, foresight.matcher
    [(leader, _)] = posterior.best_parts(1)
    external = matcher.ends[leader].external
    order = suspects(matcher, readings, against, leader)
    measurands = [posterior.option(index)[0].measurand for index in order]
    if any(of_another_line(posterior.option(index)[0]) for index in order):
        return None
    confirmed = any(sum(m in reading.measurands for reading in readings) > 1 for m in measurands)
    if confirmed and not of_one_thing(posterior, against):
        return None
    checks = [valued.check for valued in foresight.valued(posterior.p, posterior, unavailable, against=against)]
    side_said = any(reading.measurands == {Measurand.THREAD_SIDE} for reading in readings)
    turned = external is not None and any(SIDED.get(each, external) != external for each in measurands)
    if turned and not side_said:
        return next((each for each in checks if each.measurand is Measurand.THREAD_SIDE), None)
    for measurand in measurands:
        possible = [
            check
            for check in checks
            if same_place(check.measurand, measurand)
            and foresight.read_before(check, readings)
            and not (side_said and check.measurand is Measurand.THREAD_SIDE)
        ]
        if possible:
            return max(possible, key=lambda check: (check.yes is None, check.information_bit))
    return None


def pair_of(
    at_odds: Mapping[int, float], readings: Sequence[Reading], check: Check, against: tuple[int, ...]
) -> tuple[int, ...]:
    """The readings ``against``, if the check reads one of them anew; else, of those ``at_odds``, the one that it does
    and the one that speaks most for the other end."""
    asked = [index for index in at_odds if check.measurand in readings[index].measurands]
    if not asked or any(check.measurand in readings[index].measurands for index in against):
        return against
    first = max(asked, key=lambda index: abs(at_odds[index]))
    other = max(at_odds, key=lambda index: -at_odds[index] if at_odds[first] > 0 else at_odds[index])
    return min(first, other), max(first, other)


def of_another_line(option: Option) -> bool:
    """Whether it says that the line carries what no hydraulic line does."""
    return option.measurand is Measurand.LINE and not option.negated and option.value != HYDRAULIC


def of_one_thing(posterior: Posterior, some: tuple[int, ...]) -> bool:
    """Whether they are two readings of the same."""
    first, *others = [posterior.option(index)[0].measurand for index in some]
    return any(same_place(first, other) for other in others)
