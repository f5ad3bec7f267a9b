"""Of what a value is that was said without saying of what: of that which was asked.

How it works. A value that can be of what was asked is of that. Where two checks were asked in one breath, what each
value may be is weighed: how well it fits the readings so far (the matcher), whether such a value exists (a leaf, a seat
gauge, a tube), and the order in which they were asked. What is said together answers a check each, and so does "can't
tell" beside a value. A value that no gauge has is of something else: "fourteen" is no angle of a seat, asked or not.

Duty: this choice. It must not take readings, and must not touch what corrects or denies
(:mod:`voicefit.dialogue.corrections`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations

from voicefit.dialogue.expecting import context_of
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.resolving import resolved
from voicefit.dialogue.said_over import said_over
from voicefit.dialogue.turn import Turn
from voicefit.matching import same_place
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Measurand, Option, Reading

# Nats; common practice, no source.
FIRST_ASKED = 1.5  # of two checks, the one asked first is answered first
UNASKED = -3.0  # what an end of its shape has, and was not asked for
IN_ORDER = 3.5  # two answers come in the order in which they were asked for
ON_NO_GAUGE = -6.0  # no leaf and no seat gauge has such a value
ON_NO_END = -1.0  # a gauge has it, and no end of the catalogue
OFF_THE_GAUGE = -2.0  # read a little off one that exists, by no more than this share of it
NEAR = 0.06
NO_SUCH_TUBE = -6.0
RARELY_MEANT = -3.5  # of what nobody asked for and few say without its name
SAID_ALREADY = -6.0  # a piece has each once, and who corrects himself says so
A_LEAF = -4.0  # inches in a number that stands on a metric leaf: they are said in fractions, or in thousandths
AS_LIKELY = 1.0  # what is less likely by no more than this may as well be meant
TUBE_WITHIN_MM = 0.3
BORE_WITHIN_MM = 1.0
DASH_OR_BORE = frozenset({Measurand.DASH, Measurand.HOSE_BORE})
_OF_THE_THREAD = frozenset(
    {"flank", "flanks", "leaf", "thread", "threads", "crest", "crests", "whitworth", "metric", "form", "profile"}
)
LEAVES_OUT = frozenset({"cannot-tell", "missing", "none-fits", "worn", "stripped"})  # commands that answer one check


_SIDES = {Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.THREAD_SIZE}


def placed(turn: Turn, meanings: Sequence[Meaning]) -> list[Meaning]:
    """The meanings with their bare values as what was asked, and diameters as what an end of the shape has."""
    expected = context_of(turn.knowledge, turn.now).expected
    meanings = [_of_the_seat(turn, resolved(turn, said_over(turn, meaning))) for meaning in meanings]
    meanings = _in_the_order_asked(turn, meanings)
    return [_placed(turn, meaning, expected) for meaning in meanings] if expected else meanings


def _in_the_order_asked(turn: Turn, meanings: list[Meaning]) -> list[Meaning]:
    """Of meanings of one answer to two checks of which the first cannot be told, those whose second part answers the
    second, or at least not the first: "can't tell, none" to the tube and the seat is no seat, and to the seat and the
    tube no tube."""
    match turn.focus.open_checks:
        case [first, second]:
            both = [m for m in meanings if _leaves_out_first(m)]
            kept = [m for m in both if isinstance(m.items[1], Reading) and _answers(m.items[1], second.measurand)]
            kept = kept or [
                m for m in both if not (isinstance(m.items[1], Reading) and _answers(m.items[1], first.measurand))
            ]
            return [m for m in meanings if m not in both or m in kept] if kept else meanings
    return meanings


def _leaves_out_first(meaning: Meaning) -> bool:
    first = meaning.items[0]
    return len(meaning.items) > 1 and isinstance(first, Command) and first.name in LEAVES_OUT


def _of_the_seat(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with an angle of a gauge as that of the seat, where that is asked for, or is on record with that very
    value, and no word says that it is of the thread: "sixty degree fits, no light"."""
    asked = {check.measurand for check in turn.focus.open_checks}
    seats = {t.option.value for t in turn.belief.taken if t.option.measurand is Measurand.SEAT_ANGLE}

    def one(item: Item) -> Item:
        if not isinstance(item, Reading) or item.measurands != {Measurand.FLANK_ANGLE}:
            return item
        if Measurand.FLANK_ANGLE in asked or not _OF_THE_THREAD.isdisjoint(item.heard.casefold().split()):
            return item
        if Measurand.SEAT_ANGLE not in asked and not any(option.value in seats for option in item.options):
            return item
        return replace(item, options=tuple(replace(o, measurand=Measurand.SEAT_ANGLE) for o in item.options))

    return replace(meaning, items=tuple(map(one, meaning.items)))


def _answers(reading: Reading, asked: Measurand) -> bool:
    """Whether it is first of all of what was asked."""
    option = reading.options[0]
    return not option.negated and same_place(option.measurand, asked)


def _is_more(reading: Reading, answered: Sequence[Measurand], expected: Sequence[Measurand]) -> bool:
    """Whether all that it might answer is answered before it, and by its words it may as well be something else:
    "seventeen point nine, one and a half"."""
    mine = _of(reading, expected)
    others = [option.log_prior for option in reading.options if option not in mine]
    as_likely = max(others, default=-math.inf) >= max(option.log_prior for option in mine) - AS_LIKELY
    return as_likely and not any(_of(reading, (asked,)) for asked in expected if asked not in answered)


def _placed(turn: Turn, meaning: Meaning, expected: tuple[Measurand, ...]) -> Meaning:
    items: list[Item] = list(meaning.items)
    bare = [at for at, item in enumerate(items) if isinstance(item, Reading) and _is_open(item, expected)]
    if not bare:
        return meaning
    said = [item for item in items if isinstance(item, Reading) and len(item.measurands) == 1]
    open_ = [m for m in expected if not any(_of(item, (m,)) for item in said)] or list(expected)
    answers = [
        at for at, item in enumerate(items) if at in bare or (isinstance(item, Command) and item.name in LEAVES_OUT)
    ]
    chosen = _best(turn, [items[at] for at in answers], open_) if len(expected) > 1 else None
    checks = dict(zip(answers, chosen or (), strict=chosen is not None))
    for at in bare:
        reading = items[at]
        assert isinstance(reading, Reading)
        before = [item for item in items[:at] if isinstance(item, Reading)]
        if _is_more(reading, [asked for asked in expected if any(_answers(item, asked) for item in before)], expected):
            continue
        items[at] = _held_to(turn, reading, (checks[at],) if at in checks else expected)
    return replace(meaning, items=tuple(items))


def _held_to(turn: Turn, reading: Reading, measurands: Sequence[Measurand]) -> Reading:
    """The reading as one of the measurands; where no gauge has that, as what it may best be."""
    asked = _of(reading, measurands)
    if any(_weight(turn, option) > ON_NO_GAUGE for option in asked):
        return replace(reading, options=asked)
    if turn.piece.kind == HOSE:
        return reading  # it is asked of what it is
    likely = {option.measurand for option in reading.options if option.log_prior > RARELY_MEANT}
    ways = [_as_only(reading, m) for m in sorted(likely or reading.measurands)]
    fits = turn.knowledge.log_fits(turn.piece, [(way,) for way in ways])
    known = {each.option.measurand for each in turn.belief.taken if not each.option.negated}
    known |= _SIDES if known & _SIDES else set()
    scores = [
        fit + max(o.log_prior + _weight(turn, o) + SAID_ALREADY * (o.measurand in known) for o in way.options)
        for fit, way in zip(fits, ways, strict=True)
    ]
    return ways[max(range(len(ways)), key=lambda index: scores[index])]


def _is_open(reading: Reading, expected: Sequence[Measurand]) -> bool:
    """Whether it may be one of several things, and one of those that were asked."""
    denied = all(option.negated for option in reading.options)
    if reading.measurands == DASH_OR_BORE:
        return False  # "twelve hose": it is asked which
    return len(reading.measurands) > 1 and not denied and bool(_of(reading, expected))


def _of(reading: Reading, measurands: Sequence[Measurand]) -> tuple[Option, ...]:
    """The options that are of one of the measurands; who is asked for a diameter need not say its side."""
    return tuple(o for o in reading.options if any(same_place(o.measurand, m) for m in measurands))


def _best(turn: Turn, answers: Sequence[Item], open_: Sequence[Measurand]) -> tuple[Measurand, ...] | None:
    """For each answer its check, each check once; "can't tell" is one to any. ``None``: more answers than checks."""
    ways = [way for way in permutations(open_, len(answers)) if _can_be(answers, way)]
    if not ways:
        return None
    readings = [
        tuple(_as_only(a, m) for a, m in zip(answers, way, strict=True) if isinstance(a, Reading)) for way in ways
    ]
    fits = turn.knowledge.log_fits(turn.piece, readings)
    values = [answer for answer in answers if isinstance(answer, Reading)]
    asked = [check.measurand for check in turn.focus.open_checks]
    scores = [
        fit
        + _order(way, open_)
        + UNASKED * sum(m not in asked for m in way)
        + sum(_worth(turn, each, said) for each, said in zip(of, values, strict=True))
        for fit, of, way in zip(fits, readings, ways, strict=True)
    ]
    return ways[max(range(len(ways)), key=lambda index: scores[index])]


def _worth(turn: Turn, reading: Reading, said: Reading) -> float:
    """Whether there is such a value, of a reading held to one measurand; ``said`` : all that it may have been."""
    in_inches = all(isinstance(o.value, Quantity) and o.value.unit == "in" for o in reading.options)
    on_a_leaf = any(
        o.measurand is Measurand.PITCH
        and isinstance(o.value, Quantity)
        and o.value.unit == "mm"
        and not turn.knowledge.language.is_unusual(o)
        for o in said.options
    )
    return max(_weight(turn, option) for option in reading.options) + (A_LEAF if in_inches and on_a_leaf else 0.0)


def _can_be(answers: Sequence[Item], way: Sequence[Measurand]) -> bool:
    return all(not isinstance(a, Reading) or _of(a, (m,)) for a, m in zip(answers, way, strict=True))


def _as_only(reading: Reading, measurand: Measurand) -> Reading:
    return replace(reading, options=_of(reading, (measurand,)))


def _order(way: Sequence[Measurand], open_: Sequence[Measurand]) -> float:
    if len(way) == 1:
        return FIRST_ASKED if way[0] is open_[0] else 0.0
    return IN_ORDER if list(way) == [each for each in open_ if each in way] else 0.0


def _weight(turn: Turn, option: Option) -> float:
    """Whether there is such a value at all."""
    if not isinstance(option.value, Quantity):
        return 0.0
    if option.measurand is Measurand.HOSE_BORE:
        return 0.0 if is_a_bore(turn, option.value) else NO_SUCH_TUBE
    if option.measurand is Measurand.TUBE_OUTSIDE_DIAMETER and option.value.is_length:
        mm = float(option.value.mm)
        return 0.0 if any(abs(mm - each) <= TUBE_WITHIN_MM for each in _tubes_mm(turn)) else NO_SUCH_TUBE
    listed = turn.knowledge.values.get(option.measurand)
    if listed is None or option.hedge is not None or any(value == option.value for value, _ in listed):
        return 0.0
    if any(_is_near(option.value, value) for value, _ in listed):
        return OFF_THE_GAUGE
    return ON_NO_GAUGE if turn.knowledge.language.is_unusual(option) else ON_NO_END


def is_a_bore(turn: Turn, value: Quantity) -> bool:
    """Whether a hose has that bore, its bore being called by a round number of millimeters as well."""
    bores = {hose.bore_mm for hose in turn.knowledge.catalogue.hoses}
    return value.is_length and any(abs(float(value.mm) - bore) <= BORE_WITHIN_MM for bore in bores)


def _is_near(value: Quantity, listed: Quantity | str) -> bool:
    """Whether it is that value, or read a little off it: "thirty-seven and a half" degrees."""
    if isinstance(listed, str) or value.unit is not listed.unit:
        return False
    return abs(value.value - listed.value) <= NEAR * float(listed.value)


def _tubes_mm(turn: Turn) -> Iterator[float]:
    for end in turn.knowledge.catalogue.ends:
        if end.tube_od_mm is not None:
            yield end.tube_od_mm
        yield from end.also_tube_od_mm
