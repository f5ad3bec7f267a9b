"""Whether a text asks: whoever asks states nothing.

A question whether something is so is the statement with its verb first: "is that metric", "that is metric". And what
begins like a question may be a statement: "what I can see is a nose".

Duty: this. What a question is about is for :mod:`voicefit.interpretation.gist`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

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
_VERBS_OF_STATE = frozenset(
    {"is", "was", "are", "does", "has", "will", "would", "could", "can", "might", "may", "must"}
)
_STATED_OF = frozenset({"it", "this", "that", "there", "they", "these"})
_SHORTEST = 3  # words
_CLEFT = 6  # so many words may stand before the verb
_NOTS = frozenset({"not", "no", "never"})
PERSONS = frozenset({"i", "we", "you", "he", "she", "they", "somebody", "someone"})


def asks(tokens: Sequence[Token]) -> bool:
    """Whoever asks states nothing: "why not the metric port" is no port, and not "not metric"."""
    if any(token.paused for token in tokens[1:]):
        return False
    first, second = tokens[0].text, tokens[1].text if len(tokens) > 1 else ""
    subjects = PERSONS | {"it", "this", "that"} if first in _OF_WHAT_IT_HAS else _SUBJECTS | PERSONS
    if second in _NOTS and len(tokens) > 2:
        second = tokens[2].text  # "isn't it a banjo"
    return first in _ASKS or (first in _VERBS and second in subjects)


def statement_of(tokens: Sequence[Token]) -> tuple[Token, ...] | None:
    """What is asked whether it is so: "is that metric", "would it be metric"; ``None`` where it is asked otherwise."""
    if len(tokens) < _SHORTEST or tokens[0].text not in _VERBS_OF_STATE or tokens[1].text not in _STATED_OF:
        return None
    subject = tokens[1] if tokens[1].text == "there" else replace(tokens[1], text="it")
    return (subject, tokens[0], *tokens[2:])


def without_cleft(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """What is stated behind "what I can see is ..."; empty where nothing is said so."""
    if len(tokens) < _SHORTEST or tokens[0].text != "what" or tokens[1].text not in PERSONS | {"it", "this"}:
        return ()
    verb = next((at for at in range(2, min(len(tokens) - 1, _CLEFT)) if tokens[at].text in ("is", "are")), None)
    return () if verb is None else tuple(tokens[verb + 1 :])


def asks_of(tokens: Sequence[Token], chain: Sequence[Edge], takes: Sequence[bool]) -> bool:
    """Whether a thing named first is asked about: "is a banjo okay here"; but "is male" is short for "it is male"."""
    if len(tokens) > 1 and tokens[1].text in _NOTS:
        return False  # "is not conical"
    if tokens[0].text not in _VERBS - _OF_WHAT_IT_HAS or any(token.paused for token in tokens[1:]) or True not in takes:
        return False
    return any(not edge.items for edge in chain[takes.index(True) :])
