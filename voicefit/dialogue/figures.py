"""Which length on record is named by fewer figures than it has: "that thirteen was wrong", "the thirteen one" of 13.1.

Duty: this, of one number. It must not take or drop anything (:mod:`voicefit.dialogue.corrections`).
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import TypeGuard

from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity, Unit
from voicefit.records import Measurand, Reading

_ONE_OF_THEM = re.compile(r"\bnot\b.* one\b| one (was|is|were)\b", re.IGNORECASE)  # and not "the thirteen one rocks"
_GAUGED = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE})


def in_full(turn: Turn, reading: Reading) -> Reading | None:
    """The number on record that is named by its whole millimeters, as what it was taken: "that thirteen was wrong" of
    13.1."""
    for each in reversed(turn.belief.taken):
        for option in reading.options:
            new, old = option.value, each.option.value
            if option.measurand is not each.option.measurand or not _is_length(new) or not _is_length(old):
                continue
            if new.value == int(new.value) == int(old.value):
                return replace(reading, options=(replace(option, value=old),))
    return None


def _is_length(value: object) -> TypeGuard[Quantity]:
    return isinstance(value, Quantity) and value.unit is Unit.MILLIMETRE


def by_its_figures(turn: Turn, reading: Reading) -> Reading:
    """The number of a gauge called so ("the thirteen one"), as the length on record that is read out so: 13.1."""
    if not _ONE_OF_THEM.search(reading.heard) or not all(option.negated for option in reading.options):
        return reading
    whole = {o.value.value for o in reading.options if o.measurand in _GAUGED and isinstance(o.value, Quantity)}
    for each in reversed(turn.belief.taken):
        if _is_length(each.option.value) and each.option.value.value - Fraction(1, 10) in whole:
            return replace(reading, options=(replace(each.option, negated=True),))
    return reading
