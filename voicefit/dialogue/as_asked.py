"""What was said as something that tells, and does not where it is said: "turns" or a screw's name behind "how tight",
a pressure behind which it is asked whether it holds, a number of bolts behind an end that is settled.

Duty: see that in what is known of the end in hand. It must not answer.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import of_a_flange
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Meaning, Measurand, Reading

_PRESSURE, _HOT = "pressure", "hot"
_TURNS = "turns"  # how tight, or "it turns"


def as_question(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with "turns" as asking how tight, where the end is known to be one that turns, or that does not; and
    with the screw that it names of a flange, where how tight was just asked."""
    meaning = _of_that_pressure(meaning)
    if turn.record.end_of(turn.piece) is not None and _counts_bolts(meaning):
        return replace(meaning, items=(Command("aside", meaning.text),))
    if (screw := of_a_flange.screw_named(turn, meaning)) is not None:
        return replace(meaning, items=(screw,))
    known = {t.option.measurand for t in turn.belief.taken}
    turns = [i for i in meaning.items if isinstance(i, Reading) and i.guessed and i.heard.casefold() == _TURNS]
    if not turns or len(meaning.items) != 1 or Measurand.GENDER not in known:
        return meaning
    return replace(meaning, items=(Command(of_a_flange.TORQUE, meaning.text),))


def _counts_bolts(meaning: Meaning) -> bool:
    """Whether it is a number of bolts: that tells a flange, and behind an end that is settled, nothing of it."""
    match meaning.items:
        case (Reading(heard=heard) as reading,):
            return reading.measurands == {Measurand.SHAPE} and heard.casefold().endswith("bolts")
    return False


def _of_that_pressure(meaning: Meaning) -> Meaning:
    """The meaning with a pressure that is asked about in the next breath as what is asked, and no reading; hot oil that
    runs in it is no alarm there: "hot oil, two hundred bar, will it take it"."""
    asks = next((i for i in meaning.items if isinstance(i, Command) and i.name == _PRESSURE and not i.about), None)
    said = tuple(i for i in meaning.items if isinstance(i, Reading) and i.measurands == {Measurand.PRESSURE})
    if asks is None or not said:
        return meaning
    others = (i for i in meaning.items if i not in (*said, asks) and not (isinstance(i, Command) and i.name == _HOT))
    return replace(meaning, items=(*others, replace(asks, about=said)))
