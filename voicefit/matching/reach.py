"""What the checks that were made exclude, and whether the readings fit any end together.

Duty: judge evidence without priors, and readings at their word. It must not choose a check.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from voicefit.matching.aspect import Floats
from voicefit.matching.claims import CLAIMS
from voicefit.matching.matcher import Matcher
from voicefit.records import Reading

MOST_IN_CONFLICT = 3  # readings that are looked at together


@dataclass(frozen=True, slots=True)
class Reach:
    """What is within reach of the checks made.

    ``log_likelihood`` : by end and "none", of the readings that are checks, without the prior: (n_ends + 1,).
    ``parts`` : numbers of the parts within reach, the best first.
    """

    log_likelihood: Floats
    parts: tuple[int, ...]


def is_check(reading: Reading) -> bool:
    """Whether something was measured, seen or felt; a marking, a belief or a country is none."""
    return not reading.measurands & CLAIMS


def reach(matcher: Matcher, readings: Sequence[Reading], odds: float | None = None) -> Reach:
    """The parts that the checks made have not excluded.

    A part is excluded when some other part explains the checks better by ``odds`` (``decision.exclusion_odds`` when not
    given). The prior and all claims are left out: "identified" never rests on them.
    """
    odds = matcher.model.decision.exclusion_odds if odds is None else odds
    made = [reading for reading in readings if is_check(reading)]
    by_end = matcher.joint_log_likelihood(made)
    if not matcher.ends:
        return Reach(by_end, ())
    evidence = np.full(len(matcher.parts), -np.inf)
    np.maximum.at(evidence, matcher.part_of[:-1], by_end[:-1])
    parts = np.flatnonzero(evidence >= evidence.max() - np.log(odds))
    order = parts[np.argsort(-evidence[parts], kind="stable")]
    return Reach(by_end, tuple(int(part) for part in order))


def rests_on(matcher: Matcher, readings: Sequence[Reading], part: int) -> Reach | None:
    """What comes within reach when one reading is left out: the widest such reach, or ``None``.

    A conclusion that one misheard number or one wrong leaf can overturn is not safe, however great its odds: after
    leaving out any one check, every other part must still be less likely by ``decision.odds_without_one``.
    """
    made = [reading for reading in readings if is_check(reading)]
    widest = None
    for index in range(len(made)):
        rest = (*made[:index], *made[index + 1 :])
        near = reach(matcher, rest, matcher.model.decision.odds_without_one)
        overturned = near.parts != (part,)
        if overturned and (widest is None or len(near.parts) > len(widest.parts)):
            widest = near
    return widest


def conflict(matcher: Matcher, readings: Sequence[Reading]) -> tuple[int, ...]:
    """Indices of the fewest readings that, taken at their word, fit no end together; empty if all of them do."""
    if not readings or not matcher.ends:
        return ()
    fits = np.array([_fits(matcher, reading) for reading in readings])
    if fits.all(axis=0).any():
        return ()
    for count in range(1, min(MOST_IN_CONFLICT, len(readings)) + 1):
        unfit = [some for some in combinations(range(len(readings)), count) if not fits[list(some)].all(axis=0).any()]
        if unfit:  # two readings of one thing that differ say it more plainly than two of different things
            return min(unfit, key=lambda some: len({matcher.aspect(m) for i in some for m in readings[i].measurands}))
    return tuple(range(len(readings)))


def _fits(matcher: Matcher, reading: Reading) -> NDArray[np.bool_]:
    """For each end, whether any way to take the reading fits it without a slip."""
    found = np.zeros(len(matcher.ends), dtype=np.bool_)
    for option in reading.options:
        aspect = matcher.aspect(option.measurand)
        found |= aspect.fits(option)[aspect.class_of[:-1]]
    return found
