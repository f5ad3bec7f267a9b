"""A hose assembly judged: rating, temperature, bend, length with its tolerance.

Duty: compute and find fault. It must not choose a hose and must not word what it finds.

Conventions, said on every slip:

* Length is between the sealing faces; at an elbow to the centre line of its sealing face.
* Elbow angle: look along the hose from end one; turn the hose until the elbow at end two points straight down; the
  angle is counted clockwise from there to the elbow at end one.
* Rating is the lowest of hose, ends and adapters. The hose bursts at no less than the design factor times its working
  pressure; four to one for hydraulic hoses by their standards.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.ends import Basis
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.tables import Exact, Row, Text, positive, read_rows
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.rating import Rating, rating_of

# Straight hose at each end before the bend begins, in outside diameters: DIN 20066, recalled.
STRAIGHT_DIAMETERS = 1.5
FULL_TURN_BACK_DEG = 180.0


class Fault(StrEnum):
    """What speaks against an assembly. The words are the dialogue's, and the slip's text's."""

    PRESSURE = "pressure"  # required over rating
    TEMPERATURE = "temperature"
    BEND = "bend"  # the route's radius is under the hose's least
    SHORT = "short"  # the length does not allow the route's bend
    SIZE = "size"  # an end of another bore than the hose
    NO_FIGURE = "no_figure"  # the rating is of the parts that have a figure only


class LengthToleranceRow(Row):
    """One row of ``length-tolerances.csv``: for lengths over and up to, in mm or in per cent of the length."""

    id: Text
    practice: Text
    dn_from: Annotated[int, Field(ge=1, le=200)]
    dn_to: Annotated[int, Field(ge=1, le=200)]
    over_mm: Exact | None = positive(100_000, default=None)
    to_mm: Exact | None = positive(100_000, default=None)
    plus_mm: Exact | None = positive(500, default=None)
    minus_mm: Exact | None = positive(500, default=None)
    plus_percent: Exact | None = positive(10, default=None)
    minus_percent: Exact | None = positive(10, default=None)


@dataclass(frozen=True, slots=True)
class LengthTolerance:
    """What a practice allows for one length: ``plus_mm`` longer, ``minus_mm`` shorter."""

    practice: str
    plus_mm: float
    minus_mm: float
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Assembly:
    """``rating`` counts the hose as a part by its id. ``least_length_mm`` : for the bend of the route, half a circle
    where none was said. ``faults`` : in order of :class:`Fault`."""

    hose: Hose
    facts: HoseFacts
    ends: tuple[CandidateEnd, ...]
    rating: Rating
    burst_bar: float
    design_factor: float
    tolerances: tuple[LengthTolerance, ...]
    least_length_mm: float
    faults: tuple[Fault, ...]
    adapter_ends: tuple[CandidateEnd, ...] = ()

    @property
    def recalled(self) -> bool:
        """Whether the figure that rates it was recalled and not read."""
        figure = self.rating.figure
        return figure.recalled if figure is not None else self.hose.basis is Basis.MEMORY

    @property
    def most_turn_deg(self) -> float | None:
        """How far this length can turn at its least bend radius, 0 to 360; ``None`` where no length was said."""
        return None if self.facts.length_mm is None else most_turn(self.hose, self.facts.length_mm)


def tolerances_from(
    catalogue: Catalogue, data: Mapping[str, str], faults: Faults = AT_ONCE
) -> tuple[LengthToleranceRow, ...]:
    """The rows of ``length-tolerances.csv``. Notes ``BadTable``."""
    rows = read_rows(data, "length-tolerances", LengthToleranceRow, catalogue.sources, faults)
    for row in rows.values():
        given = [each is not None for each in (row.plus_mm, row.minus_mm, row.plus_percent, row.minus_percent)]
        if given not in ([True, True, False, False], [False, False, True, True]):
            faults.note(row.bad("plus_mm", "give both tolerances in mm or both in per cent"))
    return tuple(rows.values())


def length_tolerances(rows: Iterable[LengthToleranceRow], length_mm: float, dn: int) -> tuple[LengthTolerance, ...]:
    """What each practice allows for a length and a bore; nothing where a practice says nothing."""
    found = []
    for row in rows:
        over, to = float(row.over_mm or 0), float(row.to_mm or math.inf)
        if not (row.dn_from <= dn <= row.dn_to and over < length_mm <= to):
            continue
        if row.plus_mm is not None and row.minus_mm is not None:
            plus, minus = float(row.plus_mm), float(row.minus_mm)
        else:
            plus = length_mm * float(row.plus_percent or 0) / 100
            minus = length_mm * float(row.minus_percent or 0) / 100
        found.append(LengthTolerance(row.practice, plus, minus, row.source, row.basis))
    return tuple(found)


def least_length(hose: Hose, angle_deg: float = FULL_TURN_BACK_DEG, radius_mm: float | None = None) -> float:
    """The length in mm needed to turn through an angle: the arc, and a straight piece at either end.

    ``radius_mm`` : of the route, to the inside of the bend as hose standards measure; the hose's least if not given.
    """
    radius = hose.bend_radius_mm if radius_mm is None else radius_mm
    outside = _outside_mm(hose)
    return math.radians(angle_deg) * (radius + outside / 2) + 2 * STRAIGHT_DIAMETERS * outside


def most_turn(hose: Hose, length_mm: float) -> float:
    """The angle in degrees through which a length can turn at the least bend radius, between its straight ends."""
    outside = _outside_mm(hose)
    left_mm = length_mm - 2 * STRAIGHT_DIAMETERS * outside
    return min(max(math.degrees(left_mm / (hose.bend_radius_mm + outside / 2)), 0.0), 360.0)


def _outside_mm(hose: Hose) -> float:
    return hose.outside_diameter_mm or 2 * hose.bore_mm


def assess(
    hose: Hose,
    facts: HoseFacts,
    ends: tuple[CandidateEnd, ...],
    adapter_ends: Iterable[CandidateEnd] = (),
    rows: Iterable[LengthToleranceRow] = (),
    *,
    water_based: bool = False,
) -> Assembly:
    """Judge an assembly of a hose, its ends and the adapters that stay in the line, for a fluid."""
    adapter_ends = tuple(adapter_ends)
    rating = _with_hose(rating_of((*ends, *adapter_ends)), hose)
    dn = hose.dn or round(hose.bore_mm)
    least_mm = least_length(hose, facts.routed_bend_deg or FULL_TURN_BACK_DEG, facts.routed_radius_mm)
    return Assembly(
        hose=hose,
        facts=facts,
        ends=ends,
        rating=rating,
        burst_bar=hose.pressure_bar * hose.type.burst_ratio,
        design_factor=hose.type.burst_ratio,
        tolerances=() if facts.length_mm is None else length_tolerances(rows, facts.length_mm, dn),
        least_length_mm=least_mm,
        faults=tuple(_faults(hose, facts, ends, rating, least_mm, water_based=water_based)),
        adapter_ends=adapter_ends,
    )


def _with_hose(rating: Rating, hose: Hose) -> Rating:
    if rating.bar is not None and rating.bar <= hose.pressure_bar:
        return rating
    return Rating(hose.pressure_bar, hose.id, None, rating.without_figure)


def _faults(
    hose: Hose, facts: HoseFacts, ends: tuple[CandidateEnd, ...], rating: Rating, least_mm: float, *, water_based: bool
) -> Iterable[Fault]:
    if facts.pressure_bar is not None and rating.bar is not None and facts.pressure_bar > rating.bar:
        yield Fault.PRESSURE
    if not all(hose.type.allows(each, water_based=water_based) for each in facts.temperature_c):
        yield Fault.TEMPERATURE
    if facts.routed_radius_mm is not None and facts.routed_radius_mm < hose.bend_radius_mm:
        yield Fault.BEND
    if facts.length_mm is not None and facts.routed_bend_deg is not None and facts.length_mm < least_mm:
        yield Fault.SHORT
    if any(end.dash is not None and end.dash != hose.dash for end in ends):
        yield Fault.SIZE
    if rating.without_figure:
        yield Fault.NO_FIGURE
