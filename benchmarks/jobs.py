"""Simulated identifications: a technician, an advisor or a fixed order, and what came of it.

Duty: run one identification to its end and gather many. It must not print, and must not measure time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from benchmarks.technician import Technician
from voicefit.matching import Advisor, Posterior
from voicefit.records import Reading

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
    """One identification. ``kind`` : identified, open or nothing. ``two`` : the truth is one of the two named."""

    kind: str
    right: bool
    two: bool
    checks: int
    seconds: float
    steps: tuple[tuple[float, bool], ...] = ()  # the leading part's probability after each answer, and if it is right


@dataclass
class Tally:
    """Figures over many jobs."""

    jobs: list[Job] = field(default_factory=list)

    def share(self, kind: str, *, right: bool | None = None) -> float:
        wanted = [job for job in self.jobs if job.kind == kind and (right is None or job.right == right)]
        return len(wanted) / max(len(self.jobs), 1)

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
            "open": self.share("open"),
            "open_truth_in_two": sum(job.two for job in opened) / len(opened) if opened else 1.0,
            "nothing_fits": self.share("nothing"),
            "checks_mean": float(np.mean(checks)),
            "checks_p95": float(np.percentile(checks, 95)),
            "seconds_mean": float(np.mean(seconds)),
            "seconds_p95": float(np.percentile(seconds, 95)),
        }


def advised(advisor: Advisor, row: int, random: np.random.Generator, lasting: float) -> Job:
    """The end in ``row``, identified by the advisor's checks until it stops."""
    matcher = advisor.matcher
    technician = Technician(matcher.ends[row], random, lasting)
    readings: list[Reading] = []
    unavailable: set[str] = set()
    steps: list[tuple[float, bool]] = []
    seconds = 0.0
    for checks in range(MOST_CHECKS + 1):
        posterior = matcher.posterior(readings)
        advice = advisor.advise_on(posterior, frozenset(unavailable))
        right, two = _truth(advisor, posterior, row)
        if readings:
            steps.append((float(posterior.part_p[:-1].max()), right))
        if advice.identified:
            return Job("identified", right, two, checks, seconds, tuple(steps))
        if advice.check is None or checks == MOST_CHECKS:
            kind = "nothing" if advice.nothing_fits else "open"
            if advice.standoff is not None:
                two = int(matcher.part_of[row]) in matcher.part_of[list(advice.standoff)]
            return Job(kind, right, two, checks, seconds, tuple(steps))
        seconds += advice.check.time_s + matcher.model.decision.turn_s
        reading = technician.answer(advice.check)
        if reading is None:
            unavailable.add(advice.check.id)
        else:
            readings.append(reading)
    raise AssertionError("not reached")


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
        posterior = matcher.posterior(readings)
        right, two = _truth(advisor, posterior, row)
        if advisor.concluded(posterior):
            return Job("identified", right, two, len(readings), seconds)
    return Job("open", right, two, len(readings), seconds)


def drawn(advisor: Advisor, rows: Sequence[int], random: np.random.Generator, *, by_prior: bool) -> Iterator[int]:
    """True ends without end: uniformly over ``rows``, or as often as the prior has them."""
    p = None
    if by_prior:
        p = np.exp(advisor.matcher.log_prior[np.asarray(rows)])
        p = p / p.sum()
    while True:
        yield int(random.choice(np.asarray(rows), p=p))


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
