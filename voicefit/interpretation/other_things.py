"""Sizes of what no end is told by: "the washer's seventeen across", "fifteen with a one and a half wall".

Duty: which numbers are such. It must not make readings.
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.interpretation.answers import counts
from voicefit.interpretation.parts import CLAUSES
from voicefit.interpretation.repairs import ASIDE
from voicefit.records import Command, Item, Meaning, Measurand, Reading

_SIZES = frozenset(
    {
        Measurand.OUTSIDE_DIAMETER,
        Measurand.INSIDE_DIAMETER,
        Measurand.THREAD_SIZE,
        Measurand.TUBE_OUTSIDE_DIAMETER,
        Measurand.PITCH,
        Measurand.HEX,
    }
)
_THING = r"(?:o[ -]?ring|ring|washer|olive|ferrule|clamp|jubilee|groove|wall|hole through(?: it| the middle)?)"
_SAID_OF = re.compile(  # "the ring's about", "washer measures"
    rf"\b{_THING}(?:'s| is| was| measures| reads| comes to| comes out at| looks| has| on it is)"
    r"(?: (?:about|around|roughly|maybe|nearly|just|only|like|some|a|an))*\W*$",
    re.I,
)
_BEHIND = re.compile(rf"^\W*(?:(?:thick|thin|of) )?(?:wall\b|(?:across|over|through) (?:the|its|that) {_THING})", re.I)
_OWN = re.compile(r"\b(?:threads?|crests?|hex|flats|tube|pipe|pitch|outside of the (?:end|fitting|stud))\b", re.I)


def without(meaning: Meaning) -> Meaning:
    """The meaning without sizes of other things; an aside where nothing else is left."""
    kept = tuple(item for item in meaning.items if not _is_of_another(item, meaning.text))
    if len(kept) == len(meaning.items):
        return meaning
    return replace(meaning, items=kept or (Command(ASIDE, meaning.text),))


def _is_of_another(item: Item, text: str) -> bool:
    if not isinstance(item, Reading) or not counts(item) or not item.measurands <= _SIZES:
        return False
    clause = next((each for each in CLAUSES.split(text) if item.heard in each), text)
    before, _, behind = clause.partition(item.heard)
    if _OWN.search(item.heard):
        return False
    return bool(_SAID_OF.search(before) or _BEHIND.match(behind))
