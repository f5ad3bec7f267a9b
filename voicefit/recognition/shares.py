"""Meanings with weights, and what is handed on of them.

Duty: put the context's prior into the weights and turn them into alternatives. It must not judge them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from voicefit.recognition.protocol import SpokenLanguage
from voicefit.records import Alternative, Context, Meaning

MOST_ALTERNATIVES = 8


def weigh(meanings: Sequence[Meaning], language: SpokenLanguage, context: Context) -> list[Meaning]:
    """Meanings with the context's prior in their weights, best first; weights sum to one."""
    logs = [meaning.log_weight + language.log_prior(meaning, context) for meaning in meanings]
    total = log_sum(logs)
    weighed = [Meaning(meaning.text, meaning.items, log - total) for meaning, log in zip(meanings, logs, strict=True)]
    return sorted(weighed, key=lambda meaning: -meaning.log_weight)


def as_alternatives(weighed: Sequence[Meaning], temperature: float) -> tuple[Alternative, ...]:
    """One alternative a text, its log-share flattened by the temperature; best first, shares sum to one."""
    mass: dict[str, float] = {}
    for meaning in weighed:
        mass[meaning.text] = mass.get(meaning.text, 0.0) + math.exp(meaning.log_weight)
    logs = {text: math.log(share) / temperature for text, share in mass.items() if share > 0.0}
    kept = sorted(logs, key=lambda text: -logs[text])[:MOST_ALTERNATIVES]
    total = log_sum([logs[text] for text in kept])
    return tuple(Alternative(text, logs[text] - total) for text in kept)


def log_sum(logs: Sequence[float]) -> float:
    peak = max(logs)
    return peak + math.log(sum(math.exp(log - peak) for log in logs)) if math.isfinite(peak) else peak
