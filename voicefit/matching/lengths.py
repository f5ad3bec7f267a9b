"""Lengths elsewhere than across the thread: hexagon, tube, flange, bolts, coupler and staple profile.

Duty: the aspects of the lengths with a few listed values. It must not hold any numbers of its own: they are the
model's.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import CandidateEnd
from voicefit.matching.aspect import TINY, Aspect, Floats, classify, normal_mass, scale_length_mm
from voicefit.matching.model import MeasurementModel
from voicefit.quantities import Quantity, Unit
from voicefit.records import Gender, Measurand, Option

TOLD = 0.95  # how often a length that is there can be told


class LengthAspect(Aspect):
    """A length with a few listed values by end; unlisted ends may read anything, and so do those (``None``) of which it
    is not known.

    ``sd_mm`` : standard uncertainty of part and reading, half of the variance each. ``other`` : share of ends that have
    another value than the listed ones. ``absent`` : how often such a length is read on an end that lists none.
    ``seldom`` : by end, how often it is read there at all, next to others; with ``plain_too``, else it is said
    that there is none.
    """

    steady = True
    measures = True
    NODES = np.array([-1.5, -0.5, 0.5, 1.5])
    WEIGHTS = np.array([0.16, 0.34, 0.34, 0.16])

    def __init__(
        self,
        name: str,
        measurand: Measurand,
        values_mm: Sequence[tuple[float, ...] | None],
        sd_mm: float,
        model: MeasurementModel,
        *,
        other: float = 0.0,
        absent: float = 1.0,
        seldom: Sequence[float] | None = None,
        plain_too: bool = False,
        greatest_mm: float | None = None,
    ) -> None:
        self.name = name  # type: ignore[misc]  # one class serves several aspects
        self.measurands = frozenset({measurand})  # type: ignore[misc]  # likewise
        often = seldom or [1.0] * len(values_mm)
        lists = [None if values is None else tuple(sorted(set(values))) for values in values_mm]
        self.class_of, classes = classify(list(zip(lists, often, strict=True)))
        keys, unknown = [key or () for key, _ in classes], [key is None for key, _ in classes]
        self._told = [min(share, TOLD) if plain_too else TOLD for _, share in classes]
        self._values_mm: list[tuple[float, ...]] = [*keys, ()]
        self._readable = [bool(key) or there for key, there in zip(keys, unknown, strict=True)]
        self._sd_mm = sd_mm / np.sqrt(2)
        self._gross, self._again = model.length.gross, model.caliper.again
        self._often_other = other >= model.length.habit
        self._greatest_mm = greatest_mm or model.caliper.greatest_mm
        self._fraction_step_in = model.caliper.fraction_step_in
        width = max((len(key) for key in keys), default=0)
        nodes = np.full((len(keys) + 1, width, len(self.NODES)), np.nan)
        logs = np.full(nodes.shape, np.log(TINY))
        elsewhere = np.zeros(len(keys) + 1)  # log probability of the state that it is no listed value
        for row, key in enumerate(keys):
            for column, value in enumerate(key):
                nodes[row, column] = value + self._sd_mm * self.NODES
                logs[row, column] = np.log((1 - other) * self.WEIGHTS / len(key))
            logs[row] += np.log(classes[row][1])
            elsewhere[row] = 0.0 if unknown[row] else np.log((other * classes[row][1] if key else absent) + TINY)
        blank = np.full((len(keys) + 1, 1), np.nan)
        self._nodes_mm = np.concatenate([nodes.reshape(len(nodes), -1), blank], axis=1)
        self.log_states = np.concatenate([logs.reshape(len(logs), -1), elsewhere[:, None]], axis=1)
        listed = sorted({value for key in keys for value in key})
        self.outcomes = [
            Option(measurand, Quantity(Fraction(round(value * 100), 100), Unit.MILLIMETRE, Fraction(1, 2)))
            for value in _thinned(listed, sd_mm)
        ]

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        value_mm, resolution_mm = scale_length_mm(option, self._fraction_step_in)
        broad = min(resolution_mm / self._greatest_mm, 1.0)
        sd = float(np.hypot(self._sd_mm / np.sqrt(times), resolution_mm / np.sqrt(12)))
        near = normal_mass(value_mm, self._nodes_mm, sd, resolution_mm)
        gross = self._gross * (self._again if times > 1 else 1.0)  # rarely the same again; five are not five proofs
        return np.where(np.isnan(self._nodes_mm), broad, (1 - gross) * near + gross * broad)

    def literal(self, option: Option) -> NDArray[np.bool_]:
        value_mm, resolution_mm = scale_length_mm(option, self._fraction_step_in)
        reach = 3.5 * float(np.hypot(self._sd_mm * np.sqrt(2), resolution_mm / np.sqrt(12)))
        if self._often_other:
            return np.ones(self.n_classes, dtype=bool)
        fits = [not key or any(abs(value - value_mm) <= reach for value in key) for key in self._values_mm]
        return np.asarray(np.array(fits) != option.negated, dtype=np.bool_)

    def answerable(self) -> Floats:
        return np.array(
            [told if there else 0.0 for there, told in zip(self._readable, self._told, strict=True)] + [0.3]
        )


def length_aspects(ends: Sequence[CandidateEnd], model: MeasurementModel) -> list[Aspect]:
    """Hexagon, tube, flange and profile."""
    numbers, absent = model.length, model.absent.length

    def flange(column: str, *, of_head: bool = False) -> list[tuple[float, ...] | None]:
        """``of_head`` : a head has the size, also where it is not known; a port has no head."""
        found = [None if end.flange is None else getattr(end.flange, column) for end in ends]
        heads = [of_head and end.flange is not None and end.gender is not Gender.PORT for end in ends]
        return [
            (float(value),) if value is not None else None if head else ()
            for head, value in zip(heads, found, strict=True)
        ]

    head_mm, thick_mm = (flange(f"head_{size}_mm", of_head=True) for size in ("diameter", "thickness"))
    long_mm, short_mm, circle_mm = (flange(f"bolt_{side}_mm") for side in ("long", "short", "circle"))
    port_heads = [numbers.port_head if end.gender is Gender.PORT else 1.0 for end in ends]
    tubes = [() if end.tube_od_mm is None else (end.tube_od_mm, *end.also_tube_od_mm) for end in ends]
    profiles = [tuple(value for _, value in end.profile_mm) for end in ends]
    hexes = [end.hex_mm for end in ends]
    head, thick = Measurand.FLANGE_HEAD_DIAMETER, Measurand.FLANGE_HEAD_THICKNESS
    hex_sd_mm, other, hex_mm = numbers.hex_sd_mm, numbers.hex_other, numbers.hex_range_mm
    return [
        LengthAspect("hex", Measurand.HEX, hexes, hex_sd_mm, model, other=other, greatest_mm=hex_mm),
        LengthAspect("tube", Measurand.TUBE_OUTSIDE_DIAMETER, tubes, numbers.tube_sd_mm, model),  # any end may have one
        LengthAspect(
            "mouth",
            Measurand.MOUTH_DIAMETER,
            [_spread(end.mouth_mm) for end in ends],
            numbers.mouth_sd_mm,
            model,
            other=numbers.mouth_other,
            absent=absent,
            seldom=[1.0 if end.ring_in_mouth else numbers.plain_mouth for end in ends],
            plain_too=True,
            greatest_mm=numbers.mouth_range_mm,
        ),
        LengthAspect(
            "flange_head", head, head_mm, numbers.flange_sd_mm, model, absent=absent, seldom=port_heads, plain_too=True
        ),
        LengthAspect(
            "flange_thickness",
            thick,
            thick_mm,
            numbers.flange_sd_mm,
            model,
            absent=absent,
            greatest_mm=numbers.flange_thick_range_mm,
        ),
        LengthAspect("bolt_long", Measurand.BOLT_LONG, long_mm, numbers.bolt_sd_mm, model, absent=absent),
        LengthAspect("bolt_short", Measurand.BOLT_SHORT, short_mm, numbers.bolt_sd_mm, model, absent=absent),
        LengthAspect("bolt_circle", Measurand.BOLT_CIRCLE, circle_mm, numbers.bolt_sd_mm, model, absent=absent),
        LengthAspect("profile", Measurand.PROFILE_DIAMETER, profiles, numbers.profile_sd_mm, model, absent=absent),
    ]


def _spread(limits_mm: tuple[float, float] | None) -> tuple[float, ...]:
    """Values that stand for all between two limits, as likely one as the other."""
    if limits_mm is None:
        return ()
    least, greatest = limits_mm
    return tuple(least + share * (greatest - least) for share in (1 / 6, 1 / 2, 5 / 6))


def _thinned(values: Sequence[float], apart: float) -> list[float]:
    """Sorted values, those nearer than ``apart`` to the one kept before left out."""
    kept: list[float] = []
    for value in values:
        if not kept or value - kept[-1] > apart:
            kept.append(value)
    return kept or [10.0]
