"""How much confirmation something needs before it counts.

Every reading is read back in the reply to it. Beyond that, by risk: a doubtful one, or one that would decide the
identification and is not beyond doubt, is asked for first; a number that sounds like another is read back digit by
digit; a command that costs something to take back is asked for when it was not clearly heard.

Duty: thresholds and judgements. It must not word anything.
"""

from __future__ import annotations

from fractions import Fraction

from voicefit.dialogue.state import Question, Sure
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Measurand, Option

# Shares of the recogniser's weight, all alternatives together being 1. The posterior of the default engine is
# calibrated in the clear and optimistic in noise, so plain values keep a margin and deciding ones are held to what
# it reaches in the clear.
CLEAR = 0.85  # a plain value is taken and read back
CLEAR_DECIDING = 0.98  # a value that concludes, or overturns a leader, is taken without asking
CLEAR_COMMAND = 0.9  # a command that costs something is obeyed without asking

SETTLED = 0.9  # a part with this probability is a leader that a reading can overturn
COSTLY = frozenset({"start-over", "stop", "new-job", "finish", "sleep", "other-end", "hose"})

FOR_GOOD = frozenset({"remove-note", "remove-sound"})  # cannot be undone: always asked for, in words of their own

_SPOKEN_AS_MEASURED = frozenset({Unit.MILLIMETRE, Unit.METRE, Unit.BAR, Unit.CELSIUS, Unit.FAHRENHEIT})


def is_for_good(question: Question) -> bool:
    """Whether the open question is about something that cannot be undone."""
    items = question.meaning.items if isinstance(question, Sure) else ()
    return any(isinstance(item, Command) and item.name in FOR_GOOD for item in items)


def confusable(option: Option) -> bool:
    """Whether the value holds a number that sounds like another which is as possible: fifteen and fifty.

    Gauge leaves, seat angles and fractions of an inch do not count: their rivals (ninety pitch, thirteen degrees,
    thirty sixteenths) do not exist.

    >>> from voicefit.quantities import inches, millimetres
    >>> confusable(Option(Measurand.OUTSIDE_DIAMETER, millimetres("15")))
    True
    >>> confusable(Option(Measurand.OUTSIDE_DIAMETER, inches("13/16")))
    False
    """
    value = option.value
    if not isinstance(value, Quantity) or option.negated:
        return False
    measured = value.unit in _SPOKEN_AS_MEASURED or option.measurand in (Measurand.ELBOW_ANGLE, Measurand.ROUTE_BEND)
    return measured and option.measurand is not Measurand.PITCH and teen_or_ten(value.value)


def teen_or_ten(number: Fraction) -> bool:
    """Whether the whole part, below a hundred, is said with -teen or as a bare -ty.

    >>> [n for n in (12, 13, 19, 20, 30, 35, 90, 115, 150) if teen_or_ten(Fraction(n))]
    [13, 19, 30, 90, 115, 150]
    """
    last_two = int(abs(number)) % 100
    return 13 <= last_two <= 19 or (last_two % 10 == 0 and 30 <= last_two <= 90)
