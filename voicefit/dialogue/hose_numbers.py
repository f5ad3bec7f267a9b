"""What a number is of, said of a hose in words that leave it open: its dash or its bore, its length or its pressure,
its length or the angle between its ends.

Duty: that choice, or the question. It must not ask, and must not take readings (:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from voicefit.dialogue import answering
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.state import Choosing
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity, Unit
from voicefit.records import Meaning, Measurand, Option, Reading

KINDS = frozenset({Measurand.HOSE_TYPE, Measurand.REINFORCEMENT})
_LENGTH_OR_ANGLE = frozenset({Measurand.LENGTH, Measurand.ELBOW_ANGLE})
_BETWEEN, _FULL_TURN = re.compile(r"\bbetween\b.*\bends\b", re.IGNORECASE), 360
SHORTEST_MM = 150  # of a hose with two ends; common practice, no source
_LENGTH_OR_PRESSURE = frozenset({Measurand.LENGTH, Measurand.PRESSURE})
_OF_LENGTH = re.compile(
    r"\b(?:long|length|overall|total|ends?|faces?|seats?|tip|nut|cut|all (?:in|up))\b", re.IGNORECASE
)
_LEAST, _STEP = 1000, 250  # psi in which hoses are rated: common practice, no source
_SAYS_HOSE = re.compile(r"\b(?:hose|line)\b", re.IGNORECASE)


def which(turn: Turn, meaning: Meaning) -> Choosing | None:
    """Which of two things a number said of a hose is of, where its words leave that open; ``None``: they do not.

    "Twelve hose" is dash twelve, or twelve millimeters; "four spiral, three thousand" is psi, or millimeters.
    """
    of_kinds = any(each.measurands <= KINDS for each in readings_of(meaning))
    for at, item in enumerate(meaning.items):
        if not isinstance(item, Reading):
            continue
        if item.measurands == answering.DASH_OR_BORE and (of_kinds or _is_of_a_hose(turn, item)):
            ways = tuple(_held(item, measurand) for measurand in (Measurand.DASH, Measurand.HOSE_BORE))
        elif (of_kinds or turn.piece.kind == HOSE) and _is_length_or_pressure(turn, item, meaning):
            ways = (_as_psi(item), _held(item, Measurand.LENGTH))
        else:
            continue
        one, other = (replace(meaning, items=(*meaning.items[:at], way, *meaning.items[at + 1 :])) for way in ways)
        return Choosing((one, other), at)
    return None


def between_the_ends(turn: Turn, reading: Reading) -> Reading:
    """A number without a unit "between the ends" as the angle of their elbows, where the length is known or no hose is
    so short; any other reading as it is."""
    number = _number(reading)
    if not (_is_between(reading) and number is not None) or turn.knowledge.language.says_a_unit(reading.heard):
        return reading
    known = {each.option.measurand for each in turn.belief.taken}
    if (Measurand.LENGTH not in known and number >= SHORTEST_MM) or number > _FULL_TURN:
        return _held(reading, Measurand.LENGTH)
    return replace(reading, options=(Option(Measurand.ELBOW_ANGLE, Quantity(Fraction(number), Unit.DEGREE)),))


def _is_between(reading: Reading) -> bool:
    both = Measurand.LENGTH in reading.measurands and reading.measurands <= _LENGTH_OR_ANGLE
    return both and _BETWEEN.search(reading.heard) is not None


def _is_of_a_hose(turn: Turn, reading: Reading) -> bool:
    """Whether a hose is in hand, or is named where the job has one."""
    named = _SAYS_HOSE.search(reading.heard) is not None
    return turn.piece.kind == HOSE or (named and any(piece.kind == HOSE for piece in turn.job.pieces))


def _is_length_or_pressure(turn: Turn, reading: Reading, meaning: Meaning) -> bool:
    """Whether a number without a unit is one in which both are said: right behind the layers of a hose, or where
    neither is asked for."""
    number = _number(reading)
    if Measurand.LENGTH not in reading.measurands or not reading.measurands <= _LENGTH_OR_PRESSURE or number is None:
        return False
    told = turn.knowledge.language.says_a_unit(reading.heard) or _OF_LENGTH.search(reading.heard)
    if told or number < _LEAST or number % _STEP:
        return False
    behind_layers = any(each.heard == reading.heard and each.measurands <= KINDS for each in readings_of(meaning))
    asked = {check.measurand for check in turn.focus.open_checks}
    return behind_layers or asked.isdisjoint(reading.measurands)


def _number(reading: Reading) -> int | None:
    """The whole number that was said, whatever its unit may be."""
    values = {option.value.value for option in reading.options if isinstance(option.value, Quantity)}
    denied = any(option.negated for option in reading.options)
    return int(min(values)) if len(values) == 1 and not denied and min(values).denominator == 1 else None


def _as_psi(reading: Reading) -> Reading:
    psi = Quantity(Fraction(_number(reading) or 0), Unit.PSI)
    return replace(reading, options=(Option(Measurand.PRESSURE, psi),))


def _held(reading: Reading, measurand: Measurand) -> Reading:
    return replace(reading, options=tuple(each for each in reading.options if each.measurand is measurand))
