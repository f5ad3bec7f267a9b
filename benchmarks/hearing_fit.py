"""Fits ``hearing.toml``: when an answer of the neural engine is taken.

Duty: from dumps of speakers and noises that neither trained nor are reported on, fit the logistic by maximum likelihood
and find the lowest threshold that takes few enough wrongly. It must not hear.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing_dump import Heard, read
from voicefit.recognition.acceptance import Acceptance, read_acceptance

NAMES = ("log_odds", "log_probability", "log_ratio", "free", "free_log_probability")
MOST_WRONG = 0.0025  # of what is in the grammar, wrong and accepted at 10 dB and better
_RIDGE = 0.01
_MILD_DB = 10.0

Floats = NDArray[np.float64]


def fit(dumps: Sequence[Path], target: Path) -> None:
    """Write the fitted table to ``target``, with what it was fitted on. The leads and ``foreign_below`` stay."""
    every = [each for path in dumps for each in read(path) if each.scores]
    intercept, weights = logistic(features(every), np.array([each.right for each in every], np.float64))
    fitted = read_acceptance().model_copy(
        update={
            "intercept": round(intercept, 4),
            "weights": {n: round(float(w), 4) for n, w in zip(NAMES, weights, strict=True)},
        }
    )
    mild = [each for each in every if each.known and (each.snr_db is None or each.snr_db >= _MILD_DB)]
    leading = [each for each in mild if fitted.leads(each.scores)]
    quiet = [each for each in leading if fitted.quiet(each.scores)]
    thresholds = {"accept_from": _threshold(fitted, leading), "accept_from_quiet": _threshold(fitted, quiet)}
    write(fitted.model_copy(update=thresholds), target, len(every))


def _threshold(fitted: Acceptance, leading: Sequence[Heard]) -> float:
    return lowest_threshold([fitted.confidence(each.scores) for each in leading], [each.right for each in leading])


def features(outcomes: Sequence[Heard]) -> Floats:
    """Shape (n, names), in the order of :data:`NAMES`; nought for what an older dump has not got."""
    return np.array([[outcome.scores.get(name, 0.0) for name in NAMES] for outcome in outcomes], np.float64)


def logistic(values: Floats, right: Floats) -> tuple[float, Floats]:
    """Logistic regression with a small ridge, by Newton's method on standardised columns.

    ``values`` : shape (n, k); ``right`` : shape (n,), 0 or 1. Returns intercept and weights of shape (k,) for the
    columns as they came.
    """
    mean, spread = values.mean(axis=0), values.std(axis=0) + 1e-9
    columns = np.column_stack([np.ones(len(values)), (values - mean) / spread])
    theta = np.zeros(columns.shape[1])
    for _ in range(100):
        probability = 1 / (1 + np.exp(-columns @ theta))
        slope = columns.T @ (probability - right) + _RIDGE * theta
        curvature = (columns.T * (probability * (1 - probability))) @ columns + _RIDGE * np.eye(len(theta))
        step = np.linalg.solve(curvature, slope)
        theta -= step
        if np.abs(step).max() < 1e-8:
            break
    weights = theta[1:] / spread
    return float(theta[0] - weights @ mean), weights


def lowest_threshold(confidence: Sequence[float], right: Sequence[bool]) -> float:
    """The lowest probability from which at most :data:`MOST_WRONG` of all are wrong and accepted, in steps of 0.005."""
    for threshold in np.arange(0.5, 1.0, 0.005):
        wrong = sum(sure >= threshold and not good for sure, good in zip(confidence, right, strict=True))
        if wrong <= MOST_WRONG * len(right):
            return round(float(threshold), 3)
    return 0.995


def write(table: Acceptance, target: Path, count: int) -> None:
    """The table with its explanations."""
    weights = "\n".join(f"{name} = {table.weights[name]}  # {_MEANING[name]}" for name in NAMES)
    target.write_text(
        f"""# When an answer of the neural engine is taken.
# Fitted by: python -m benchmarks hearing --fit (on {count} decodings; what of, says training/README.md).

# An answer is taken when its probability of being right is at least this.
accept_from = {table.accept_from}
# In the quiet, where speech stands at least so many dB above the noise, less is enough, also of the lead below.
accept_from_quiet = {table.accept_from_quiet}
quiet_from_db = {table.quiet_from_db}
# And only if it leads all others by this log-odds without the context too: a context may order, but not decide.
lead_alone = {table.lead_alone}
# And only if it leads a teen heard as a ten, or a ten as a teen, by this: of those the model is too sure.
lead_alike = {table.lead_alike}
lead_alike_quiet = {table.lead_alike_quiet}
# And only if its language finds it likelier than this in itself: a pitch that no thread has is asked about.
least_prior = {table.least_prior}
# log_ratio under which a refused answer counts as something the language does not have.
foreign_below = {table.foreign_below}

# Probability of being right: logistic in the scores, natural logs.
intercept = {table.intercept}

[weights]
{weights}
""",
        encoding="utf-8",
    )


_MEANING = {
    "log_odds": "of the best text against all texts of other meaning, at most 10",
    "log_probability": "of all texts found in the language, over the square root of the best one's tokens",
    "log_ratio": "of all texts found in the language to the best free text, at most 0",
    "free": "1 where the best is the free text, which the constraint has not got",
    "free_log_probability": "log_probability there, else 0",
}
