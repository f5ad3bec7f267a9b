"""Remarks that people hang to what they tell: "seven eighths, or I'm a Dutchman", "steering's stiff tonight, next one".

Duty: which clauses of a text are such. It must not read what the others say.
"""

from __future__ import annotations

from voicefit.interpretation import kinds
from voicefit.interpretation.kinds import SentenceClassifier
from voicefit.interpretation.parts import CLAUSES

_SURELY, _LIKELY, _HARDLY_TOLD = 0.9, 0.6, 0.3  # talk by itself; and where hardly a letter of it is told in the text
_ALL_TALK = 0.8  # of the text: then no clause is a reading by itself


def is_all(text: str, classifier: SentenceClassifier | None, least: float = _ALL_TALK) -> bool:
    """Whether the text as a whole is talk, of which no part is to be read as if it stood alone: "the staple gun's
    jammed and the clip's come off my pen"."""
    return classifier is not None and kinds.beside_the_work(classifier.of(text)) >= least


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
