"""The diameter across thread crests: limits of the thread, wear, taper, caliper, and inside named outside.

The likelihood. Let ``d`` be the diameter that this piece has across its crests, ``h`` the habit of naming the side, and
``x`` what was read to a resolution ``r``, at an offset ``o`` along a taper:

    p(d | end) = sum over c of w_c N(d; middle of the limits -+ wear_c, half of the limits^2 / 3 + kept^2 + sd_c^2)
    p(x | d, h) = p(side | h) ((1 - g - n) r N(x; d + o, sd^2 + r^2 / 12 + along^2) + n (x is nominal) + g r / range)

with ``w_c`` the share of pieces as new, used and worn, ``g`` a gross slip, ``n`` the nominal size said for what was to
be measured, ``along`` the standard uncertainty of where on a taper the jaws were. Limits are rectangular and a rounded
value has ``r^2 / 12`` (JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7 and F.2.2.1). The
same value read ``k`` times counts as one with ``sd^2 / k``, and its slip as one that came again. ``p(x | end)`` sums
over ``d`` (a grid) and ``h``; of "none of these", ``d`` may be anything.

Duty: that aspect, of all diameters across a thread. It must not decide which reading is right.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.matching.aspect import (
    TINY,
    Aspect,
    Evidence,
    Floats,
    Ints,
    classify,
    is_fraction,
    log_sum,
    normal_mass,
    scale_length_mm,
)
from voicefit.matching.model import MeasurementModel
from voicefit.quantities import MM_PER_INCH, Quantity, Unit, exact
from voicefit.records import ABSENT, Gender, Measurand, Option

NODES = 20  # grid points over a part's possible diameters
NONE_NODES = 1024  # over all diameters, for "none of these"
BIN_MM = 0.4  # of foreseen readings
FAR_SD = 2.6  # a reading further off than this does not fit, taken at its word

SIDED = {Measurand.OUTSIDE_DIAMETER: True, Measurand.INSIDE_DIAMETER: False}
PLACE = {Measurand.FIRST_THREAD_DIAMETER: 1, Measurand.LAST_THREAD_DIAMETER: 2}  # 0: anywhere along the thread


class DiameterAspect(Aspect):
    name = "diameter"
    steady = True
    measures = True
    measurands = frozenset(
        {
            Measurand.OUTSIDE_DIAMETER,
            Measurand.INSIDE_DIAMETER,
            Measurand.FIRST_THREAD_DIAMETER,
            Measurand.LAST_THREAD_DIAMETER,
        }
    )

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        self._model = model
        self.class_of, keys = classify([_key(end) for end in ends])
        shapes = [_shape(key, model) for key in keys]
        n = len(shapes)
        self._external = np.array([shape.external for shape in shapes] + [0.5])
        self._nominal_mm = np.array([shape.nominal_mm for shape in shapes] + [np.nan])
        self._offset_mm = np.array([shape.offset_mm for shape in shapes] + [(0.0, 0.0, 0.0)])  # plain, first, last
        self._spread_mm = np.array([shape.spread_mm for shape in shapes] + [0.0])
        self._limits_mm = np.array([shape.limits_mm for shape in shapes] + [(np.nan, np.nan)])
        self.nodes_mm = np.array([shape.nodes_mm for shape in shapes]).reshape(n, NODES)
        weights = np.array([shape.weights for shape in shapes]).reshape(n, NODES)
        kept = model.caliper.side_kept
        habit = np.log(np.array([1 - kept, kept]))
        # States: diameter nodes, first with the side named rightly, then wrongly. The row of "none of these" has a
        # grid of its own (log_likelihood); here it stands as one flat state so that foreseeing works for all rows.
        flat = np.full((1, NODES), 1 / NODES)
        logs = np.log(np.concatenate([weights, flat]) + TINY)
        self.log_states = np.concatenate([logs + habit[0], logs + habit[1]], axis=1)
        low, high = model.caliper.least_mm, model.caliper.greatest_mm
        self._broad = 1.0 / (high - low)
        self._none_mm = np.linspace(low, high, NONE_NODES)[None, :]
        listed = self._limits_mm[:-1][np.isfinite(self._limits_mm[:-1])]
        low, high = (float(listed.min()) - 1.5, float(listed.max()) + 1.5) if len(listed) else (low, high)
        centres = np.arange(low, high, BIN_MM)
        self._centres_mm = centres
        self.outcomes = [Option(measurand, _millimetres(value)) for measurand in SIDED for value in centres]

    # ---- reports ----------------------------------------------------------------------------------------

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        value_mm, resolution_mm = self._said_mm(option)
        place = PLACE.get(option.measurand, 0)
        sd = self._sd_mm(option, resolution_mm, times)
        spread = self._spread_mm[:-1, None] if place == 0 else 0.0
        near = normal_mass(
            value_mm, self.nodes_mm + self._offset_mm[:-1, place, None], np.hypot(sd, spread), resolution_mm
        )
        nominal = np.abs(self._nominal_mm[:-1, None] - value_mm) < 0.02
        caliper = self._model.caliper
        broad = resolution_mm * self._broad
        again = caliper.again ** (times - 1)
        gross, by_name = caliper.gross * again, caliper.nominal * again
        right = (1 - gross - by_name) * near + by_name * nominal + gross * broad
        right = np.concatenate([right, np.full((1, NODES), broad)])
        named_right, named_wrong = self._named(option.measurand)
        return np.concatenate([right * named_right, right * named_wrong], axis=1)

    def _named(self, measurand: Measurand) -> tuple[Floats, Floats]:
        """Probability of naming this side, by class, under the right and the wrong habit: (n_classes, 1) each."""
        external = self._external[:, None]
        if measurand not in SIDED:
            both = np.where(external == 0.0, self._model.caliper.side, 1.0)  # first and last thread: outside, mostly
            return both, both
        side = external if SIDED[measurand] else 1 - external
        slip = self._model.caliper.side
        return side * (1 - slip) + (1 - side) * slip, side * slip + (1 - side) * (1 - slip)

    def _sd_mm(self, option: Option, resolution_mm: float, times: int = 1) -> float:
        caliper = self._model.caliper
        fraction = isinstance(option.value, Quantity) and is_fraction(option.value)
        base = caliper.fraction_sd_mm if fraction else caliper.decimal_sd_mm
        return float(np.hypot(base / np.sqrt(times), resolution_mm / np.sqrt(12)))

    def _said_mm(self, option: Option) -> tuple[float, float]:
        return scale_length_mm(option, self._model.caliper.fraction_step_in)

    def log_likelihood(self, evidence: Sequence[Evidence]) -> Floats:
        known = log_sum(self.log_posterior_states(evidence))
        # None of these: any diameter at all, but the same one in all readings.
        total = np.full(self._none_mm.shape, -np.log(NONE_NODES))
        caliper = self._model.caliper
        for one, times in Counter(evidence).items():
            said = np.zeros_like(self._none_mm)
            for option, weight in one.options:
                if option.value == ABSENT:
                    said += weight * float(self.probability(option, None)[-1, 0])
                    continue
                value_mm, resolution_mm = self._said_mm(option)
                sd = max(self._sd_mm(option, resolution_mm, times), float(self._none_mm[0, 1] - self._none_mm[0, 0]))
                near = normal_mass(value_mm, self._none_mm, sd, resolution_mm)
                mass = (1 - caliper.gross) * near + caliper.gross * resolution_mm * self._broad
                mass = mass * (0.5 if option.measurand in SIDED else 1.0)
                said += weight * (1 - mass if option.negated else mass)
            total = total + np.log(said + TINY)
        known[-1] = log_sum(total)[0]
        return known

    # ---- foresight and plain fit ------------------------------------------------------------------------

    def foresee_open(
        self, states: Floats, measurand: Measurand, classes: Ints, finer_mm: float | None = None
    ) -> Floats:
        """As the base, by matched moments: each class's diameter given the readings, seen through a common caliper."""
        place = PLACE.get(measurand, 0)
        right, wrong = states[:, :NODES], states[:, NODES:]
        listed = classes < len(self.nodes_mm)  # all but "none of these"
        some = classes[listed]
        both = (right + wrong)[listed]
        mean = (both * self.nodes_mm[some]).sum(axis=1)
        variance = np.maximum((both * self.nodes_mm[some] ** 2).sum(axis=1) - mean**2, 0)
        spread = self._spread_mm[some] if place == 0 else 0.0
        sd = np.sqrt(variance + spread**2 + self._model.caliper.foreseen_sd_mm**2)
        edges = np.append(self._centres_mm, self._centres_mm[-1] + BIN_MM) - BIN_MM / 2
        z = (edges[None, :] - (mean + self._offset_mm[some, place])[:, None]) / sd[:, None]
        below = 1 / (1 + np.exp(np.clip(-1.702 * z, -60, 60)))  # logistic form of the normal integral, within 0.01
        n_bins = len(self._centres_mm)
        gross = self._model.caliper.gross + self._model.caliper.nominal
        masses = np.full((len(classes), n_bins), 1 / n_bins)
        masses[listed] = (1 - gross) * np.diff(below, axis=1) + gross / n_bins
        habit = wrong.sum(axis=1, keepdims=True)
        tables = []
        for side in SIDED:
            named_right, named_wrong = self._named(side)
            tables.append(masses * ((1 - habit) * named_right[classes] + habit * named_wrong[classes]))
        table = np.concatenate(tables, axis=1)
        return np.asarray(table / table.sum(axis=1, keepdims=True), dtype=np.float64)

    def literal(self, option: Option) -> NDArray[np.bool_]:
        value_mm, resolution_mm = self._said_mm(option)
        place = PLACE.get(option.measurand, 0)
        sd = self._sd_mm(option, resolution_mm)
        reach = FAR_SD * sd + (np.sqrt(3) * self._spread_mm if place == 0 else 0.0)  # anywhere along a taper
        worn = self._model.thread_condition.wear_mm[-1]
        low = self._limits_mm[:, 0] + self._offset_mm[:, place] - reach - worn * (self._external == 1.0)
        high = self._limits_mm[:, 1] + self._offset_mm[:, place] + reach + worn * (self._external == 0.0)
        fits = (value_mm >= low) & (value_mm <= high)
        if option.measurand in SIDED:
            fits &= self._external != (0.0 if SIDED[option.measurand] else 1.0)
        return np.asarray(fits != option.negated, dtype=np.bool_)

    def answerable(self) -> Floats:
        return np.append((np.isfinite(self._nominal_mm[:-1])) * 0.95 + 0.05, 0.5)


class _Shape(NamedTuple):
    """The diameters of one class of ends. ``external`` : 1 external, 0 internal, 0.5 no thread. ``offset_mm`` : plain,
    at the first and at the last thread."""

    external: float
    nominal_mm: float
    limits_mm: tuple[float, float]
    nodes_mm: Floats
    weights: Floats
    offset_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    spread_mm: float = 0.0


def _key(end: CandidateEnd) -> tuple[Thread | None, bool | None, tuple[float, ...]]:
    """What the diameters of an end depend on: its thread and side, or its smooth diameters and side."""
    if end.thread is not None:
        return end.thread, end.external, ()
    plain = tuple(value for _, value in end.profile_mm)
    if end.flange is not None and end.gender is not Gender.PORT and end.flange.head_diameter_mm is not None:
        plain = (end.flange.head_diameter_mm, *plain)
    return None, end.gender in (Gender.MALE, Gender.STUD) if plain else None, plain


def _shape(key: tuple[Thread | None, bool | None, tuple[float, ...]], model: MeasurementModel) -> _Shape:
    thread, external, plain = key
    if thread is None:
        return _plain_shape(external, plain, model)
    limits = thread.external_major_mm if external else thread.internal_minor_mm
    middle, half = sum(limits) / 2, (limits[1] - limits[0]) / 2
    reach = 0.0
    if thread.taper:
        small, large = _taper_ends_mm(thread, limits, external=bool(external))
        middle, reach = (small + large) / 2, (large - small) / 2
        # What lies between the two ends is where along the thread the jaws were; a part may be a turn out of gauge.
        half = thread.pitch_mm * float(thread.taper)
        limits = (middle - half, middle + half)
    sign = -1.0 if external else 1.0
    condition = model.thread_condition
    means = [middle + sign * wear for wear in condition.wear_mm]
    kept = np.hypot(half / np.sqrt(3), model.caliper.kept_sd_mm)  # of the part, and of this caliper on it
    sds = [float(np.hypot(kept, sd)) for sd in condition.wear_sd_mm]
    low = min(mean - 2.5 * sd for mean, sd in zip(means, sds, strict=True))
    high = max(mean + 2.5 * sd for mean, sd in zip(means, sds, strict=True))
    nodes = np.linspace(low, high, NODES)
    weights = np.zeros(NODES)
    for share, mean, sd in zip(condition.share, means, sds, strict=True):
        weights += share * normal_mass(nodes, mean, sd, 1e-3)
    offset = (0.0, sign * reach, -sign * reach)
    return _Shape(
        float(bool(external)), nominal_mm(thread), limits, nodes, weights / weights.sum(), offset, reach / np.sqrt(3)
    )


def _taper_ends_mm(thread: Thread, limits: tuple[float, float], *, external: bool) -> tuple[float, float]:
    """Crest diameter at the small and at the large end of a taper to gauge: from its lengths, else its limits.

    ASME B1.20.1 and ISO 7-1: the basic diameter is at the gauge plane, one gauge length from a male's small end.
    """
    if not external or thread.gauge_length_mm is None or thread.thread_length_mm is None:
        return limits
    small = thread.major_diameter_mm - thread.gauge_length_mm * float(thread.taper)
    return small, min(small + thread.thread_length_mm * float(thread.taper), limits[1])


def _plain_shape(external: bool | None, plain: tuple[float, ...], model: MeasurementModel) -> _Shape:
    """An end without a thread: its head or profile diameters, or no diameter at all."""
    nodes = np.resize(np.array(plain), NODES) if plain else np.full(NODES, 10 * model.caliper.greatest_mm)
    limits = (min(plain), max(plain)) if plain else (np.nan, np.nan)
    side = 0.5 if external is None else float(external)
    return _Shape(side, np.nan, limits, nodes.astype(float), np.full(NODES, 1 / NODES), spread_mm=0.1)


def nominal_mm(thread: Thread) -> float:
    """The size in the designation as a length in mm."""
    size = exact(thread.size)
    return float(size * MM_PER_INCH if thread.size_unit == "in" else size)


def _millimetres(value: float) -> Quantity:
    return Quantity(Fraction(round(value * 100), 100), Unit.MILLIMETRE, Fraction(4, 10))
