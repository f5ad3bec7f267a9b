"""Meanings with weights, and what is handed on of them.

Duty: put the context's prior into the weights, and gather texts by their likeliest meaning: two meanings of one text
are a question of language, for the session; two texts are a question of hearing, for the engine. What each text means
is asked of the language once, here, and goes on with the transcript. It must not judge them.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from voicefit.recognition.protocol import SpokenLanguage
from voicefit.records import Alternative, Context, Meaning, item_key

MOST_ALTERNATIVES = 8
NOTHING_KNOWN = Context()


@dataclass(frozen=True, slots=True)
class Weighed:
    """``shares``: texts of different meaning with their log-shares, the context's prior included, best first; they
    sum to one. ``log_odds_alone``: of the first against all others, had there been no context. ``log_prior``: of the
    first in itself, as the language says; 0 where it has no opinion. ``meanings``: of each text, weights sum to one."""

    shares: tuple[Alternative, ...]
    log_odds_alone: float
    log_prior: float = 0.0
    meanings: Mapping[str, tuple[Meaning, ...]] = field(default_factory=dict)

    @property
    def likeliest(self) -> tuple[Alternative, ...]:
        """The first few of the shares, summing to one again."""
        return _shares((each.text, each.log_probability) for each in self.shares[:MOST_ALTERNATIVES])

    def likeliest_meanings(self) -> tuple[Meaning, ...]:
        """What the likeliest texts mean, each meaning once; probabilities sum to one, best first."""
        logs: dict[Hashable, list[float]] = {}
        first: dict[Hashable, Meaning] = {}
        for share in self.likeliest:
            for meaning in self.meanings[share.text]:
                key = tuple(map(item_key, meaning.items))
                first.setdefault(key, meaning)
                logs.setdefault(key, []).append(share.log_probability + meaning.log_weight)
        sums = {key: log_sum(many) for key, many in logs.items()}
        total = log_sum(list(sums.values()))
        found = (replace(first[key], log_weight=sums[key] - total) for key in sums)
        return tuple(sorted(found, key=lambda meaning: -meaning.log_weight))


def weigh(alternatives: Sequence[Alternative], language: SpokenLanguage, context: Context) -> Weighed:
    """Gather ``alternatives`` (log-probabilities with any constant offset) by their likeliest meaning in the context.

    No shares when the language finds no meaning in any text.
    """
    classes: dict[Hashable, list[_Text]] = {}
    for alternative in sorted(alternatives, key=lambda each: -each.log_probability):
        meanings = language.interpret(alternative.text, context)
        if not meanings:
            continue
        text = _Text(
            alternative.text,
            meanings,
            language.log_prior(meanings[0], NOTHING_KNOWN),
            *(
                alternative.log_probability + log_sum([m.log_weight + language.log_prior(m, known) for m in meanings])
                for known in (context, NOTHING_KNOWN)
            ),
        )
        classes.setdefault(tuple(map(item_key, meanings[0].items)), []).append(text)
    under = [(texts[0].text, log_sum([each.under_context for each in texts])) for texts in classes.values()]
    alone = {texts[0].text: log_sum([each.alone for each in texts]) for texts in classes.values()}
    shares = _shares(under)
    if not shares:
        return Weighed((), -math.inf)
    first = shares[0].text
    others = log_sum([log for text, log in alone.items() if text != first])
    log_prior = next(texts[0].log_prior for texts in classes.values() if texts[0].text == first)
    means = {text.text: text.meanings for texts in classes.values() for text in texts[:1]}
    return Weighed(shares, alone[first] - others, log_prior, means)


@dataclass(frozen=True, slots=True)
class _Text:
    text: str
    meanings: tuple[Meaning, ...]
    log_prior: float
    under_context: float
    alone: float


def log_odds(shares: Sequence[Alternative]) -> float:
    """Log of the first share against all others together; infinite when there is no other."""
    if len(shares) < 2:
        return math.inf
    return shares[0].log_probability - log_sum([each.log_probability for each in shares[1:]])


def log_sum(logs: Sequence[float]) -> float:
    """log(sum(exp(logs))); minus infinity of none."""
    return float(np.logaddexp.reduce(logs))


def _shares(pairs: Iterable[tuple[str, float]]) -> tuple[Alternative, ...]:
    logs = [(text, log) for text, log in pairs if math.isfinite(log)]
    total = log_sum([log for _, log in logs])
    return tuple(Alternative(text, log - total) for text, log in sorted(logs, key=lambda pair: -pair[1]))
