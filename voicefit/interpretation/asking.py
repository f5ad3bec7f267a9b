"""Whether a text asks: whoever asks states nothing.

Duty: this. What a question is about is for :mod:`voicefit.interpretation.gist`.
"""

from __future__ import annotations

from collections.abc import Sequence

from voicefit.interpretation.scene import Edge
from voicefit.interpretation.tokens import Token

_ASKS = frozenset({"why", "what", "which", "how", "who", "where", "when"})
_VERBS = frozenset(
    {
        "is",
        "are",
        "am",
        "does",
        "do",
        "did",
        "has",
        "have",
        "can",
        "could",
        "should",
        "would",
        "will",
        "was",
        "were",
        "shall",
        "may",
        "might",
        "must",
    }
)
_SUBJECTS = frozenset(
    {"it", "this", "that", "there", "i", "we", "you", "the", "they", "these", "those", "a", "an", "any"}
)
_OF_WHAT_IT_HAS = frozenset({"has", "have", "had"})
PERSONS = frozenset({"i", "we", "you", "he", "she", "they", "somebody", "someone"})


def asks(tokens: Sequence[Token]) -> bool:
    """Whoever asks states nothing: "why not the metric port" is no port, and not "not metric"."""
    if any(token.paused for token in tokens[1:]):
        return False
    first, second = tokens[0].text, tokens[1].text if len(tokens) > 1 else ""
    subjects = PERSONS | {"it", "this", "that"} if first in _OF_WHAT_IT_HAS else _SUBJECTS | PERSONS
    return first in _ASKS or (first in _VERBS and second in subjects)


def asks_of(tokens: Sequence[Token], chain: Sequence[Edge], takes: Sequence[bool]) -> bool:
    """Whether a thing named first is asked about: "is a banjo okay here"; but "is male" is short for "it is male"."""
    if tokens[0].text not in _VERBS - _OF_WHAT_IT_HAS or any(token.paused for token in tokens[1:]) or True not in takes:
        return False
    return any(not edge.items for edge in chain[takes.index(True) :])
