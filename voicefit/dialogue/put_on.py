"""What somebody means to put on the end in hand: the ends of the catalogue that are all of what is named.

How it works. Series, thread system, size, gender and whatever else is named each leave the ends that are so; nothing
that is named is passed over, and a size is met exactly. So what is left may go on or not, or may be of another size: a
yes is for it alone. A size of which it is not said what it is of is first what an end is called by, its nominal or its
dash; an end whose thread alone measures so is kept apart: it is meant only if the thread was.

Duty: find them. It must not judge what mates (:mod:`voicefit.ordering.mating` does), nor say anything.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from voicefit.dialogue.named import called_and_measured, has, is_an_angle, series_named, series_put_on
from voicefit.dialogue.record import Piece
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.wanted import SIZES
from voicefit.matching.aspect import Bools
from voicefit.quantities import Quantity
from voicefit.records import Command, Gender, Measurand, Reading

_OF_A_FAMILY = frozenset({Measurand.SERIES, Measurand.THREAD_SYSTEM})
_THREAD = frozenset({Measurand.THREAD_SIZE})
_OF_A_NUMBER = 1  # measurands that a number may have and be no bare one
_THREADED_AS = {Gender.STUD: Gender.MALE, Gender.PORT: Gender.FEMALE}
_NUT = "nut"  # never a port


@dataclass(frozen=True, slots=True)
class PutOn:
    """``rows`` : the ends that are as is named; ``threads`` : those of them that are only if a bare size is that of the
    thread. ``told`` : something was named; ``sized`` : so was a size; ``threaded`` : it was the thread's."""

    rows: Bools
    threads: Bools
    told: bool
    sized: bool
    threaded: bool

    def words(self, turn: Turn, row: int) -> str | None:
        """What is named, in words, where it is of a size: its thread where that was named, else its likeliest end."""
        would_be = self.would_be(turn, row) if self.sized else None
        if would_be is None or would_be == row:
            return None
        end, names = turn.knowledge.catalogue.ends[would_be], turn.knowledge.names
        return names.thread(end) if self.threaded and end.thread is not None else names.end(end, brief=True)

    def would_be(self, turn: Turn, row: int) -> int | None:
        """The likeliest end that is as is named and of the other gender than the one in hand, of its mates' series
        where no other is named; ``None`` where none is."""
        ends, names = turn.knowledge.catalogue.ends, turn.knowledge.names
        mates = turn.knowledge.aftercare.follow(row).mating.mates
        series, forms = {end.series for end in mates}, {(end.series, end.variant) for end in mates}
        usual = turn.knowledge.believe(Piece()).posterior.log_p
        return max(
            (int(each) for each in np.flatnonzero(self.rows) if ends[each].trade is None),
            key=lambda each: (
                (ends[each].series, ends[each].variant) in forms,
                ends[each].series in series,
                not self.threads[each],
                names.rows[ends[each].id] != row and ends[each].external != ends[row].external,
                float(usual[each]),
            ),
            default=None,
        )


def as_put_on(turn: Turn, command: Command, named: Sequence[Reading]) -> PutOn:
    """What is meant by what a question names that is to go on."""
    ends = turn.knowledge.catalogue.ends
    sizes = [reading for reading in named if reading.measurands & SIZES]
    series = _series(turn, command, sizes)
    told = bool(series)
    rows: Bools = np.array([not told or end.series in series for end in ends])
    threads: Bools = np.zeros(len(ends), dtype=bool)
    sized, threaded, pitched = False, False, any(each.measurands == {Measurand.PITCH} for each in named)
    for reading in sorted(named, key=lambda each: each.measurands == {Measurand.GENDER}):
        if Measurand.PRESSURE in reading.measurands or (series and reading.measurands == {Measurand.COUNTRY}):
            continue  # "Japanese" names series
        if reading.measurands == {Measurand.GENDER}:
            rows = rows & _of_gender(turn, reading, rows)
        elif reading.measurands <= _OF_A_FAMILY:
            rows, told = rows & _of_family(turn, reading), True
        elif _names_a_series(reading, series):
            continue  # "sixty one clamps"
        elif reading in sizes and not is_an_angle(turn, reading, sizes):
            called, measured = called_and_measured(turn, reading)
            if reading.measurands <= _THREAD or (pitched and reading.measurands >= _THREAD):
                called = called & np.array([end.thread is None for end in ends])  # "M thirty" is no tube of thirty
                threaded = True
            elif len(reading.measurands) > _OF_A_NUMBER:
                threads = threads | (measured & ~called)
            rows, told, sized = rows & (called | measured), True, True
        else:
            own = _of_shape(turn, reading) if reading.measurands == {Measurand.SHAPE} else has(turn, reading)
            rows, told = rows & own if own.any() else rows, True  # what no end has tells of none
    threads = rows & threads & np.array([end.thread is not None for end in ends])
    return PutOn(rows, threads, told, sized, threaded)


def _series(turn: Turn, command: Command, sizes: Sequence[Reading]) -> frozenset[str]:
    """The series that words name, by the number of a code or cone too where it is not the size of something."""
    sure = any(reading.measurands <= _THREAD | {Measurand.DASH} for reading in sizes)
    return series_named(turn, command) if sure else series_put_on(turn, command)


def _names_a_series(reading: Reading, series: frozenset[str]) -> bool:
    """Whether a bare number is that of the code or cone of the series: "sixty one"."""
    values = {option.value.value for option in reading.options if isinstance(option.value, Quantity)}
    numbers = {int(number) for each in series for number in re.findall(r"\d+", each)}
    return len(reading.measurands) > _OF_A_NUMBER and not values.isdisjoint(numbers)


def _of_gender(turn: Turn, reading: Reading, meant: Bools) -> Bools:
    """The ends of the gender that is named, and studs for males and ports for females; of a series without ports a
    port is a female. What is said of the end in hand, "this male", leaves all."""
    ends, genders = turn.knowledge.catalogue.ends, {option.value for option in reading.options}
    heard = turn.heard.casefold()
    if re.search(rf"\b(this|my|that) ([a-z0-9]+ )*{re.escape(reading.heard.casefold())}\b", heard):
        return np.ones(len(ends), dtype=bool)
    nut = _NUT in reading.heard.casefold().split()
    own = np.array([end.gender in genders for end in ends])
    side = own | np.array([_THREADED_AS.get(end.gender) in genders for end in ends])
    if not nut and not (meant & side).any():
        side = side | np.array(
            [end.gender in {_THREADED_AS.get(Gender(str(each))) for each in genders} for end in ends]
        )
    return own if nut else side


def _of_shape(turn: Turn, reading: Reading) -> Bools:
    shapes = {option.value for option in reading.options}
    return np.array([end.shape in shapes for end in turn.knowledge.catalogue.ends])


def _of_family(turn: Turn, reading: Reading) -> Bools:
    """The ends of the series, or with a thread of the system, that is named; of any pitch and size."""
    names = {option.value for option in reading.options}
    ends = turn.knowledge.catalogue.ends
    return np.array([end.series in names or (end.thread is not None and end.thread.system in names) for end in ends])
