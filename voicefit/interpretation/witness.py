"""The classifier as a witness on what phrases took.

How it works. What phrases took of a few words of a clause is not meant where the clause is surely talk ("flat out all
week") or says nothing of an end ("check the oil level"); nor is a mere name or number in a text that tells of another
thing ("the length was forty, no, that was the guard"). What is denied stays, and what has a name and a number.

The numbers were chosen on 1,659 labelled phrases of six hands: those that did harm fell from 31 to 22, and as many or
more were understood rightly in each hand.

Duty: this judgement of one reading. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from voicefit.interpretation import kinds, parts
from voicefit.quantities import Quantity
from voicefit.records import KindShares, Reading

_SURELY_TALK, _TALK, _LIKELY_TALK = 0.85, 0.8, 0.5
_TELLS_NOTHING = 0.2  # likely to say something of the end, or less
_MOST, _FEW = 0.65, 0.5  # of a clause's letters
_OF_THIS = re.compile(r"\b(in my hand|i'm holding|i am holding|this)\b.* (is|are) ((a|an) )?$")
_STATES = re.compile(r"(\b(is|are|has|have|got|gets?|make|measures?|reads?|looks?|feels?)|'s|'re|'ve)\b")


def surely_tells_nothing(text: str, likeness: Callable[[str], KindShares]) -> bool:
    """Whether a text as a whole surely says nothing of the end, or that one cannot tell."""
    of_text = likeness(text)
    return kinds.nothing(of_text) + kinds.unsure(of_text) >= _TALK


def is_talk(reading: Reading, text: str, likeness: Callable[[str], KindShares]) -> bool:
    """Whether a reading is of a few words of a clause that tells nothing of an end, or of no whole clause of a text
    that tells of another."""
    clause = next((part for part in parts.CLAUSES.split(text) if reading.heard in part), text)
    if _OF_THIS.search(clause[: clause.find(reading.heard)]):
        return False
    share = parts.letters(reading.heard) / max(1, parts.letters(clause))
    of_clause, of_text = likeness(clause), likeness(text)
    talk = kinds.nothing(of_clause)
    if share < _FEW and (talk >= _SURELY_TALK or (kinds.nothing(of_text) >= _SURELY_TALK and talk >= _LIKELY_TALK)):
        return True
    if any(option.negated for option in reading.options):
        return False
    counts = any(isinstance(option.value, Quantity) for option in reading.options)
    named = counts and len(reading.measurands) == 1  # "just, let me see, under three quarters outside"
    if share < _MOST and not named and kinds.telling(of_clause) < _TELLS_NOTHING:
        return True
    return clause != text and kinds.of_another(of_text) >= _SURELY_TALK and not _STATES.search(clause)
