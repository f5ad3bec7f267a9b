"""What one goes back on in the same breath, whatever comes of it: "half inch, did I say half, three quarter", "the
length was forty, no, that was the guard", "might be out, might be in, I couldn't say".

How it works. Right behind something told stand words that go back on it (``_GOES_BACK``). Then it goes where something
else is told of the same, or the same value of something else; and also where nothing is, but a "no" says what it was
of, or it is asked whether it was said. Of two things that may both be so goes each, where one cannot tell.

Duty: this, over the items of one text and the words between them. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation.repairs import ASIDE
from voicefit.interpretation.turning import between
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Reading, Rejection

_PAUSED = r"^[\s,.;!?]*"
_HESITATES = r"(?:(?:oh|ah|er|um|uh|well|but|and|wait|hang on|hold on|hold up|sorry)[, ]+)*"
_DENIES = re.compile(
    _PAUSED + _HESITATES + r"(?:no|nope|nah|naw)\b[\s,.;!]*(?=(?:that|it)(?: was|'s| is)\b|(?:that|it) were\b)", re.I
)
_ASKS = re.compile(_PAUSED + _HESITATES + r"(?:or )?(?:was (?:it|that)|did i (?:say|read|get|put)|or is it)\b", re.I)
_NO = re.compile(
    _PAUSED + _HESITATES + r"(?:no|nope|nah|naw)\b(?=\s*[,.;!?]|\s+(?:wait|hang|hold|sorry|excuse)\b)", re.I
)
_WAITS = re.compile(
    _PAUSED + r"(?:(?:oh|ah|no) )?(?:wait|hang on|hold (?:on|up)|sorry|oops|whoops|(?:scratch|scrub) that|or rather)\b",
    re.I,
)
_CANNOT_TELL = "cannot-tell"


def without_retracted(meaning: Meaning) -> Meaning:
    """The meaning without what was gone back on."""
    items = list(meaning.items)
    for at, (item, behind) in enumerate(zip(meaning.items, _behind(meaning), strict=True)):
        readings = _readings(item)
        if len(readings) == 1 and _is_gone_back_on(readings[0], meaning.items[at + 1 :], behind):
            items[at : at + 1] = []
            return without_retracted(replace(meaning, items=_answering_nothing(items, at, behind)))
    return replace(meaning, items=_without_less_sure(_without_either(meaning.items)))


def _behind(meaning: Meaning) -> list[str]:
    """What of the text stands behind each item."""
    found, place = [], 0
    for item in meaning.items:
        heard = item.text if isinstance(item, Rejection) else item.heard
        at = meaning.text.find(heard, place)
        place = at + len(heard) if at >= 0 else place
        found.append(meaning.text[place:] if at >= 0 else "")
    return found


def _readings(item: Item) -> tuple[Reading, ...]:
    if isinstance(item, Reading):
        return (item,)
    return item.readings if isinstance(item, Command) and item.name == "correct" else ()


def _is_gone_back_on(reading: Reading, after: Sequence[Item], behind: str) -> bool:
    if any(option.negated for option in reading.options):
        return False
    denies, asks = _DENIES.match(behind), _ASKS.match(behind)
    if not (denies or asks or _NO.match(behind) or _WAITS.match(behind)):
        return False
    told = [each for item in after for each in _readings(item) if not any(o.negated for o in each.options)]
    if any(_differ(reading, each) for each in told):
        return True
    if denies or _NO.match(behind):
        moved = told[:1] and bool(_values(reading) & _values(told[0])) and not reading.measurands & told[0].measurands
        if moved and _is_number(reading):
            return True  # "the thread's twenty seven, no, the hex is twenty seven"
    return bool(asks) or (bool(denies) and not told)


def _values(reading: Reading) -> set[object]:
    return {(o.value.value, o.value.unit) if isinstance(o.value, Quantity) else o.value for o in reading.options}


def _is_number(reading: Reading) -> bool:
    return all(isinstance(option.value, Quantity) for option in reading.options)


def _answering_nothing(items: Sequence[Item], at: int, behind: str) -> tuple[Item, ...]:
    """The items, the one behind ``at`` without being the words that went back."""
    found = next((m for m in (_DENIES.match(behind), _ASKS.match(behind), _NO.match(behind)) if m), None)
    if at < len(items) and found is not None:
        item = items[at]
        heard = item.text if isinstance(item, Rejection) else item.heard
        begins = 0 <= behind.find(heard) <= found.end()
        if begins and (isinstance(item, Rejection) or (isinstance(item, Command) and item.name == "no")):
            items = [*items[:at], *items[at + 1 :]]
    return tuple(items) or (Command(ASIDE, behind),)


def _without_either(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items without two names of one thing that may each be so, where one cannot tell."""
    if not any(isinstance(item, Command) and item.name == _CANNOT_TELL for item in items):
        return items
    maybe = [
        item
        for item in items
        if isinstance(item, Reading) and all(o.certainty < 1.0 and not o.negated for o in item.options)
    ]
    both = [one for one in maybe if any(_differ(one, two) for two in maybe)]
    return tuple(item for item in items if item not in both)


def _without_less_sure(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items without what is only perhaps so where the same breath surely says that it is not, or something far from
    it: "it isn't metric, I had a metric nut on it"."""
    readings = [item for item in items if isinstance(item, Reading)]
    sure = [reading for reading in readings if all(option.certainty == 1.0 for option in reading.options)]
    gone = [
        reading
        for reading in readings
        if all(o.certainty < 1.0 and not o.negated for o in reading.options)
        and any(_denies(each, reading) or _is_far_from(each, reading) for each in sure)
    ]
    return tuple(item for item in items if item not in gone)


def _denies(sure: Reading, reading: Reading) -> bool:
    denied = {(option.measurand, option.value) for option in sure.options if option.negated}
    return all((option.measurand, option.value) in denied for option in reading.options)


def _is_far_from(sure: Reading, reading: Reading) -> bool:
    if any(o.negated for o in sure.options) or len(reading.measurands) > 1 or not _differ(sure, reading):
        return False
    return not (between(sure.options, reading.options) or between(reading.options, sure.options))


def _differ(one: Reading, two: Reading) -> bool:
    """Whether they are two values of one thing."""
    return bool(one.measurands & two.measurands) and _values(one).isdisjoint(_values(two))
