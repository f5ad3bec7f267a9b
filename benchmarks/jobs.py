"""Simulated identifications: a technician, an advisor or a fixed order, and what came of it.

Duty: run one identification to its end and gather many. It must not print, and must not measure time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from benchmarks.spoken import Speaker
from benchmarks.technician import Technician
from voicefit.matching import Advisor, Posterior, in_vain
from voicefit.records import Reading

FEW = 4
LIKELY = 0.9
MOST_CHECKS = 40  # a job that goes on longer is stopped and counts as open

# A sheet that is worked through from top to bottom, and again from the top, with the same rule for when to stop.
FIXED_ORDER = (
    "gender",
    "flange",
    "coupler",
    "staple",
    "banjo",
    "diameter",
    "pitch",
    "taper",
    "flank",
    "seat-form",
    "seat-angle",
    "nose",
    "seal",
    "tube",
    "flange-head",
    "flange-thickness",
    "bolt-long",
    "bolt-short",
    "profile",
    "hex",
)
ROUNDS = 3


@dataclass(frozen=True)
class Job:
    """One identification. ``kind`` : identified, open or nothing. ``two`` : the truth is one of the two named.

    ``grave`` : it is wrong, and what was named would let go. ``turns`` : prompts answered, and values put right.
    ``steps`` : the leading part's probability after each turn, and whether it is right.
    """

    kind: str
    right: bool
    two: bool
    checks: int
    seconds: float
    turns: int = 0
    grave: bool = False
    steps: tuple[tuple[float, bool], ...] = ()


@dataclass
class Tally:
    """Figures over many jobs."""

    jobs: list[Job] = field(default_factory=list)

    def share(self, kind: str, *, right: bool | None = None) -> float:
        wanted = [job for job in self.jobs if job.kind == kind and (right is None or job.right == right)]
        return len(wanted) / max(len(self.jobs), 1)

    def likely_right(self) -> float:
        """Of all turns after which a part was called likely and no more, the share in which it was right."""
        likely = [right for job in self.jobs for p, right in job.steps if p >= LIKELY]
        return sum(likely) / max(len(likely), 1)

    def figures(self) -> dict[str, float]:
        jobs = self.jobs
        opened = [job for job in jobs if job.kind == "open"]
        identified = [job for job in jobs if job.kind == "identified"]
        checks, seconds = [job.checks for job in jobs], [job.seconds for job in jobs]
        return {
            "trials": len(jobs),
            "right_at_stop": sum(job.right for job in jobs) / len(jobs),
            "right_when_identified": sum(job.right for job in identified) / max(len(identified), 1),
            "confident_wrong": self.share("identified", right=False),
            "confident_wrong_grave": sum(job.grave for job in identified) / len(jobs),
            "open": self.share("open"),
            "open_truth_in_two": sum(job.two for job in opened) / len(opened) if opened else 1.0,
            "nothing_fits": self.share("nothing"),
            "likely_right": self.likely_right(),
            "checks_mean": float(np.mean(checks)),
            "turns_mean": float(np.mean([job.turns for job in jobs])),
            "four_or_fewer": sum(job.checks <= FEW and job.kind == "identified" for job in jobs) / len(jobs),
            "checks_p95": float(np.percentile(checks, 95)),
            "seconds_mean": float(np.mean(seconds)),
            "seconds_p95": float(np.percentile(seconds, 95)),
        }


def advised(
    advisor: Advisor, row: int, random: np.random.Generator, lasting: float, speaker: Speaker | None = None
) -> Job:
    """The end in ``row``, identified by the advisor's checks until it stops; in words, where there is a speaker."""
    matcher = advisor.matcher
    technician = Technician(matcher.ends[row], random, lasting)
    readings: list[Reading] = []
    unavailable: set[str] = set()
    steps: list[tuple[float, bool]] = []
    seconds, turns = 0.0, 0
    turn_s = matcher.model.decision.turn_s
    while True:
        posterior = Posterior(advisor.matcher, readings, in_vain(advisor.checks, unavailable))
        advice = advisor.advise_on(posterior, frozenset(unavailable))
        right, two = _truth(advisor, posterior, row)
        if advice.identified or not advice.checks or len(readings) >= MOST_CHECKS:
            break
        if readings:
            steps.append((float(posterior.part_p[:-1].max()), right))
        answered = []
        for check in advice.checks:
            reading = technician.answer(check)
            seconds += check.time_s
            if reading is None:
                unavailable.add(check.id)
            else:
                answered.append((check, reading))
        again = 0
        if speaker is not None and answered:
            heard, again = speaker.heard(answered)
            readings += heard
        else:
            readings += [reading for _, reading in answered]
        turns += 1 + again
        seconds += turn_s * (1 + again)
    turns += technician.corrections
    seconds += technician.corrections * turn_s
    if advice.standoff is not None:
        two = int(matcher.part_of[row]) in matcher.part_of[list(advice.standoff)]
    kind = "identified" if advice.identified else "nothing" if advice.nothing_fits else "open"
    named = int(matcher.part_of[posterior.best_parts(1)[0][0]])
    grave = not right and bool(advisor.stakes.harms.grave(named)[matcher.part_of[row]])
    return Job(kind, right, two, len(readings), seconds, turns, grave, tuple(steps))


def fixed_order(advisor: Advisor, row: int, random: np.random.Generator, lasting: float) -> Job:
    """The same with the checks of a sheet in its order. A line that cannot be answered costs nothing."""
    matcher = advisor.matcher
    technician = Technician(matcher.ends[row], random, lasting)
    readings: list[Reading] = []
    seconds = 0.0
    right = two = False
    for name in _sheet():
        check = advisor.checks[name].check()
        reading = technician.answer(check)
        if reading is None:
            continue
        seconds += check.time_s + matcher.model.decision.turn_s
        readings.append(reading)
        posterior = Posterior(matcher, readings)
        right, two = _truth(advisor, posterior, row)
        if advisor.advise_on(posterior).identified:
            return Job("identified", right, two, len(readings), seconds)
    return Job("open", right, two, len(readings), seconds)


def drawn(
    advisor: Advisor, rows: Sequence[int], seed: int, count: int, *, by_prior: bool
) -> Iterator[tuple[int, np.random.Generator]]:
    """So many true ends, uniformly over ``rows`` or as often as the prior has them, each with the chance of its job:
    a job is the same whatever is asked in those before it, so that two states of the model are compared job by job."""
    p = None
    if by_prior:
        p = np.exp(advisor.matcher.log_prior[np.asarray(rows)])
        p = p / p.sum()
    for job in range(count):
        random = np.random.default_rng([seed, int(by_prior), job])
        yield int(random.choice(np.asarray(rows), p=p)), random


def calibration(jobs: Sequence[Job]) -> list[dict[str, float]]:
    """Reliability of the leading part's probability: by range, its mean against the share that was right."""
    steps = [step for job in jobs for step in job.steps]
    edges = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0 + 1e-9)
    table = []
    for low, high in pairwise(edges):
        inside = [step for step in steps if low <= step[0] < high]
        if inside:
            table.append(
                {
                    "from": low,
                    "to": min(high, 1.0),
                    "count": len(inside),
                    "said": float(np.mean([p for p, _ in inside])),
                    "true": float(np.mean([right for _, right in inside])),
                }
            )
    return table


def _sheet() -> Iterator[str]:
    for _ in range(ROUNDS):
        yield from FIXED_ORDER


def _truth(advisor: Advisor, posterior: Posterior, row: int) -> tuple[bool, bool]:
    """Whether the leading part is the true one, and whether it is one of the two leading parts."""
    part_of = advisor.matcher.part_of
    best = [int(part_of[leader]) for leader, _ in posterior.best_parts(2)]
    true = int(part_of[row])
    return bool(best) and best[0] == true, true in best
