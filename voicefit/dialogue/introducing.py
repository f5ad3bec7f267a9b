"""Words that only introduce what else is said, or are no more than manner beside it: "yes, it is recessed", "it's
nineteen, I'm certain".

Duty: whether a command is such. It must not do anything.
"""

from __future__ import annotations

import re

from voicefit.dialogue.hoses import is_where_it_sits
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Item, Meaning, Measurand, Reading

_FILLS = frozenset({"it", "that", "this", "there", "is", "mate", "no", "nope", "yes", "yeah"})
_ONLY = frozenset({"only", "just"})
_SEEN = frozenset({Measurand.SEAL, Measurand.SEAT_FORM, Measurand.NOSE, Measurand.SHOULDER_EDGE, Measurand.SHAPE})
_IS_OF_IT = re.compile(r" *\w[^,]*(?:,|\b(?:and|but|plus|also)\b)")
_GOES_ON = frozenset({"and", "but", "plus", "also"})


def only_introduces(turn: Turn, item: Item, meaning: Meaning) -> bool:
    """Whether a word only introduces what is said: "yes, it is recessed", "no, it stands out", "right, stop", "sorry,
    where are we"; or is no more than manner beside it."""
    readings = readings_of(meaning)
    if not isinstance(item, Command):
        return False
    if item.name in ("repeat", "thanks"):
        return bool(readings)  # "tube ten, measured again", "great big nut"
    if item.name == "decide":  # who says "it's nineteen, I'm certain" is certain of the nineteen
        return bool(readings) and not (item.argument or any(Measurand.SERIES in each.measurands for each in readings))
    if item.name == HOSE:
        return turn.piece.kind != HOSE and is_where_it_sits(item, meaning)
    if item.name == "correction":
        return len(meaning.items) > 1 and not readings  # "sorry, what was that"
    if item.name not in ("yes", "no") or turn.focus.question is not None:
        return False
    check = turn.focus.check
    at = meaning.items.index(item)
    if any(isinstance(each, Command) and each.name == "correct" for each in meaning.items[at + 1 : at + 2]):
        return True  # "no, that 24.9 is the nut's"
    if not readings:
        return item.name == "yes" and len(meaning.items) > 1 and (check is None or check.yes is None)
    if check is None or check.yes is None or any(check.measurand in r.measurands for r in readings):
        return True
    return _leads_into(item, meaning) and not _is_there_instead(check.measurand, item, meaning)


def _is_there_instead(asked: Measurand, answer: Command, meaning: Meaning) -> bool:
    """Whether a no is followed by what is there instead of what was asked for: "no, only a flat"."""
    _, _, behind = meaning.text.casefold().partition(answer.heard.casefold())
    readings = readings_of(meaning)
    if answer.name != "no" or asked not in _SEEN or not all(reading.measurands <= _SEEN for reading in readings):
        return False
    contrasted = not _ONLY.isdisjoint(behind.replace(",", " ").split()[:2])  # "no, just a", "no, it's only"
    return contrasted and not any(option.negated for reading in readings for option in reading.options)


def _leads_into(answer: Command, meaning: Meaning) -> bool:
    """Whether a bare yes or no runs into a reading of something else: "no, just threads" says no more than that there
    is no seat. "No, and the hex is twenty-seven" answers, and goes on."""
    behind = meaning.items[meaning.items.index(answer) + 1 :]
    words = answer.heard.casefold().replace("'s", " is").split()
    if not behind or not isinstance(behind[0], Reading) or not _FILLS.issuperset(words[1:]):
        return False
    rest = meaning.text.casefold().split(answer.heard.casefold(), 1)[-1]
    between = rest.replace(",", " ").split()
    goes_on = _IS_OF_IT.match(rest.partition(behind[0].heard.casefold())[0])  # "no ring in it, and outside it's twenty"
    return not between or not (between[0] in _GOES_ON or goes_on)
