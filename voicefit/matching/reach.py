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

    ``log_evidence`` : by part, of the readings that are checks, without the prior: shape (n_parts,).
    ``parts`` : numbers of the parts within reach, the best first.
    """

    log_evidence: Floats
    parts: tuple[int, ...]


def is_check(reading: Reading) -> bool:
    """Whether something was measured, seen or felt; a marking, a belief or a country is none."""
    return not reading.measurands & CLAIMS


def reach(matcher: Matcher, readings: Sequence[Reading]) -> Reach:
    """The parts that the checks made have not excluded.

    A part is excluded when some other part explains the checks better by ``decision.exclusion_odds``. The prior and all
    claims are left out: "identified" never rests on them.
    """
    made = [reading for reading in readings if is_check(reading)]
    by_end = matcher.joint_log_likelihood(made)[:-1]
    evidence = np.full(len(matcher.parts), -np.inf)
    np.maximum.at(evidence, matcher.part_of[:-1], by_end)
    if not len(evidence):
        return Reach(evidence, ())
    floor = evidence.max() - np.log(matcher.model.decision.exclusion_odds)
    parts = np.flatnonzero(evidence >= floor)
    order = parts[np.argsort(-evidence[parts], kind="stable")]
    return Reach(evidence, tuple(int(part) for part in order))


def conflict(matcher: Matcher, readings: Sequence[Reading]) -> tuple[int, ...]:
    """Indices of the fewest readings that, taken at their word, fit no end together; empty if all of them do."""
    if not readings or not matcher.ends:
        return ()
    fits = np.array([_fits(matcher, reading) for reading in readings])
    if fits.all(axis=0).any():
        return ()
    for count in range(1, min(MOST_IN_CONFLICT, len(readings)) + 1):
        for some in combinations(range(len(readings)), count):
            if not fits[list(some)].all(axis=0).any():
                return some
    return tuple(range(len(readings)))


def _fits(matcher: Matcher, reading: Reading) -> NDArray[np.bool_]:
    """For each end, whether any way to take the reading fits it without a slip."""
    found = np.zeros(len(matcher.ends), dtype=np.bool_)
    for option in reading.options:
        aspect = matcher.aspect(option.measurand)
        found |= aspect.literal(option)[aspect.class_of[:-1]]
    return found
