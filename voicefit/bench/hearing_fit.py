"""Fits ``hearing.toml``: when an answer of the neural engine is taken, and how sure its alternatives are.

Duty: hear the tuning half of a corpus clean and under the first half of each noise at several levels, and fit the
logistic and the temperature by maximum likelihood. It must not see the speakers or the noise that are reported on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voicefit.bench.hearing import BACKWARDS_EVERY, Bench, Outcome, utterances
from voicefit.bench.hearing_corpus import Noise, part_of, read_manifest, with_backwards
from voicefit.recognition.acceptance import Acceptance, read_acceptance
from voicefit.recognition.neural import NeuralRecogniser

LEVELS_DB = (10.0, 5.0)
NAMES = ("log_odds", "log_probability", "log_surprise", "log_ratio", "noise")
MOST_WRONG = 0.005  # of what is in the grammar, wrong and accepted at 10 dB and better
_RIDGE = 0.01
_LOST = math.log(1e-3)  # share of a meaning that is not among the alternatives

Floats = NDArray[np.float64]


def fit(corpus: Path, noises: Sequence[Path], target: Path) -> None:
    """Write the fitted table to ``target``, with what it was fitted on."""
    open_to_all = Acceptance(
        accept_from=0.0,
        lead_alone=0.0,
        foreign_below=-99.0,
        intercept=0.0,
        weights={},
        temperature=1.0,
        temperature_per_noise=0.0,
    )
    engine = NeuralRecogniser(acceptance=open_to_all)
    rows = list(with_backwards(part_of(read_manifest(corpus), "tuning"), BACKWARDS_EVERY))
    conditions: list[Noise | None] = [None]
    conditions += [Noise(path, level, tuning=True) for path in noises for level in LEVELS_DB]
    outcomes: list[list[Outcome]] = []
    benches = [Bench(engine, None, True), Bench(engine, None, False)]
    for turn, noise in enumerate(conditions):
        heard = [  # in context and loose by turns, the other way round in the next condition
            benches[(turn + number) % 2].hear(row, samples)
            for number, (row, samples) in enumerate(utterances(corpus, rows, noise))
        ]
        outcomes.append([each for each in heard if each.scores])
        print(f"{'clean' if noise is None else f'{noise.snr_db:.0f} dB'}: {len(outcomes[-1])} heard", flush=True)
    every = [outcome for condition in outcomes for outcome in condition]
    intercept, weights = logistic(features(every), np.array([each.right for each in every], np.float64))
    fitted = read_acceptance().model_copy(
        update={
            "intercept": round(intercept, 4),
            "weights": {n: round(float(w), 4) for n, w in zip(NAMES, weights, strict=True)},
        }
    )
    mild = [
        outcome
        for noise, condition in zip(conditions, outcomes, strict=True)
        if noise is None or noise.snr_db >= 10
        for outcome in condition
        if outcome.known
    ]
    threshold = lowest_threshold([fitted.confidence(each.scores) for each in mild], [each.right for each in mild])
    temperature, per_noise = temperatures([each for each in every if each.known])
    table = fitted.model_copy(
        update={"accept_from": threshold, "temperature": temperature, "temperature_per_noise": per_noise}
    )
    write(table, target, len(every))


def features(outcomes: Sequence[Outcome]) -> Floats:
    """Shape (n, 5), in the order of :data:`NAMES`."""
    return np.array([[outcome.scores[name] for name in NAMES] for outcome in outcomes], np.float64)


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


def temperatures(outcomes: Sequence[Outcome]) -> tuple[float, float]:
    """The temperature and its rise with noise under which the right alternatives are likeliest, by a grid."""

    def loss(temperature: float, per_noise: float) -> float:
        total = 0.0
        for outcome in outcomes:
            flat = temperature + per_noise * outcome.scores["noise"]
            logs = np.array([log for _, log in outcome.shares]) / flat
            logs -= np.logaddexp.reduce(logs)
            rights = [log for log, (right, _) in zip(logs, outcome.shares, strict=True) if right]
            total -= max(float(np.logaddexp.reduce(rights)), _LOST) if rights else _LOST
        return total

    grid = [(a, b) for a in np.arange(1.0, 3.01, 0.1) for b in np.arange(0.0, 1.51, 0.1)]
    temperature, per_noise = min(grid, key=lambda pair: loss(*pair))
    return round(float(temperature), 2), round(float(per_noise), 2)


def write(table: Acceptance, target: Path, count: int) -> None:
    """The table with its explanations."""
    weights = "\n".join(f"{name} = {table.weights[name]}  # {_MEANING[name]}" for name in NAMES)
    target.write_text(
        f"""# When an answer of the neural engine is taken, and how sure its alternatives are.
# Fitted by: python -m voicefit.bench hearing --fit (on {count} decodings of the tuning half of the human corpus).

# An answer is taken when its probability of being right is at least this.
accept_from = {table.accept_from}
# And only if it leads all others by this log-odds without the context too: a context may order, but not decide.
lead_alone = {table.lead_alone}
# log_ratio under which a refused answer counts as something the language does not have.
foreign_below = {table.foreign_below}

# The model's own shares of the alternatives are too sure in noise: their logs are divided by
# temperature + temperature_per_noise * noise.
temperature = {table.temperature}
temperature_per_noise = {table.temperature_per_noise}

# Probability of being right: logistic in the scores, natural logs.
intercept = {table.intercept}

[weights]
{weights}
""",
        encoding="utf-8",
    )


_MEANING = {
    "log_odds": "of the best text against all texts of other meaning, at most 10",
    "log_probability": "of all texts found in the language, at least -40",
    "log_surprise": "log of 0.05 plus the mean negative log-probability a token of the best text",
    "log_ratio": "of all texts found in the language to the best free text, at most 0",
    "noise": "tens of dB by which the speech is less than 30 dB above the noise around it",
}
