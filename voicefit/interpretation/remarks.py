"""Remarks that people hang to what they tell: "seven eighths, or I'm a Dutchman", "steering's stiff tonight, next one".

Duty: which clauses of a text are such. It must not read what the others say.
"""

from __future__ import annotations

from voicefit.interpretation import kinds
from voicefit.interpretation.kinds import SentenceClassifier
from voicefit.interpretation.parts import CLAUSES

_SURELY, _LIKELY, _HARDLY_TOLD = 0.9, 0.6, 0.3  # talk by itself; and where hardly a letter of it is told in the text


def without(text: str, classifier: SentenceClassifier) -> str:
    """The text without the clauses that are remarks; empty where none is, or all are."""
    clauses = [clause for clause in CLAUSES.split(text) if clause.strip()]
    if len(clauses) < 2:
        return ""
    told = classifier.of(text).told
    kept, at = [], 0
    for clause in clauses:
        at = text.index(clause, at)
        letters = told[at : at + len(clause)]
        least = _LIKELY if sum(letters) <= _HARDLY_TOLD * len(letters) else _SURELY
        if kinds.nothing(classifier.of(clause)) < least:
            kept.append(clause)
        at += len(clause)
    return ", ".join(kept) if len(kept) < len(clauses) else ""
