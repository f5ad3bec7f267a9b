"""Meanings with weights, and what is handed on of them.

Duty: put the context's prior into the weights, and gather texts by their likeliest meaning: two meanings of one text
are a question of language, for the session; two texts are a question of hearing, for the engine. It must not judge
them.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

from voicefit.interpretation.segment import item_key
from voicefit.recognition.protocol import SpokenLanguage
from voicefit.records import Alternative, Context

MOST_ALTERNATIVES = 8
NOTHING_KNOWN = Context()


@dataclass(frozen=True, slots=True)
class Weighed:
    """``shares``: texts of different meaning with their log-shares, the context's prior included, best first; they
    sum to one. ``log_odds_alone``: of the first against all others, had there been no context. ``log_prior``: of the
    first in itself, as the language says; 0 where it has no opinion."""

    shares: tuple[Alternative, ...]
    log_odds_alone: float
    log_prior: float = 0.0


def weigh(alternatives: Sequence[Alternative], language: SpokenLanguage, context: Context) -> Weighed:
    """Gather ``alternatives`` (log-probabilities with any constant offset) by their likeliest meaning in the context.

    No shares when the language finds no meaning in any text.
    """
    classes: dict[Hashable, list[_Text]] = {}
    for alternative in sorted(alternatives, key=lambda each: -each.log_probability):
        meanings = language.merge([alternative], context)
        if not meanings:
            continue
        text = _Text(
            alternative.text,
            language.log_prior(meanings[0], NOTHING_KNOWN),
            *(
                alternative.log_probability + log_sum([m.log_weight + language.log_prior(m, known) for m in meanings])
                for known in (context, NOTHING_KNOWN)
            ),
        )
        classes.setdefault(tuple(item_key(item) for item in meanings[0].items), []).append(text)
    under = [(texts[0].text, log_sum([each.under_context for each in texts])) for texts in classes.values()]
    alone = {texts[0].text: log_sum([each.alone for each in texts]) for texts in classes.values()}
    shares = _shares(under)
    if not shares:
        return Weighed((), -math.inf)
    first = shares[0].text
    others = log_sum([log for text, log in alone.items() if text != first])
    log_prior = next(texts[0].log_prior for texts in classes.values() if texts[0].text == first)
    return Weighed(shares, alone[first] - others, log_prior)


@dataclass(frozen=True, slots=True)
class _Text:
    text: str
    log_prior: float
    under_context: float
    alone: float


def likeliest(shares: Sequence[Alternative]) -> tuple[Alternative, ...]:
    """The first few of ``shares``, summing to one again."""
    return _shares((each.text, each.log_probability) for each in shares[:MOST_ALTERNATIVES])


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
