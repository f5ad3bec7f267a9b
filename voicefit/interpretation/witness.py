"""The classifier as a witness on what phrases took.

How it works. What phrases took of a few words of a clause is not meant where the clause is surely talk ("flat out all
week") or says nothing of an end ("check the oil level"); nor is a mere name or number in a text that tells of another
thing ("the length was forty, no, that was the guard"). What is denied stays, and what has a name and a number.

The numbers were chosen on 1,659 labelled phrases of six hands: those that did harm fell from 31 to 22, and as many or
more were understood rightly in each hand.

Duty: this judgement of one reading, yes or no. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from voicefit.interpretation import kinds, parts
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, KindShares, Measurand, Reading

_SURELY_TALK, _TALK, _LIKELY_TALK = 0.85, 0.8, 0.5
_PERHAPS = 0.2  # an answer
_TELLS_NOTHING = 0.2  # likely to say something of the end, or less
_WHOLE, _MOST, _FEW = 0.9, 0.65, 0.5  # of a clause's letters
_OF_A_HOSE = frozenset({Measurand.HOSE_TYPE, Measurand.LENGTH})  # its print, and what is talk of an end
_OF_THIS = re.compile(r"\b(in my hand|i'm holding|i am holding|this)\b.* (is|are) ((a|an) )?$")
_STATES = re.compile(r"(\b(is|are|has|have|got|gets?|make|measures?|reads?|looks?|feels?)|'s|'re|'ve)\b")


def surely_tells_nothing(text: str, likeness: Callable[[str], KindShares]) -> bool:
    """Whether a text as a whole surely says nothing of the end, or that one cannot tell."""
    of_text = likeness(text)
    return kinds.nothing(of_text) + kinds.unsure(of_text) >= _TALK


def is_doubted(reading: Reading) -> bool:
    """Whether others told it, or it is doubted: that is what the sentence as a whole is like, too."""
    return all(option.certainty < 1.0 for option in reading.options)


def is_talk(item: Item, text: str, likeness: Callable[[str], KindShares], said: Sequence[str]) -> bool:
    """Whether a reading, a yes or a no is none, but a part of what says something else. ``said`` : the words of all
    that was taken."""
    if isinstance(item, Reading):
        exempt = is_doubted(item) or not item.measurands.isdisjoint(_OF_A_HOSE)
        return not exempt and _tells_nothing(item, text, likeness, said)
    return isinstance(item, Command) and item.name in ("yes", "no") and _is_to_somebody(item, text, likeness)


def _tells_nothing(reading: Reading, text: str, likeness: Callable[[str], KindShares], said: Sequence[str]) -> bool:
    """Whether a reading is of a few words of a clause that tells nothing of an end, or of no whole clause of a text
    that tells of another."""
    clause = _clause_of(reading.heard, text)
    if _OF_THIS.search(clause[: clause.find(reading.heard)]):
        return False
    taken = sum(parts.letters(each) for each in {*said} if each in clause) / max(1, parts.letters(clause))
    share = parts.letters(reading.heard) / max(1, parts.letters(clause))
    of_clause, of_text = likeness(clause), likeness(text)
    talk = kinds.nothing(of_clause)
    if taken < _FEW and (talk >= _SURELY_TALK or (kinds.nothing(of_text) >= _SURELY_TALK and talk >= _LIKELY_TALK)):
        return True
    if any(option.negated for option in reading.options):
        return False
    if taken < _MOST and talk >= _SURELY_TALK:
        return True
    counts = any(isinstance(option.value, Quantity) for option in reading.options)
    named = counts and len(reading.measurands) == 1  # "just, let me see, under three quarters outside"
    if share < _MOST and not named and kinds.telling(of_clause) < _TELLS_NOTHING:
        return True
    mere = clause != text and share < _WHOLE and not _STATES.search(clause)
    return mere and kinds.of_another(of_text) >= _SURELY_TALK


def _is_to_somebody(answer: Command, text: str, likeness: Callable[[str], KindShares]) -> bool:
    """Whether a yes or no is said to somebody else: "yes boss, coming"."""
    clause = _clause_of(answer.heard, text)
    own = clause == answer.heard or likeness(clause).shares.get(answer.name, 0.0) >= _PERHAPS
    return not own and kinds.nothing(likeness(text)) >= _SURELY_TALK


def _clause_of(heard: str, text: str) -> str:
    return next((part for part in parts.CLAUSES.split(text) if heard in part), text)
