"""What a word says by the end that it is said of: what "goes in" is half of a coupler, and elsewhere a seat.

How it works. Each step takes a meaning, with what is on record, and gives it changed. The half of a coupler or staple
connector that goes in is male; a nut seen beside a male is another's; a stud's "boss" is its O-ring; "sixty-two" of a
flange is its code; and what is round while the thread is asked about are its crests.

Duty: these steps. It must not choose of which check a bare value is (:mod:`voicefit.dialogue.answering`).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from voicefit.dialogue.expecting import shape_said
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity, Unit
from voicefit.records import Gender, Item, Meaning, Measurand, Option, Reading, Seal, SeatForm

_HALVES = frozenset({"coupler", "staple"})
_GOES_IN = re.compile(r"\b(goes|go|going|plugs|pushes|slides|fits) (in|inside|into)\b|\bspigot\b|\bplug\b")
_SEEN_NUT = re.compile(r"(there's|there is|with|has|and) (a|the|its)?\b.*\bnut\b")
_OWN_NUT = re.compile(r"\b(swivel|captive|female|turns|spins|loose)\b")
_CODES = {61: "flange61", 62: "flange62"}
_OF_THE_THREAD = frozenset({Measurand.FLANK_ANGLE, Measurand.CREST, Measurand.TAPER, Measurand.PITCH})
_OF_THE_SEAT = frozenset({Measurand.SEAT_FORM, Measurand.NOSE, Measurand.SEAT_ANGLE})
_ROUND = re.compile(r"(not )?((it|they|that)('s| is|'re| are) )?(not )?(all |quite |very )?(round|rounded|curved)")
_POINTED = re.compile(r"\b(peak|peaks|peaked)\b")


def meant(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning after all of the steps that hold now."""
    shape = shape_said(turn.knowledge, turn.belief, meaning)
    genders = {
        t.option.value for t in turn.belief.taken if t.option.measurand is Measurand.GENDER and not t.option.negated
    }
    asked = {check.measurand for check in turn.focus.open_checks}
    steps: list[Callable[[Reading], Reading | None]] = []
    if shape in _HALVES:
        steps.append(_as_the_half_that_goes_in)
    if genders & {Gender.MALE, Gender.STUD}:
        steps += [_without_a_nut, _as_the_ring_of_a_boss]
    if shape == "flange" and Measurand.FLANGE_HEAD_DIAMETER not in asked:
        steps.append(_as_a_code)
    if asked & _OF_THE_THREAD and not asked & _OF_THE_SEAT:
        steps.append(_as_crests)
    items: list[Item] = []
    for item in _sized_by_name(turn, meaning):
        kept: Item | None = item
        for step in steps:
            kept = step(kept) if isinstance(kept, Reading) else kept
        if kept is not None and (kept is item or not _says_again(kept, items)):
            items.append(kept)
    return replace(meaning, items=tuple(items)) if items else meaning


def _sized_by_name(turn: Turn, meaning: Meaning) -> list[Item]:
    """The items, where an inch size right before the name of a series is as likely the tube that such an end is for as
    a measure of its thread: "half inch JIC". Common practice, no source."""
    items = list(meaning.items)
    for at, (size, name) in enumerate(pairwise(meaning.items)):
        if (
            not isinstance(size, Reading)
            or not isinstance(name, Reading)
            or Measurand.THREAD_SIZE not in size.measurands
        ):
            continue
        series = _value(name, Measurand.SERIES)
        if series is None or f"{size.heard} {name.heard}" not in meaning.text:
            continue
        by_tube = any(end.tube_od_mm for end in turn.knowledge.catalogue.ends if end.series == series)
        options = tuple(
            replace(o, log_prior=0.0) if o.measurand is Measurand.TUBE_OUTSIDE_DIAMETER and _is_inch(o) else o
            for o in size.options
        )
        items[at] = replace(size, options=options) if by_tube else size
    return items


def _is_inch(option: Option) -> bool:
    return isinstance(option.value, Quantity) and option.value.unit is Unit.INCH


def _value(reading: Reading, measurand: Measurand) -> str | None:
    """The one name that it surely says of a measurand."""
    option = reading.options[0]
    sure = len(reading.options) == 1 and option.measurand is measurand and not option.negated
    return str(option.value) if sure else None


def _says_again(item: Item, items: list[Item]) -> bool:
    """Whether the same was said already in other words."""
    if not isinstance(item, Reading):
        return False
    said = [(o.measurand, o.value, o.negated) for o in item.options]
    others = (i for i in items if isinstance(i, Reading))
    return any([(o.measurand, o.value, o.negated) for o in other.options] == said for other in others)


def _named(reading: Reading, measurand: Measurand, value: str) -> Reading:
    first = reading.options[0]
    return replace(reading, options=(replace(first, measurand=measurand, value=value, log_prior=0.0),))


def _as_the_half_that_goes_in(reading: Reading) -> Reading:
    forms = {str(SeatForm.RECESSED), str(SeatForm.CONVEX)}
    if _value(reading, Measurand.SEAT_FORM) in forms and _GOES_IN.search(reading.heard.casefold()):
        return _named(reading, Measurand.GENDER, Gender.MALE.value)
    return reading


def _without_a_nut(reading: Reading) -> Reading | None:
    heard = reading.heard.casefold()
    others = _SEEN_NUT.match(heard) and not _OWN_NUT.search(heard)
    return None if others and _value(reading, Measurand.GENDER) == Gender.FEMALE else reading


def _as_the_ring_of_a_boss(reading: Reading) -> Reading:
    if _value(reading, Measurand.GENDER) == Gender.PORT and "boss" in reading.heard.casefold().split():
        return _named(reading, Measurand.SEAL, Seal.BASE_O_RING.value)
    return reading


def _as_a_code(reading: Reading) -> Reading:
    """A bare sixty-one or sixty-two: no thread of a flange, and of its bolts nobody says it so."""
    codes = {_code(option) for option in reading.options}
    if len(reading.measurands) < 2 or len(codes) != 1 or None in codes or "not" in reading.heard.casefold().split():
        return reading
    return _named(reading, Measurand.SERIES, str(codes.pop()))


def _code(option: Option) -> str | None:
    value = option.value
    return _CODES.get(int(value.value)) if isinstance(value, Quantity) and value.value.denominator == 1 else None


def _as_crests(reading: Reading) -> Reading:
    heard = reading.heard.casefold()
    option = reading.options[0]
    if reading.measurands == {Measurand.NOSE} and option.value == "ball" and _ROUND.fullmatch(heard):
        return _named(reading, Measurand.CREST, "rounded")
    if reading.measurands == {Measurand.SEAT_FORM} and reading.guessed and _POINTED.search(heard):
        return replace(_named(reading, Measurand.CREST, "flat"), guessed=False)
    return reading
