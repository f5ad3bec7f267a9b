"""Which reading on record a correction is of: "no, eighteen", "not fourteen, sixteen", "no, inside".

How it works. A value that stands on record and is denied ("not fourteen") or quoted ("I said fourteen") names the
reading that is wrong; the value said beside it, where it can be of the same measurand, comes in its place: the two are
a correction in whatever words they were said. A value that corrects without naming the old one is of the latest
reading that may have such a value. Its measurand is that of the reading it replaces: a correction never begins a new
one where it can replace an old one; but "no, nineteen" to a check is the answer, where nothing that was just read back
can be nineteen.

Duty: find the readings. It must not take or drop anything (:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.dialogue import counts
from voicefit.dialogue.figures import by_its_figures, in_full
from voicefit.dialogue.record import Kept
from voicefit.dialogue.state import Correcting
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Item, Meaning, Measurand, Option, Reading, Reason, Rejection

_ONLY_NO = frozenset({"no", "nope", "nah", "it", "it's", "is", "that", "that's"})
_POINTS = re.compile(r"(that|it)('s| is| was)\b", re.IGNORECASE)
_FLANKS = frozenset({55, 60})  # degrees of a leaf: a pitch that was denied as the angle
_BUILT = frozenset({Measurand.HOSE_TYPE, Measurand.REINFORCEMENT})  # of a hose: a kind of hose has its wires
_GAUGED = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE})
_WAS = re.compile(r"\b(was|were|is)\b", re.IGNORECASE)  # "forget the sixteen" tells of no gauge
_INSTEAD = re.compile(r"\b(instead|rather than)\b", re.IGNORECASE)
_COMES_BACK = re.compile(r"\b(was|were|after all|back to|said|right|all along)\b", re.IGNORECASE)
_SIDES = {"external": Measurand.OUTSIDE_DIAMETER, "internal": Measurand.INSIDE_DIAMETER}
_OTHER_SIDE = {
    Measurand.OUTSIDE_DIAMETER: Measurand.INSIDE_DIAMETER,
    Measurand.INSIDE_DIAMETER: Measurand.OUTSIDE_DIAMETER,
}


def as_correction(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with its readings as a correction, where they are one: after "correction" by itself, and where a
    value on record is denied and another one said instead."""
    meaning = _of_what_it_was(counts.as_count(turn, meaning))
    readings = tuple(item for item in meaning.items if isinstance(item, Reading))
    if isinstance(turn.focus.mode, Correcting) and len(readings) == len(meaning.items):
        return replace(meaning, items=(Command("correct", meaning.text, readings),))
    items: list[Item] = [
        _as_answer(turn, _without_what_was_never_taken(turn, _as_gap(turn, _with_the_old_denied(turn, item))))
        for item in (by_its_figures(turn, i) if isinstance(i, Reading) else i for i in meaning.items)
    ]
    for item in tuple(items):
        whole = in_full(turn, item) if isinstance(item, Reading) and _denies(item) else None
        old = _named(turn, item) or (None if whole is None else on_record(turn, whole))
        if old is None or item not in items or isinstance(item, Rejection):
            continue
        at = items.index(item)
        other = next((i for i in (at + 1, at - 1) if 0 <= i < len(items) and _may_be(items[i], old[1])), None)
        if other is not None:
            first, second = sorted((at, other))
            wrong = Reading(item.heard, (replace(old[1], negated=True),))
            readings = (wrong, *_readings(items[other]))
            items[first : second + 1] = [Command("correct", meaning.text, readings)]
    return replace(meaning, items=tuple(items))


def _of_what_it_was(meaning: Meaning) -> Meaning:
    """The meaning with a value that is denied as what it is said to be instead, and with no other reading touched: "it
    isn't fifty-five pitch, that's the angle"; of "the other one" nothing more is said."""
    match [item for item in meaning.items if not (isinstance(item, Command) and item.name == "no")]:
        case [Reading() as wrong, Command(name="other-end", heard=heard)] if _denies(wrong) and _POINTS.match(heard):
            return replace(meaning, items=(wrong,))
        case [Reading() as wrong, Command(name="was-of", argument="angle") as of] if _denies(wrong):
            leaf = next((o for o in wrong.options if isinstance(o.value, Quantity) and o.value.value in _FLANKS), None)
            if leaf is not None and isinstance(leaf.value, Quantity):
                angle = replace(
                    leaf, measurand=Measurand.FLANK_ANGLE, negated=False, value=Quantity(leaf.value.value, Unit.DEGREE)
                )
                return replace(meaning, items=(wrong, Reading(of.heard, (angle,))))
    return meaning


def _with_the_old_denied(turn: Turn, item: Item) -> Item:
    """One value in the place of another, as the one on record denied; refused, where it cannot be told which that is:
    "put eighteen instead of nineteen"."""
    if not isinstance(item, Command) or item.name != "correct" or len(item.readings) != 2:
        return item
    if any(option.negated for reading in item.readings for option in reading.options):
        return item
    old = [reading for reading in item.readings if on_record(turn, reading) is not None]
    old = old or [reading for reading in item.readings if named(turn, reading) is not None]
    if len(old) != 1:
        return Rejection(item.heard, Reason.OUT_OF_GRAMMAR, item.heard)
    options = (in_full(turn, old[0]) or old[0]).options
    wrong = replace(old[0], options=tuple(replace(option, negated=True) for option in options))
    return replace(item, readings=(wrong, *(reading for reading in item.readings if reading is not old[0])))


def _as_gap(turn: Turn, item: Item) -> Item:
    """A number that is to be dropped and is not on record, as a gauge that does not fit: "the sixteen was rubbish"."""
    if not isinstance(item, Command) or item.name != "drop" or len(item.readings) != 1:
        return item
    (reading,) = item.readings
    if named(turn, reading) is not None or not _WAS.search(item.heard):
        return item
    tried = tuple(replace(o, negated=True) for o in reading.options if o.measurand in _GAUGED)
    return Reading(item.heard, tried) if tried else item


def _without_what_was_never_taken(turn: Turn, item: Item) -> Item:
    """A correction within one breath, "nineteen, no, eighteen", is the value that it ends in, and no more."""
    if not isinstance(item, Command) or item.name != "correct" or len(item.readings) != 2:
        return item
    wrong, right = item.readings
    if not _denies(wrong) or any(option.negated for option in right.options) or _named(turn, wrong) is not None:
        return item
    asked = {check.measurand for check in turn.focus.open_checks}
    of_anything = len(right.measurands) > 1 and right.measurands.isdisjoint(asked)
    if of_anything and _INSTEAD.search(item.heard):
        return Rejection(item.heard, Reason.OUT_OF_GRAMMAR, item.heard)  # "three instead of two", and no two was taken
    return right


def _as_answer(turn: Turn, item: Item) -> Item:
    """The value behind a "no" that can only be the answer to the check: nothing that was just read back can be that, or
    that is what was read back."""
    check = turn.focus.check
    if check is None or turn.focus.question is not None or not isinstance(item, Command) or not _is_one_value(item):
        return item
    reading = item.readings[0]
    said = frozenset(re.findall(r"[\w']+", item.heard.casefold().removesuffix(reading.heard.casefold())))
    ordered = counts.number_ordered(turn, item) is not None
    if check.measurand not in reading.measurands or not said <= _ONLY_NO or ordered:
        return item
    before = turn.record.past[-1].piece.readings if turn.record.past else ()
    latest = [kept for kept in turn.piece.readings if kept not in before]
    corrects = on_record(turn, reading) is None and any(k.reading.measurands & reading.measurands for k in latest)
    return item if corrects else reading


def replaced(turn: Turn, readings: tuple[Reading, ...]) -> tuple[tuple[Reading, ...], tuple[Kept, ...]]:
    """The readings that a correction says, each as what it replaces; and what they replace. A reading that only denies
    what is replaced is left out."""
    readings = tuple(_as_it_was(turn, reading) for reading in readings)
    left, found, gone = list(turn.piece.readings), list[Reading](), list[Kept]()
    named: list[tuple[Kept, Option]] = []
    for reading in readings:
        old = _named(turn, reading)
        if old is not None and any(_may_be(other, old[1]) for other in readings):
            named.append(old)
            continue
        if _denies(reading) and not all(map(_denies, readings)):
            continue  # "not forty, fourteen", and forty was never taken
        kept = next((kept for kept, option in named if _may_be(reading, option)), None)
        kept = kept or _corrected(turn, left, reading)
        if kept is not None and kept in left:
            left.remove(kept)
            gone.append(kept)
            reading = _on_its_side(reading, kept.reading) or _in_its_place(reading, kept.reading)
        found.append(reading)
    return tuple(found), tuple(gone)


def _as_it_was(turn: Turn, reading: Reading) -> Reading:
    """A value of which it is said that it was right, as what it was of when it was on record: "it was fourteen"."""
    if len(reading.measurands) == 1 or not _COMES_BACK.search(turn.heard):
        return reading
    now = {kept.number for kept in turn.piece.readings}
    pieces = [p for w in reversed(turn.record.past) for job in w.jobs for p in job.pieces]
    for kept in (kept for p in pieces if p.number == turn.piece.number for kept in p.readings):
        then = {(option.measurand, option.value) for option in kept.reading.options if not option.negated}
        options = tuple(option for option in reading.options if (option.measurand, option.value) in then)
        if options and kept.number not in now:
            return replace(reading, options=options)
    return reading


def _denies(reading: Reading) -> bool:
    return all(option.negated for option in reading.options)


def denied(turn: Turn, readings: tuple[Reading, ...]) -> tuple[tuple[Reading, ...], tuple[int, ...]]:
    """Numbers that are not so, as what they deny: of what is on record, in whose place they come; else, where it was
    not said what they measure, of what was asked. And the numbers of the readings that they deny: not those of a yes or
    no to a check, which is a look of its own beside them."""
    kept, gone = [], []
    for reading in readings:
        old = None if reading.asked is not None else _named(turn, reading)
        if _denies(reading) and (old is not None or len(reading.measurands) > 1):
            if old is None:
                checks = turn.focus.open_checks
                asked = next((each.measurand for each in checks if each.measurand in reading.measurands), None)
                usual = tuple(o for o in reading.options if not turn.knowledge.language.is_unusual(o))
                options = tuple(o for o in usual if o.measurand is asked) or usual  # no seat is of 175 degrees
            else:
                options = tuple(o for o in reading.options if _is_said_of(o, old[1]))
                gone.append(old[0].number)
            reading = replace(reading, options=options or reading.options)
        kept.append(reading)
    return tuple(kept), tuple(gone)


def _named(turn: Turn, item: Item) -> tuple[Kept, Option] | None:
    """The latest reading on record that something said names by its very value: to deny it, or to correct it."""
    if isinstance(item, Command) and item.name == "drop" and len(item.readings) == 1:
        return named(turn, item.readings[0])  # "that thirteen was wrong, twelve point seven"
    reading = item.readings[0] if isinstance(item, Command) and _is_one_value(item) else item
    if not isinstance(reading, Reading) or (isinstance(item, Reading) and not _denies(item)):
        return None
    found = on_record(turn, reading)
    if found is None or all(isinstance(o.value, Quantity) for o in reading.options):
        return found
    only = {option.value for option in found[0].reading.options} == {found[1].value}
    return found if only and _denies(reading) else None  # of a cone, either way, only one is denied


def on_record(turn: Turn, reading: Reading) -> tuple[Kept, Option] | None:
    """The latest reading on record with the value that is said, whatever it measures, and what it was taken as."""
    taken = list(zip(turn.piece.readings, turn.belief.taken, strict=True))
    for kept, each in reversed(taken):
        if not each.option.negated and any(_is_said_of(option, each.option) for option in reading.options):
            return kept, each.option
    return None


def named(turn: Turn, reading: Reading) -> tuple[Kept, Option] | None:
    """The latest reading on record with the value that is said, or with its whole millimeters."""
    return on_record(turn, reading) or on_record(turn, in_full(turn, reading) or reading)


def _is_said_of(option: Option, on_record: Option) -> bool:
    return (option.measurand, option.value) == (on_record.measurand, on_record.value)


def _readings(item: Item) -> tuple[Reading, ...]:
    return item.readings if isinstance(item, Command) else (item,) if isinstance(item, Reading) else ()


def _is_one_value(item: Item) -> bool:
    return isinstance(item, Command) and item.name == "correct" and len(item.readings) == 1


def _may_be(item: Item, on_record: Option) -> bool:
    """Whether something said is another value, and may be one of the measurand."""
    if not (isinstance(item, Reading) or _is_one_value(item)):
        return False
    (reading,) = _readings(item)
    options = [option for option in reading.options if option.measurand is on_record.measurand]
    return bool(options) and not any(option.negated or option.value == on_record.value for option in options)


def _corrected(turn: Turn, left: list[Kept], reading: Reading) -> Kept | None:
    """The latest reading taken as a measurand of the new one, else the latest that may be such a one."""
    taken = {kept.number: t.option.measurand for kept, t in zip(turn.piece.readings, turn.belief.taken, strict=True)}
    known = {o.measurand for o in reading.options if not turn.knowledge.language.is_unusual(o)}
    values = {option.value for option in reading.options if isinstance(option.value, Quantity)}
    for kept in reversed(left):
        if reading.measurands.isdisjoint(kept.reading.measurands) and _measured_as(taken[kept.number], kept) in values:
            return kept  # "that five eighths was the inside"
    for kept in reversed(left):
        if taken[kept.number] in (known or reading.measurands):
            return kept
    for kept in reversed(left):
        if kept.reading.measurands & reading.measurands:
            return kept
    if reading.measurands <= _BUILT:
        return next((kept for kept in reversed(left) if kept.reading.measurands <= _BUILT), None)
    side = _side(reading)
    if side is not None:
        return next((kept for kept in reversed(left) if taken[kept.number] is _OTHER_SIDE[side]), None)
    return None


def _measured_as(measurand: Measurand, kept: Kept) -> Quantity | None:
    """The number of a diameter on record, as what it was taken."""
    values = (o.value for o in kept.reading.options if o.measurand is measurand and measurand in _OTHER_SIDE)
    return next((value for value in values if isinstance(value, Quantity)), None)


def _side(reading: Reading) -> Measurand | None:
    """The diameter of the side that a reading says, and nothing else: "no, inside"."""
    sides = {
        _SIDES.get(str(o.value)) for o in reading.options if o.measurand is Measurand.THREAD_SIDE and not o.negated
    }
    return sides.pop() if len(sides) == 1 and reading.measurands == {Measurand.THREAD_SIDE} else None


def _on_its_side(reading: Reading, old: Reading) -> Reading | None:
    """What was measured on one side, taken on the other: its value stays."""
    side = _side(reading)
    across = () if side is None else tuple(o for o in old.options if o.measurand is _OTHER_SIDE[side])
    if side is None or not across:
        return None
    return replace(old, heard=reading.heard, options=tuple(replace(o, measurand=side) for o in across), asked=None)


def _in_its_place(reading: Reading, old: Reading) -> Reading:
    """The new reading, held to what the old one may have been, and to the check it answered."""
    options = tuple(option for option in reading.options if option.measurand in old.measurands)
    return replace(reading, options=options or reading.options, asked=old.asked)
