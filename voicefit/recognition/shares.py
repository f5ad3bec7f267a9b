"""Meanings with weights, and what is handed on of them.

Duty: put the context's prior into the weights, and gather meanings by the text that was heard: two meanings of one
text are a question of language, for the session; two texts are a question of hearing, for the engine. It must not
judge them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from voicefit.recognition.protocol import SpokenLanguage
from voicefit.records import Alternative, Context

MOST_ALTERNATIVES = 8


@dataclass(frozen=True, slots=True)
class Weighed:
    """``shares``: texts of different meaning with their log-shares, the context's prior included, best first; they
    sum to one. ``log_odds_alone``: of the first against all others, had there been no context."""

    shares: tuple[Alternative, ...]
    log_odds_alone: float


def weigh(alternatives: Sequence[Alternative], language: SpokenLanguage, context: Context) -> Weighed:
    """Gather ``alternatives`` (log-probabilities with any constant offset) by meaning, under the context.

    No shares when the language finds no meaning in any text.
    """
    best_first = sorted(alternatives, key=lambda each: -each.log_probability)
    alone: dict[str, list[float]] = {}
    under: dict[str, list[float]] = {}
    for meaning in language.merge(best_first, context):
        alone.setdefault(meaning.text, []).append(meaning.log_weight)
        under.setdefault(meaning.text, []).append(meaning.log_weight + language.log_prior(meaning, context))
    shares = _shares((text, log_sum(logs)) for text, logs in under.items())
    if not shares:
        return Weighed((), -math.inf)
    first = shares[0].text
    others = log_sum([log for text, logs in alone.items() if text != first for log in logs])
    return Weighed(shares, log_sum(alone[first]) - others)


def flattened(shares: Sequence[Alternative], temperature: float) -> tuple[Alternative, ...]:
    """The likeliest of ``shares`` with their logs divided by ``temperature``, summing to one again."""
    kept = shares[:MOST_ALTERNATIVES]
    return _shares((each.text, each.log_probability / temperature) for each in kept)


def log_odds(shares: Sequence[Alternative]) -> float:
    """Log of the first share against all others together; infinite when there is no other."""
    if len(shares) < 2:
        return math.inf
    return shares[0].log_probability - log_sum([each.log_probability for each in shares[1:]])


def log_sum(logs: Sequence[float]) -> float:
    """log(sum(exp(logs)))."""
    peak = max(logs, default=-math.inf)
    return peak + math.log(sum(math.exp(log - peak) for log in logs)) if math.isfinite(peak) else peak


def _shares(pairs: Iterable[tuple[str, float]]) -> tuple[Alternative, ...]:
    logs = [(text, log) for text, log in pairs if math.isfinite(log)]
    total = log_sum([log for _, log in logs])
    return tuple(Alternative(text, log - total) for text, log in sorted(logs, key=lambda pair: -pair[1]))
