"""Published figures of assembly and use: torques, turns, working pressures.

Duty: ``torques.csv``, ``turns.csv`` and ``pressures.csv`` become :class:`Figure` by series and size, in N·m, turns or
flats, and bar. Every published figure is kept with its source, because the figures for one size differ between makers
and editions by up to a factor of two. It must not choose one of them, and must not average.

A size is named by exactly one of dash, tube outside diameter in mm, and thread designation, whichever names the
sizes of the series; a row with none of them holds for all sizes.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from voicefit.catalogue.conditions import ConditionRow
from voicefit.catalogue.ends import CandidateEnd, Figure
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.provenance import UNKNOWN, Provenance
from voicefit.catalogue.tables import Exact, Text, positive, read_rows
from voicefit.quantities import MM_PER_INCH, MPA_PER_PSI

POUND_N = Fraction(45359237, 10**8) * Fraction(980665, 10**5)  # 1 lbf, exact by definition of pound and g
TORQUE_NM: Mapping[str, Fraction] = {
    "N·m": Fraction(1),
    "lbf·ft": POUND_N * 12 * MM_PER_INCH / 1000,
    "lbf·in": POUND_N * MM_PER_INCH / 1000,
    "kgf·m": Fraction(980665, 10**5),
}
OF_ANOTHER_FORM = "the lowest of this size, for another form"
BAR_PER_PSI = 10 * MPA_PER_PSI


class _SizedRow(ConditionRow):
    """``edition`` : of the source, if it has several."""

    id: Text
    series: Text
    dash: Annotated[int, Field(ge=1, le=80)] | None = None
    tube_mm: Exact | None = positive(100, default=None)
    thread: str = ""
    edition: str = ""

    def key(self) -> _Key:
        given = [name for name in ("dash", "tube_mm", "thread") if getattr(self, name)]
        if len(given) > 1:
            raise self.bad(given[1], f"the size is already given by {given[0]}")
        if not given:
            return (self.series, "all", None)
        return (self.series, given[0], getattr(self, given[0]))

    def made(self, low: float, high: float, unit: str, series: Mapping[str, str], past: str = "") -> Figure:
        """The figure of this row. ``series`` : id to name."""
        holds = self.holds_for(past)
        return Figure(low, high, unit, self.source, self.edition, self.basis, holds.words(series), holds)


_Key = tuple[str, str, int | Fraction | str | None]


class _RangeRow(_SizedRow):
    low: Exact = positive()
    high: Exact = positive()

    def limits(self, factor: Fraction) -> tuple[float, float]:
        if self.low > self.high:
            raise self.bad("high", f"{float(self.high):g} is less than low, {float(self.low):g}")
        return float(self.low * factor), float(self.high * factor)


class TorqueRow(_RangeRow):
    """One row of ``torques.csv``: a range as printed, in the unit in which it was printed."""

    unit: Literal["N·m", "lbf·ft", "lbf·in", "kgf·m"]

    def figure(self, series: Mapping[str, str]) -> Figure:
        low, high = self.limits(TORQUE_NM[self.unit])
        return self.made(low, high, "N·m", series)


class TurnsRow(_RangeRow):
    """One row of ``turns.csv``. ``unit`` : whole turns or flats of the hexagon. ``past`` : whence they are counted."""

    unit: Literal["turn", "flat"]
    past: Literal["finger tight", "wrench resistance", "ring grips the tube"]

    def figure(self, series: Mapping[str, str]) -> Figure:
        low, high = self.limits(Fraction(1))
        return self.made(low, high, self.unit, series, self.past)


class PressureRow(_SizedRow):
    """One row of ``pressures.csv``: a maximum working pressure as printed, in psi or in bar."""

    pressure_psi: Exact | None = positive(20000, default=None)
    pressure_bar: Exact | None = positive(1500, default=None)

    def figure(self, series: Mapping[str, str]) -> Figure:
        bar = self.either("pressure_psi", BAR_PER_PSI, "pressure_bar")
        return self.made(bar, bar, "bar", series)


Index = Mapping[_Key, tuple[Figure, ...]]


@dataclass(frozen=True, slots=True)
class Figures:
    """All published figures: torques in N·m, turns or flats, maximum working pressures in bar; see :func:`look_up`."""

    torques: Index
    turns: Index
    pressures: Index

    def attach(self, ends: Iterable[CandidateEnd]) -> tuple[CandidateEnd, ...]:
        """The ends with the figures of their sizes; a pressure also from another form of the same size."""
        ends = tuple(ends)
        of_size: dict[str, dict[_Key, None]] = {}
        for end in ends:
            of_size.setdefault(end.size_id, {}).update(dict.fromkeys(_keys(*_named(end))))
        return tuple(
            replace(
                end,
                torque=look_up(self.torques, *_named(end)),
                turns=look_up(self.turns, *_named(end)),
                pressure=_pressures_of(
                    end,
                    look_up(self.pressures, *_named(end)),
                    tuple(figure for key in of_size[end.size_id] for figure in self.pressures.get(key, ())),
                ),
            )
            for end in ends
        )


def _pressures_of(end: CandidateEnd, named: tuple[Figure, ...], of_size: tuple[Figure, ...]) -> tuple[Figure, ...]:
    """The pressures that count for an end, of those that name its size and of all those of its series and size.

    A figure that is told to be of the end's own form counts, and so does one of which the form is not told. Where none
    is told to be of its form, the lowest of its series and size counts too, and is marked as another form's.
    """
    own = tuple(figure for figure in named if figure.holds_for is None or figure.holds_for.suits_end(end))
    if not of_size or any(figure.holds_for is not None and figure.holds_for.tells_the_form for figure in own):
        return own
    lowest = min(of_size, key=lambda figure: figure.low)
    if own and lowest.low >= min(figure.low for figure in own):
        return own
    words = "; ".join(part for part in (OF_ANOTHER_FORM, lowest.condition) if part)
    return (*own, replace(lowest, condition=words))


def _named(end: CandidateEnd) -> tuple[str, int | None, float | None, str | None]:
    """What a row may name it by: series, dash, tube, thread."""
    return end.series, end.dash, end.tube_od_mm, None if end.thread is None else end.thread.designation


def _keys(series: str, dash: int | None, tube_mm: float | None, thread: str | None) -> tuple[_Key, ...]:
    exact_tube = None if tube_mm is None else Fraction(str(tube_mm))
    return ((series, "dash", dash), (series, "tube_mm", exact_tube), (series, "thread", thread), (series, "all", None))


def look_up(
    index: Index, series: str, dash: int | None = None, tube_mm: float | None = None, thread: str | None = None
) -> tuple[Figure, ...]:
    """Every figure for a size, by whichever of its names are known, in the order of the tables."""
    return tuple(figure for key in _keys(series, dash, tube_mm, thread) for figure in index.get(key, ()))


def _check_ends(rows: Iterable[_SizedRow], keys: Container[_Key], faults: Faults) -> None:
    """Note :class:`~voicefit.errors.BadTable` for a row whose size no end has: its figure would never be said."""
    for row in rows:
        with faults.noting(row.id):
            series, column, value = row.key()
            if faults.broken(series) or faults.broken(f"ends of {series}"):
                continue
            if (series, "all", None) not in keys:
                raise row.bad("series", f"{series!r} has no end")
            if row.key() not in keys:
                raise row.bad(column, f"{series} has no end of {value}")


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object] | None = None,
    ends: Iterable[CandidateEnd] | None = None,
    faults: Faults = AT_ONCE,
    series: Mapping[str, str] | None = None,
    provenance: Provenance = UNKNOWN,
) -> Figures:
    """All figures, from the families ``torques``, ``turns`` and ``pressures``.

    Notes :class:`~voicefit.errors.BadTable`; with ``sources``, also for a source that is not among them, with ``ends``,
    also for a figure that belongs to none of them. ``series`` : id to name.
    """
    keys = None if ends is None else {key for end in ends for key in _keys(*_named(end))}
    torques = read_rows(texts, "torques", TorqueRow, sources, faults).values()
    turns = read_rows(texts, "turns", TurnsRow, sources, faults).values()
    pressures = read_rows(texts, "pressures", PressureRow, sources, faults).values()
    for rows in (torques, turns, pressures):
        if keys is not None:
            _check_ends(rows, keys, faults)
        for row in rows:
            if series is not None and row.stud_of and faults.lacks(row.stud_of, series):
                faults.note(row.bad("stud_of", f"{row.stud_of!r} is not in series.csv"))
    names = series or {}
    return Figures(*(_indexed(rows, names, faults, provenance) for rows in (torques, turns, pressures)))


def _indexed(
    rows: Iterable[TorqueRow | TurnsRow | PressureRow],
    series: Mapping[str, str],
    faults: Faults,
    provenance: Provenance,
) -> Index:
    index: dict[_Key, tuple[Figure, ...]] = {}
    for row in rows:
        with faults.noting():
            key = row.key()
            figure = row.figure(series)
            if isinstance(row, PressureRow):
                origin = provenance.of("pressures", row, "pressure_bar", "pressure_psi")
                figure = replace(figure, source=origin.source, basis=origin.basis)
            index[key] = (*index.get(key, ()), figure)
    return index
