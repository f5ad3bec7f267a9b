"""A length in the other unit: the one that is named, or the last that was taken.

Duty: this sum. It must not record anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import MM_PER_INCH, Quantity, Unit
from voicefit.records import Command

_HUNDREDTHS, _THOUSANDTHS = 100, 1000  # of a millimeter, of an inch


def convert(turn: Turn, command: Command) -> None:
    turn.asked = True
    named = [option.value for reading in command.about for option in reading.options]
    taken = [each.option.value for each in reversed(turn.belief.taken)]
    lengths = [value for value in named or taken if isinstance(value, Quantity) and value.is_length]
    if not lengths:
        turn.say("convert-nothing")
        return
    length = lengths[0]
    inch = Fraction(round(length.mm / MM_PER_INCH * _THOUSANDTHS), _THOUSANDTHS)
    mm = Fraction(round(length.mm * _HUNDREDTHS), _HUNDREDTHS)
    as_said = say_number(length.value)
    if length.unit is Unit.INCH:
        turn.say("convert", value=f"{as_said} inch", other=f"{_decimal(mm)} millimeters")
    else:
        turn.say("convert", value=f"{as_said} millimeters", other=f"{_decimal(inch)} inch")


def _decimal(value: Fraction) -> str:
    """A number with a point, not a fraction."""
    text = f"{float(value):.3f}".rstrip("0").rstrip(".")
    whole, _, part = text.partition(".")
    figures = " ".join(say_number(int(figure)) for figure in part)
    return f"{say_number(int(whole))} point {figures}" if part else say_number(int(whole))


TABLE: Mapping[str, Does] = {"convert": convert}
