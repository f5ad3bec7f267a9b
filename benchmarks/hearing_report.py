"""The figures of a hearing benchmark, as one document and in print.

Duty: count what was heard. It must not hear.
"""

from __future__ import annotations

import itertools
import sys
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

_EDGES = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One utterance heard. ``known``: it has a meaning in the grammar. ``right``: the best alternative has that."""

    kind: str
    known: bool
    right: bool
    accepted: bool
    probability: float  # of the best alternative
    seconds: float
    latency_s: float
    errors: int  # words
    words: int
    scores: Mapping[str, float]
    detail: str = ""


def report(outcomes: Sequence[Outcome], load_s: float) -> dict[str, Any]:
    """The figures as one document."""
    kinds: dict[str, dict[str, int]] = defaultdict(
        lambda: dict.fromkeys(("n", "right", "wrong_accepted", "rejected"), 0)
    )
    for outcome in outcomes:
        counts = kinds[outcome.kind]
        counts["n"] += 1
        counts["right"] += outcome.right
        counts["wrong_accepted"] += outcome.accepted and not outcome.right
        counts["rejected"] += not outcome.accepted
    known = [outcome for outcome in outcomes if outcome.known]
    latencies = [1000 * outcome.latency_s for outcome in known] or [0.0]
    words = sum(outcome.words for outcome in known)
    return {
        "kinds": dict(kinds),
        "word_error": round(sum(outcome.errors for outcome in known) / words, 4) if words else None,
        "calibration": [
            {"from": low, "to": high, "n": len(inside), "right": sum(outcome.right for outcome in inside)}
            for low, high in itertools.pairwise(_EDGES)
            if (inside := [each for each in known if low <= each.probability < high or each.probability >= high == 1.0])
        ],
        "latency_ms": {name: round(float(np.percentile(latencies, at)), 1) for name, at in (("p50", 50), ("p95", 95))},
        "real_time_factor": round(
            sum(outcome.latency_s for outcome in outcomes) / max(sum(outcome.seconds for outcome in outcomes), 1e-9), 4
        ),
        "utterance_s": {"p50": round(float(np.median([each.seconds for each in known] or [0.0])), 2)},
        "load_s": round(load_s, 3),
        "rss_mb": round(resident_mb(), 1),
    }


def resident_mb() -> float:
    """The most memory this process has had, MB (10^6 byte). Not on Windows."""
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most * 1024 / 1e6


def edit_distance(said: Sequence[str], heard: Sequence[str]) -> int:
    """Words to insert, delete or replace (Levenshtein)."""
    row = list(range(len(heard) + 1))
    for i, word in enumerate(said, 1):
        left = row[0]
        row[0] = i
        for j, other in enumerate(heard, 1):
            left, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, left + (word != other))
    return row[-1]


def print_report(document: Mapping[str, Any]) -> None:
    for kind, counts in document["kinds"].items():
        shares = ", ".join(
            f"{name} {counts[name] / counts['n']:.1%}" for name in ("right", "wrong_accepted", "rejected")
        )
        print(f"{kind:<20}{counts['n']:>5}  {shares}")
    for name in ("word_error", "latency_ms", "real_time_factor", "utterance_s", "load_s", "rss_mb"):
        print(f"{name:<20}{document[name]}")
    for each in document["calibration"]:
        span = f"{each['from']:.2f} to {each['to']:.2f}"
        print(f"probability {span}  right {each['right'] / each['n']:.3f} of {each['n']}")
