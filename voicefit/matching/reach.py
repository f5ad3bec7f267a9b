"""What the checks that were made exclude, and whether the readings fit any end together.

Duty: judge evidence without priors, and readings at their word. It must not choose a check.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from voicefit.matching.claims import CLAIMS
from voicefit.matching.matcher import Matcher
from voicefit.records import Reading


def is_check(reading: Reading) -> bool:
    """Whether something was measured, seen or felt; a marking, a belief or a country is none."""
    return not reading.measurands & CLAIMS


def reach(matcher: Matcher, readings: Sequence[Reading]) -> tuple[int, ...]:
    """Numbers of the parts that the checks made have not excluded, the best first.

    A part is excluded when some other part explains the checks better by ``decision.excluded_odds``. The prior and all
    claims are left out.
    """
    if not matcher.ends:
        return ()
    by_end = matcher.joint_log_likelihood([reading for reading in readings if is_check(reading)])
    evidence = np.full(len(matcher.parts), -np.inf)
    np.maximum.at(evidence, matcher.part_of[:-1], by_end[:-1])
    parts = np.flatnonzero(evidence >= evidence.max() - np.log(matcher.model.decision.excluded_odds))
    return tuple(int(part) for part in parts[np.argsort(-evidence[parts], kind="stable")])


def conflict(matcher: Matcher, readings: Sequence[Reading]) -> tuple[int, ...]:
    """The one or two readings that spoil it, where all together fit no end at their word; empty where they do.

    One that fits no end by itself; two that do not go together; else the one without which the others are likeliest.
    """
    if not readings or not matcher.ends:
        return ()
    fits = np.array([_fits(matcher, reading) for reading in readings])
    if fits.all(axis=0).any():
        return ()
    for count in (1, 2):
        unfit = [some for some in combinations(range(len(readings)), count) if not fits[list(some)].all(axis=0).any()]
        if unfit:  # two readings of one thing that differ say it more plainly than two of different things
            return min(unfit, key=lambda some: len({matcher.aspect(m) for i in some for m in readings[i].measurands}))
    without = [
        matcher.log_evidence([*readings[:index], *readings[index + 1 :]]) + matcher.log_evidence([reading])
        for index, reading in enumerate(readings)
    ]
    return (int(np.argmax(without)),)


def at_odds(matcher: Matcher, readings: Sequence[Reading], row: int, other: int) -> dict[int, float]:
    """The readings that do not go together as between two ends, with the nats by which each speaks for ``row``.

    Each is twice as likely or more of the end that it speaks for: were it the other, it is likelier a slip than not.
    Empty where all that say so much speak for one of the two.
    """
    by_index = {index: matcher.log_likelihood(reading) for index, reading in enumerate(readings)}
    speaks = {index: float(by_end[row] - by_end[other]) for index, by_end in by_index.items()}
    found = {index: nats for index, nats in speaks.items() if abs(nats) >= np.log(2)}
    return found if len({nats > 0 for nats in found.values()}) > 1 else {}


def known(matcher: Matcher, reading: Reading) -> bool:
    """Whether any end has what the reading says, by itself."""
    return bool(_fits(matcher, reading).any())


def suspects(matcher: Matcher, readings: Sequence[Reading], some: Sequence[int], leader: int) -> tuple[int, ...]:
    """Some of the readings, first the one that fits row ``leader`` worst, against the end that it fits best."""
    lost = {}
    for index in some:
        by_end = matcher.log_likelihood(readings[index])[:-1]
        lost[index] = float(by_end.max() - by_end[leader])
    return tuple(sorted(some, key=lambda index: -lost[index]))


def _fits(matcher: Matcher, reading: Reading) -> NDArray[np.bool_]:
    """For each end, whether any way to take the reading fits it without a slip."""
    found = np.zeros(len(matcher.ends), dtype=np.bool_)
    for option in reading.options:
        aspect = matcher.aspect(option.measurand)
        found |= aspect.fits(option)[aspect.class_of[:-1]]
    return found
