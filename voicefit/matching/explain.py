"""Why this end, why not that one, what else: the evidence in order of weight.

The weight of a reading is its weight of evidence in bits (Good 1950, Probability and the Weighing of Evidence): how far
it moves the log odds of the end, all other readings given.

Duty: structured reasons with numbers that a person can check. It must not word them for the ear, and must not look at
anything but readings, tables and the posterior.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from voicefit.catalogue.ends import Basis, CandidateEnd
from voicefit.matching.advisor import Advisor
from voicefit.matching.aspect import Bools, Floats, log_sum
from voicefit.matching.diameter import SIDED
from voicefit.matching.matcher import Matcher
from voicefit.matching.posterior import Posterior
from voicefit.matching.reach import reach
from voicefit.quantities import Quantity, Unit, exact, inches, millimetres
from voicefit.records import Check, Measurand, Option, Reading


@dataclass(frozen=True, slots=True)
class WeightedReason:
    """What one reading says about an end.

    ``reading`` : its index. ``option`` : the way the words are taken. ``taken_as`` : the measurand it would be of on
    this end; another than ``option.measurand`` where the side was misnamed. ``nominal`` : what the tables give for
    this end, ``None`` where they give nothing. ``fits`` : whether it fits at its word. ``weight_bit`` : for (above
    zero) or against the explained claim. ``rules_out`` : series ids that were within reach without this reading.
    ``recalled`` : ``nominal`` is a figure from memory.
    """

    reading: int
    option: Option
    taken_as: Measurand
    nominal: Quantity | str | None
    fits: bool
    weight_bit: float
    rules_out: tuple[str, ...] = ()
    recalled: bool = False


@dataclass(frozen=True, slots=True)
class Explanation:
    """Reasons in order of weight, the heaviest first, for the end in ``row`` over the one in ``against``.

    ``against`` : ``None`` where the end is weighed against all others. ``probability`` : of the part of ``row``.
    ``check`` : for "what else", the check that separates the two best; ``None`` where no check does.
    """

    row: int
    probability: float
    against: int | None
    reasons: tuple[WeightedReason, ...]
    check: Check | None = None


_AS_GOOD = 1.0  # in nats: ends of one series that the readings do not tell apart


def why(matcher: Matcher, posterior: Posterior, row: int | None = None) -> Explanation | None:
    """The evidence for the end in ``row`` (not given: the leader's) over all others; ``None`` in an empty catalogue."""
    row = _leader(posterior) if row is None else row
    if row is None:
        return None
    part = int(matcher.part_of[row])
    with_all = _log_odds(posterior.log_p, matcher.part_of == part)
    reasons = []
    near = set(reach(matcher, posterior.readings))
    for index, reading in enumerate(posterior.readings):
        rest = Posterior(matcher, _without(posterior.readings, index), posterior.untold)
        weight = (with_all - _log_odds(rest.log_p, matcher.part_of == part)) / np.log(2)
        gone = [p for p in reach(matcher, rest.readings) if p not in near and p != part]
        leads = {p: matcher.ends[rest.leader(p)] for p in gone}
        gone.sort(key=lambda p: (leads[p].trade is not None, -float(rest.part_p[p])))  # hydraulic first
        series = dict.fromkeys(leads[p].series for p in gone)
        kept = {end.series for end, p in zip(matcher.ends, matcher.part_of, strict=False) if int(p) in near}
        rules_out = tuple(name for name in series if name not in kept)
        reasons.append(_reason(matcher, reading, index, row, float(weight), rules_out))
    return Explanation(row, float(posterior.part_p[part]), None, _by_weight(reasons))


def why_not(matcher: Matcher, posterior: Posterior, name: str) -> Explanation | None:
    """What speaks for the leader over another end: each reason's numbers are that other end's.

    ``name`` : id of a series, whose likeliest end is taken, or of an end. ``None`` where the catalogue has none of
    that name. When the leader is itself that, ``against`` is ``None`` and the reasons are those for it.
    """
    rows = [row for row, end in enumerate(matcher.ends) if name in (end.series, end.id)]
    leader = _leader(posterior)
    if not rows or leader is None:
        return None
    best = max(float(posterior.log_p[row]) for row in rows)
    near = [row for row in rows if float(posterior.log_p[row]) > best - _AS_GOOD]
    row = min(near, key=lambda r: _distance(matcher, posterior, r))
    if matcher.part_of[row] == matcher.part_of[leader]:
        return why(matcher, posterior, leader)
    return _between(matcher, posterior, row, leader)


def what_else(advisor: Advisor, posterior: Posterior) -> Explanation | None:
    """The runner-up, what speaks against it, and the check that separates it best; ``None`` without a second part."""
    best = posterior.best_parts(2)
    if len(best) < 2:
        return None
    (leader, _), (second, _) = best
    found = _between(advisor.matcher, posterior, second, leader)
    check = advisor.separating(posterior, leader, second)
    return Explanation(found.row, found.probability, found.against, found.reasons, check)


def nominal(end: CandidateEnd, measurand: Measurand) -> Quantity | str | None:
    """What the tables give for ``measurand`` on this end; ``None`` where they give nothing or several values."""
    thread = end.thread
    if measurand is Measurand.GENDER:
        return end.gender.value
    if measurand is Measurand.SEAT_FORM:
        return end.seat_form.value
    if measurand is Measurand.SEAL:
        return end.seal.value
    if measurand is Measurand.SERIES:
        return end.series
    if measurand is Measurand.SEAT_ANGLE and end.seat_half_angle_deg is not None:
        return Quantity(Fraction(str(end.seat_half_angle_deg)), Unit.DEGREE)
    if measurand is Measurand.DASH and end.dash is not None:
        return Quantity(Fraction(end.dash), Unit.COUNT)
    if measurand is Measurand.TUBE_OUTSIDE_DIAMETER and end.tube_od_mm is not None:
        return _mm(end.tube_od_mm)
    if measurand is Measurand.HEX and end.hex_mm:
        return _mm(end.hex_mm[0])
    if measurand is Measurand.MOUTH_DIAMETER and end.mouth_mm is not None:
        return _mm(sum(end.mouth_mm) / 2)
    if measurand is Measurand.PROFILE_DIAMETER and end.profile_mm:
        return _mm(end.profile_mm[0][1])
    if end.flange is not None:
        value = {
            Measurand.FLANGE_HEAD_DIAMETER: end.flange.head_diameter_mm,
            Measurand.FLANGE_HEAD_THICKNESS: end.flange.head_thickness_mm,
            Measurand.BOLT_LONG: end.flange.bolt_long_mm,
            Measurand.BOLT_SHORT: end.flange.bolt_short_mm,
            Measurand.BOLT_CIRCLE: end.flange.bolt_circle_mm,
        }.get(measurand)
        return None if value is None else _mm(value)
    if thread is None:
        return None
    if measurand is Measurand.PITCH:
        if thread.tpi is not None:
            return Quantity(thread.tpi, Unit.THREADS_PER_INCH)
        return millimetres(Fraction(str(round(thread.pitch_mm, 4))))
    if measurand is Measurand.FLANK_ANGLE:
        return Quantity(Fraction(str(thread.flank_angle_deg)), Unit.DEGREE)
    if measurand is Measurand.CREST:
        return "rounded" if thread.rounded else "flat"
    if measurand is Measurand.TAPER:
        return "tapered" if thread.taper else "parallel"
    if measurand is Measurand.THREAD_SIDE:
        return "external" if end.external else "internal"
    if measurand is Measurand.THREAD_SYSTEM:
        return thread.system
    if measurand is Measurand.THREAD_SIZE:
        return inches(thread.size) if thread.size_unit == "in" else millimetres(exact(thread.size))
    if measurand in (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER):
        return _mm(thread.major_diameter_mm if end.external else thread.minor_diameter_mm)
    return None


_FIGURES = {
    Measurand.SEAT_ANGLE: "seat",
    Measurand.TUBE_OUTSIDE_DIAMETER: "tube",
    Measurand.HEX: "hex",
    Measurand.PROFILE_DIAMETER: "diameter",
    Measurand.FLANGE_HEAD_DIAMETER: "head",
    Measurand.FLANGE_HEAD_THICKNESS: "head",
    Measurand.BOLT_LONG: "centres",
    Measurand.BOLT_SHORT: "centres",
    Measurand.BOLT_CIRCLE: "centres",
    Measurand.MOUTH_DIAMETER: "mouth",
}
_OF_THREAD = {Measurand.PITCH, Measurand.THREAD_SIZE, Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER}


def recalled(end: CandidateEnd, measurand: Measurand) -> bool:
    """Whether the figure that the tables give for ``measurand`` on this end is from memory."""
    if measurand in _OF_THREAD:
        return end.thread_basis is Basis.MEMORY
    return measurand in _FIGURES and end.origin(_FIGURES[measurand]).recalled


def _distance(matcher: Matcher, posterior: Posterior, row: int) -> float:
    """How far the lengths that were read lie from an end's, as a sum of ratios: among ends that a reading rules out
    alike, the nearest in size is the one that a person means."""
    end, found = matcher.ends[row], 0.0
    for reading in posterior.readings:
        away = [
            abs(float(value.mm / given.mm) - 1)
            for option in reading.options
            if isinstance(value := option.value, Quantity) and value.is_length
            if isinstance(given := nominal(end, option.measurand), Quantity) and given.is_length
        ]
        found += min(away, default=0.0)
    return found


# ---- inside ---------------------------------------------------------------------------------------------


def _between(matcher: Matcher, posterior: Posterior, row: int, leader: int) -> Explanation:
    """Reasons for the leader over ``row``, with the numbers of ``row``."""
    total = posterior.log_likelihood[leader] - posterior.log_likelihood[row]
    reasons = []
    for index, reading in enumerate(posterior.readings):
        rest = matcher.joint_log_likelihood(_without(posterior.readings, index))
        weight = float(total - (rest[leader] - rest[row])) / np.log(2)
        reasons.append(_reason(matcher, reading, index, row, float(weight), ()))
    p = float(posterior.part_p[matcher.part_of[row]])
    return Explanation(row, p, leader, _by_weight(reasons))


def _reason(
    matcher: Matcher, reading: Reading, index: int, row: int, weight_bit: float, rules_out: tuple[str, ...]
) -> WeightedReason:
    """One reading seen from one end: its likeliest option there, and whether that fits at its word."""
    end = matcher.ends[row]
    telling = [o for o in reading.options if matcher.tells(o.measurand)] or reading.options
    option = max(telling, key=lambda o: o.log_prior + float(_alone(matcher, reading, o)[row]))
    aspect = matcher.aspect(option.measurand)
    fits = bool(aspect.fits(option)[aspect.class_of[row]])
    taken_as = option.measurand
    if taken_as in SIDED and end.external is not None:
        taken_as = Measurand.OUTSIDE_DIAMETER if end.external else Measurand.INSIDE_DIAMETER
    given = _as_said(nominal(end, taken_as), option)
    from_memory = given is not None and recalled(end, taken_as)
    return WeightedReason(index, option, taken_as, given, fits, weight_bit, rules_out, from_memory)


def _as_said(given: Quantity | str | None, option: Option) -> Quantity | str | None:
    """A seat angle of the tables, which is the half angle, as the included one where that is nearer to what was said.

    >>> half = Quantity(Fraction(12), Unit.DEGREE)
    >>> str(_as_said(half, Option(Measurand.SEAT_ANGLE, Quantity(Fraction(24), Unit.DEGREE))).value)
    '24'
    """
    said = option.value
    if (
        option.measurand is not Measurand.SEAT_ANGLE
        or not isinstance(given, Quantity)
        or not isinstance(said, Quantity)
    ):
        return given
    return min((given, replace(given, value=2 * given.value)), key=lambda angle: abs(angle.value - said.value))


def _alone(matcher: Matcher, reading: Reading, option: Option) -> Floats:
    return matcher.log_likelihood(Reading(reading.heard, (option,), reading.threads_engaged))


def _leader(posterior: Posterior) -> int | None:
    best = posterior.best_parts(1)
    return best[0][0] if best else None


def _without(readings: Sequence[Reading], index: int) -> tuple[Reading, ...]:
    return (*readings[:index], *readings[index + 1 :])


def _log_odds(log_p: Floats, inside: Bools) -> float:
    return float(log_sum(log_p[inside]) - log_sum(log_p[~inside]))


def _by_weight(reasons: Sequence[WeightedReason]) -> tuple[WeightedReason, ...]:
    return tuple(sorted(reasons, key=lambda reason: -abs(reason.weight_bit)))


def _mm(value: float) -> Quantity:
    return millimetres(Fraction(round(value * 100), 100))
