"""Which ends of the catalogue are meant by what somebody names: "dash twelve", "a half inch JIC", "the light nut".

How it works. What is named leaves the ends that have it. Where no series is named, it is the one of the end in hand;
where no size is, the size of that. Of several series that go by one name the one met most often is taken: the answer
says which. What fits nothing has no answer; never is it taken for the end in hand.

Duty: find them. It must not say anything of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue.record import Piece
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.asking import families
from voicefit.interpretation.spelling import say_number
from voicefit.interpretation.wanted import SIZES
from voicefit.matching import explain as explanations
from voicefit.matching.aspect import Bools
from voicefit.quantities import Quantity, exact
from voicefit.records import Command, Gender, Measurand, Option, Reading

_UNIT = re.compile(r"\b(inch|inches|mil|mils|millimeters?|millimetres?|mm)\b")
_PORTS = frozenset({Gender.PORT, Gender.STUD})  # they tell the family: "a dash eight boss"
_SAME_SIDE = {
    Gender.PORT: Gender.FEMALE, Gender.FEMALE: Gender.PORT, Gender.STUD: Gender.MALE, Gender.MALE: Gender.STUD,
}  # fmt: skip
_MEASURED = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER})  # by somebody, and a little off
SAME_MM = 0.06  # sizes that differ by no more are one
_OF_A_FORM = frozenset({Measurand.GENDER})  # what tells one end of a series and size from the others


class Lacks(StrEnum):
    """Why nothing is found."""

    SERIES = "series"
    SIZE = "size"
    END = "end"


@dataclass(frozen=True, slots=True)
class NamedEnds:
    """``rows`` : of the catalogue, of one series and size. ``lacks`` : why there are none."""

    rows: tuple[int, ...] = ()
    lacks: Lacks | None = None
    series: str | None = None  # id, where one was named or meant
    thread: bool = False  # the size that is named is the thread's, and the ends are called by another
    others: tuple[int, ...] = ()  # one row each of the other sizes that have that thread, and are meant as much


def is_named(about: Sequence[Reading]) -> bool:
    """Whether an end is named, and not a pressure alone."""
    return any(Measurand.PRESSURE not in reading.measurands for reading in about)


def is_sized(about: Sequence[Reading]) -> bool:
    """Whether a size is among what is named."""
    return any(reading.measurands & SIZES for reading in about)


def tells_form(about: Sequence[Reading]) -> bool:
    """Whether it is named which of the two that mate it is: male or female."""
    return any(reading.measurands <= _OF_A_FORM for reading in about)


def ends_named(
    turn: Turn,
    about: Sequence[Reading],
    series: frozenset[str],
    near: CandidateEnd | None,
    known: Callable[[CandidateEnd], object] | None = None,
    *,
    any_size: bool = False,
) -> NamedEnds:
    """The ends that are named. ``series`` : ids of those that words name beside the readings ("the light one");
    ``near`` : the end in hand, of which is what is not named; ``known`` : what is known of the ends that are preferred;
    ``any_size`` : where none is named nor in hand, the usual."""
    ends = turn.knowledge.catalogue.ends
    meant: Bools = np.array([end.trade is None and (not series or end.series in series) for end in ends])
    told = bool(series)
    sizes = [each for each in about if each.measurands & SIZES]
    angles = [each for each in sizes if is_an_angle(turn, each, sizes)]
    sizes = [each for each in sizes if each not in angles]
    for reading in sorted(
        (each for each in about if each not in sizes), key=lambda each: each.measurands <= _OF_A_FORM
    ):
        if Measurand.PRESSURE in reading.measurands:
            continue
        genders = {o.value for o in reading.options if o.measurand is Measurand.GENDER}
        own = np.array([end.gender in genders for end in ends])
        if told and not (meant & own).any():  # of a series without ports "a hole" is a female
            own = np.array([_SAME_SIDE[end.gender] in genders for end in ends])
        meant = meant & (own if genders else has(turn, reading))
        told = told or not reading.measurands <= _OF_A_FORM or any(o.value in _PORTS for o in reading.options)
    if not told and near is None:
        return NamedEnds(lacks=Lacks.SERIES)
    if not told and near is not None:
        meant = meant & np.array([end.series == near.series for end in ends])
    kinds = {end.series for end, is_meant in zip(ends, meant, strict=True) if is_meant}
    only = next(iter(kinds)) if len(kinds) == 1 else None
    if not sizes and near is None and not any_size:
        return NamedEnds(lacks=Lacks.SIZE, series=only)
    for reading in sizes:
        meant = meant & _of_size(turn, reading, meant)
    if not sizes and near is not None:
        meant = meant & np.array([_same_size(end, near) for end in ends])
    rows = [int(row) for row in np.flatnonzero(meant)]
    if not rows:
        return NamedEnds(lacks=Lacks.END, series=only)
    usual = turn.knowledge.believe(Piece()).posterior.log_p
    best = max(
        rows,
        key=lambda row: (
            near is not None and ends[row].series == near.series,
            known is None or bool(known(ends[row])),
            float(usual[row]),
        ),
    )
    found = tuple(row for row in rows if ends[row].size_id == ends[best].size_id)
    if ends[best].tube_od_mm is None or not any(each.measurands == {Measurand.THREAD_SIZE} for each in sizes):
        return NamedEnds(found, series=ends[best].series)
    others = {ends[row].size_id: row for row in rows if ends[row].gender is ends[best].gender and row not in found}
    return NamedEnds(found, series=ends[best].series, thread=True, others=tuple(others.values()))


def _same_size(end: CandidateEnd, near: CandidateEnd) -> bool:
    if end.series == near.series:
        return end.size == near.size
    if None not in (end.dash, near.dash):
        return end.dash == near.dash
    return end.dn is not None and end.dn == near.dn


def is_an_angle(turn: Turn, reading: Reading, sizes: Sequence[Reading]) -> bool:
    """Whether a bare number is the angle of a seat: beside a size, or where nothing is called so."""
    angles = [option for option in reading.options if option.measurand is Measurand.SEAT_ANGLE]
    if not any(_has_it(turn, option).any() for option in angles):
        return False
    values = [option.value for option in angles if isinstance(option.value, Quantity)]
    called = (is_called(end.nominal, value) for end in turn.knowledge.catalogue.ends for value in values)
    return len(sizes) > 1 or not any(called)


def _of_size(turn: Turn, reading: Reading, meant: Bools) -> Bools:
    """The ends of a size: as they are called, by what they measure where it is said what it is of, and, of a number
    without a unit, by their dash ("a twelve JIC"), the first way that finds one of those that are meant."""
    ends = turn.knowledge.catalogue.ends
    bare = len(reading.measurands) > 1
    ways: list[Bools] = []
    for option in reading.options:
        if option.measurand not in SIZES or not isinstance(option.value, Quantity):
            continue
        if option.measurand is not Measurand.DASH:
            called = np.array([is_called(end.nominal, option.value) for end in ends])
            measured = [] if bare else [_has_it(turn, option)]
            threads = option.measurand is Measurand.THREAD_SIZE  # "M thirty" is the tube of another end
            ways += [*measured, called] if threads else [called, *measured]
        if option.measurand is Measurand.DASH or (bare and _UNIT.search(reading.heard) is None):
            ways.append(np.array([end.dash is not None and end.dash == option.value.value for end in ends]))
    return next((way for way in ways if (way & meant).any()), np.zeros(len(ends), dtype=bool))


def as_called(turn: Turn, reading: Reading) -> Bools:
    """The ends that are called as the reading says: of the country, the size or the dash that it names, or that have
    the very measure. What only comes near is another end: M fourteen is no nine sixteenths, and fifteen no fourteen.
    What names neither is what they have."""
    called, measured = called_and_measured(turn, reading)
    return called | measured


def called_and_measured(turn: Turn, reading: Reading) -> tuple[Bools, Bools]:
    """Those of :func:`as_called` that are called by what the reading names, and those that measure it or have it."""
    ends = turn.knowledge.catalogue.ends
    found: Bools = np.zeros(len(ends), dtype=bool)
    countries = {str(option.value) for option in reading.options if option.measurand is Measurand.COUNTRY}
    if countries:
        return np.array([not countries.isdisjoint(_home(turn, end.series)) for end in ends]), found
    said = [each for each in reading.options if each.measurand in SIZES and isinstance(each.value, Quantity)]
    read_off = any(isinstance(each.value, Quantity) and not _is_a_name(each.value) for each in said)
    if not said or read_off or reading.measurands <= _MEASURED:
        return found, has(turn, reading)
    bare, measured = len(reading.measurands) > 1, found
    for option in reading.options if bare else said:
        size = option.value
        if not isinstance(size, Quantity):
            continue
        if option.measurand is not Measurand.DASH and size.is_length:
            found = found | np.array([is_called(end.nominal, size) for end in ends])
        if option.measurand is Measurand.DASH or (bare and size.is_length and _UNIT.search(reading.heard) is None):
            found = found | np.array([end.dash is not None and end.dash == size.value for end in ends])
        measured = measured | np.array([_measures(end, option, size) for end in ends])
    return found, measured


def _is_a_name(size: Quantity) -> bool:
    """Whether it is whole, or parted as inches are: nothing is called twenty-one point three."""
    return size.value.denominator & (size.value.denominator - 1) == 0


def _measures(end: CandidateEnd, option: Option, size: Quantity) -> bool:
    """Whether the end has this size, and none beside it."""
    if option.measurand is Measurand.THREAD_SIZE:
        thread = end.thread
        return thread is not None and (exact(thread.size), thread.size_unit) == (size.value, size.unit.value)
    own = explanations.nominal(end, option.measurand)
    if not isinstance(own, Quantity):
        return False
    if option.measurand is Measurand.SEAT_ANGLE:
        return size.value in (own.value, 2 * own.value)  # half, or included
    return abs(own.mm - size.mm) <= SAME_MM if own.is_length and size.is_length else own == size


def _home(turn: Turn, series: str) -> frozenset[str]:
    """The countries on whose machines a series is met most."""
    odds = {country: of.get(series, 0.0) for country, of in turn.knowledge.catalogue.origins.items()}
    return frozenset(country for country, each in odds.items() if each > 0 and each == max(odds.values()))


def has(turn: Turn, reading: Reading) -> Bools:
    """The ends that have what the reading says, of several things the likeliest.

    A number without its measure is the angle of a seat where some seat has it ("could it be forty-five"), or else a
    size that an end is called by.
    """
    matcher, log_p = turn.knowledge.matcher, turn.belief.posterior.log_p
    ends = turn.knowledge.catalogue.ends
    options: Sequence[Option] = reading.options
    found = []
    if len(reading.measurands) > 1 and isinstance(size := options[0].value, Quantity):
        angles = [each for each in options if each.measurand is Measurand.SEAT_ANGLE]
        options = angles if any(_has_it(turn, each).any() for each in angles) else options
        if not angles or options is not angles:
            found.append(np.array([is_called(end.nominal, size) for end in ends]))
    found += [_has_it(turn, option) for option in options if matcher.tells(option.measurand)]
    found = [each for each in found if each.any()]
    if not found:
        return np.zeros(len(ends), dtype=bool)
    return max(found, key=lambda rows: float(log_p[:-1][rows].max()))


def _has_it(turn: Turn, option: Option) -> Bools:
    """The ends that have a value of this kind, and to which it fits at its word."""
    ends, aspect = turn.knowledge.catalogue.ends, turn.knowledge.matcher.aspect(option.measurand)
    has = np.array([explanations.nominal(end, option.measurand) is not None for end in ends])
    return has & np.asarray(aspect.fits(option))[aspect.class_of][: len(ends)]


def is_called(nominal: str, size: Quantity) -> bool:
    try:
        return exact(nominal) == size.value
    except ValueError:
        return False


def series_named(turn: Turn, command: Command) -> frozenset[str]:
    """Ids of the series that are asked about: the one named, or all that one of the words names ("British")."""
    if command.argument is not None:
        return frozenset({command.argument})
    said = families(command.heard.casefold().replace("-", " ").split())
    catalogue = turn.knowledge.catalogue
    return frozenset(
        each.id
        for each in catalogue.series.values()
        if said & {word for name in (*each.words, each.spoken_name) for word in name.casefold().split()}
    )


def series_put_on(turn: Turn, command: Command) -> frozenset[str]:
    """The same, and what is called by the number of its code or cone alone: "sixty one clamps", "a forty five"."""
    heard = re.sub(r"\d+", lambda found: say_number(int(found[0])), command.heard.casefold()).replace("-", " ")
    numbers = {number for number in range(21, 100) if re.search(rf"\b{say_number(number).replace('-', ' ')}\b", heard)}
    numbers = {number for number in numbers if number % 10}  # "thirty" may be so much else
    by_number = {i for i in turn.knowledge.catalogue.series if not numbers.isdisjoint(map(int, re.findall(r"\d+", i)))}
    return series_named(turn, command) or frozenset(by_number)


def it_is(turn: Turn, row: int) -> str:
    """That an end is this one, as sure as it is."""
    settled = turn.record.end_of(turn.piece) is not None
    words = turn.knowledge.end_words(row, brief=True)
    return turn.knowledge.wording.phrase("it-is" if settled else "so-far-it-is", end=words)
