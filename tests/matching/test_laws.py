"""What every aspect owes to probability: what may be said adds up to one, and "not" takes what is left.

A likelihood that does not add up weighs ends of one class against those of another by an error of arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction

import numpy as np
import pytest

from tests.matching.saying import option
from voicefit.catalogue import CandidateEnd
from voicefit.matching import Matcher, MeasurementModel
from voicefit.matching.aspect import Aspect, Evidence, Floats
from voicefit.quantities import MM_PER_INCH, Quantity, Unit
from voicefit.records import Measurand, Option

CATEGORIES = (
    *("gender", "shape", "pitch", "flank", "crest", "taper", "seat_angle", "seat_form"),
    *("nose", "shoulder_edge", "body", "line", "seal"),
)
STEP_MM = Fraction(1, 10)  # finer than what any of them is uncertain by


def said(aspect: Aspect, options: Iterable[Option]) -> Floats:
    """Probability that one of the options is said, by class and state."""
    total = np.zeros_like(aspect.log_states)
    for each in options:
        total = total + aspect.probability(each, None)
    return total


def lengths(measurand: Measurand, top_mm: float) -> list[Option]:
    steps = range(1, int(top_mm / STEP_MM) + 1)
    return [Option(measurand, Quantity(n * STEP_MM, Unit.MILLIMETRE, STEP_MM)) for n in steps]


@pytest.mark.parametrize("name", CATEGORIES)
def test_all_answers_to_an_open_question_add_up_to_one(matcher: Matcher, name: str) -> None:
    aspect = matcher.aspects[name]
    np.testing.assert_allclose(said(aspect, aspect.outcomes), 1.0, atol=2e-3)


def test_what_is_perceived_of_a_class_adds_up_to_one_or_to_how_often_anything_is(
    matcher: Matcher, model: MeasurementModel
) -> None:
    rates = (1.0, model.absent.thread, model.absent.seat, model.absent.length, model.length.port_head)
    rates += (model.length.plain_mouth,)
    for aspect in matcher.aspects.values():
        for total in np.exp(aspect.log_states).sum(axis=1):
            assert min(abs(total - rate) for rate in rates) < 1e-4, (aspect.name, total)
        assert np.exp(aspect.log_states[-1]).sum() == pytest.approx(1.0)  # "none of these" may be anything


def test_all_diameters_on_both_sides_add_up_to_one(matcher: Matcher, model: MeasurementModel) -> None:
    aspect, top = matcher.aspects["diameter"], model.caliper.greatest_mm
    both = [each for side in ("outside", "inside") for each in lengths(Measurand(f"{side}_diameter"), top)]
    across = {row: _across_mm(end) for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True)}
    small = [row for row, mm in across.items() if mm < top - 10]
    np.testing.assert_allclose(said(aspect, both)[small], 1.0, atol=0.04)


def _across_mm(end: CandidateEnd) -> float:
    if end.thread is not None:
        return end.thread.major_diameter_mm
    widths = [value for _, value in end.profile_mm]
    head_mm = end.flange.head_diameter_mm if end.flange is not None else None
    return max(widths, default=head_mm or math.inf)


def test_one_side_has_nearly_all_of_it(matcher: Matcher, model: MeasurementModel) -> None:
    """A caliper set to the wrong side is a slip of ``caliper.side``, and no more than that."""
    aspect, top = matcher.aspects["diameter"], model.caliper.greatest_mm
    outside = said(aspect, lengths(Measurand.OUTSIDE_DIAMETER, top))
    for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True):
        if end.thread is not None and end.thread.major_diameter_mm < 60:
            share = float((np.exp(aspect.log_states[row]) * outside[row]).sum())
            wanted = 1 - model.caliper.side if end.external else model.caliper.side
            assert share == pytest.approx(wanted, abs=0.05), end.id


def _of_class(matcher: Matcher, aspect: Aspect, row: int) -> list[CandidateEnd]:
    return [end for end, its in zip(matcher.ends, aspect.class_of[:-1], strict=True) if its == row]


@pytest.mark.parametrize(
    "name", ["tube", "flange_head", "flange_thickness", "bolt_long", "bolt_short", "bolt_circle", "profile"]
)
def test_all_lengths_add_up_to_one(matcher: Matcher, model: MeasurementModel, name: str) -> None:
    thick = name == "flange_thickness"  # whatever it is, it is thinner than a caliper is wide
    aspect, top = matcher.aspects[name], model.length.flange_thick_range_mm if thick else model.caliper.greatest_mm
    (measurand,) = aspect.measurands
    totals = said(aspect, lengths(measurand, top))
    within = np.exp(aspect.log_states) * totals  # states outside the scale weigh nothing here
    kept = [row for row in range(aspect.n_classes) if _lies_within(matcher, aspect, row, measurand, top)]
    shares = within.sum(axis=1) / np.exp(aspect.log_states).sum(axis=1)
    np.testing.assert_allclose(shares[kept], 1.0, atol=0.03)


def _lies_within(matcher: Matcher, aspect: Aspect, row: int, measurand: Measurand, top: float) -> bool:
    for end in _of_class(matcher, aspect, row):
        flange = end.flange
        listed = {
            Measurand.TUBE_OUTSIDE_DIAMETER: [end.tube_od_mm, *end.also_tube_od_mm],
            Measurand.PROFILE_DIAMETER: [value for _, value in end.profile_mm],
            Measurand.FLANGE_HEAD_DIAMETER: [flange and flange.head_diameter_mm],
            Measurand.FLANGE_HEAD_THICKNESS: [flange and flange.head_thickness_mm],
            Measurand.BOLT_LONG: [flange and flange.bolt_long_mm],
            Measurand.BOLT_CIRCLE: [flange and flange.bolt_circle_mm],
            Measurand.BOLT_SHORT: [flange and flange.bolt_short_mm],
        }[measurand]
        if any(value is not None and value > top - 5 for value in listed):
            return False
    return True


@pytest.mark.parametrize(
    ("name", "end_id", "once"),
    [("flange_head", "flange61/16/male", "47.0 mm"), ("tube", "din24-l/22/male", "25.0 mm")],
)
def test_a_gross_reading_hardly_comes_again(
    matcher: Matcher, model: MeasurementModel, name: str, end_id: str, once: str
) -> None:
    """What lies far off the listed value, read twice alike, is another end: so it is of a diameter."""
    aspect = matcher.aspects[name]
    (measurand,) = aspect.measurands
    row = aspect.class_of[next(row for row, end in enumerate(matcher.ends) if end.id == end_id)]
    one = Evidence(((option(measurand.value, once), 1.0),))
    first, twice = (aspect.log_likelihood([one] * times)[row] for times in (1, 2))
    assert twice - first == pytest.approx(np.log(model.caliper.again), abs=0.05)


def test_all_bores_of_hoses_add_up_to_one(matcher: Matcher) -> None:
    np.testing.assert_allclose(said(matcher.aspects["hose"], lengths(Measurand.HOSE_BORE, 180)), 1.0, atol=0.02)


def test_a_hose_of_its_own_bore_is_the_likeliest_on_every_end(matcher: Matcher) -> None:
    """Dash 6 is 3/8 in, dash 8 is 1/2 in: the trade's rule of sixteenths."""
    aspect = matcher.aspects["hose"]
    for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True):
        if end.dash in (4, 6, 8, 12, 16):
            own = float(end.dash * MM_PER_INCH / 16)
            chances = {dash: float(aspect.probability(_bore(dash), None)[row].max()) for dash in (4, 6, 8, 12, 16)}
            assert max(chances, key=chances.__getitem__) == end.dash, (end.id, own, chances)


def _bore(dash: int) -> Option:
    return Option(Measurand.HOSE_BORE, Quantity(Fraction(dash, 16), Unit.INCH, Fraction(1, 16)))


@pytest.mark.parametrize(
    ("name", "measurand", "value"),
    [
        ("pitch", "pitch", "19 tpi"),
        ("seat_angle", "seat_angle", "37 deg"),
        ("diameter", "outside_diameter", "16.5 mm"),
        ("seal", "seal", "washer"),
        ("dash", "dash", "6 dash"),
        ("tube", "tube_outside_diameter", "12 mm"),
        ("series", "series", "flare37"),
    ],
)
def test_not_takes_what_is_left(matcher: Matcher, name: str, measurand: str, value: str) -> None:
    aspect = matcher.aspects[name]
    is_, is_not = option(measurand, value), option(measurand, value, negated=True)
    np.testing.assert_allclose(aspect.probability(is_not, None), 1 - aspect.probability(is_, None), atol=1e-12)
    literal, otherwise = aspect.literal(is_), aspect.literal(is_not)
    assert literal.any() and not literal.all() and otherwise.any()
    threaded = [row for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True) if end.thread is not None]
    assert (literal | otherwise)[threaded].all()  # whatever it is, it fits one of the two at their word


HAS: Mapping[str, Callable[[CandidateEnd], bool]] = {
    **dict.fromkeys(("pitch", "flank", "crest", "taper"), lambda end: end.thread is not None),
    "diameter": lambda end: end.thread is not None,
    "seat_angle": lambda end: end.seat_half_angle_deg is not None,
    "nose": lambda end: end.seat_form == "convex",
    "shoulder_edge": lambda end: end.around_shoulder is not None,
    "hex": lambda end: bool(end.hex_mm),
    "tube": lambda end: end.tube_od_mm is not None,
    **dict.fromkeys(("bolt_long", "bolt_short", "bolt_circle"), lambda end: end.flange is not None),
    "profile": lambda end: bool(end.profile_mm),
    **dict.fromkeys(("gender", "shape", "seat_form", "body", "line", "seal"), lambda end: True),
    **dict.fromkeys(("dash", "series", "country", "hose", "thread_size", "thread_system"), lambda end: False),
}


@pytest.mark.parametrize("name", HAS)
def test_what_an_end_has_can_nearly_always_be_told_and_what_it_has_not_hardly_ever(matcher: Matcher, name: str) -> None:
    """Nobody measures the pitch of a coupler; and what is claimed is no answer to a check."""
    aspect = matcher.aspects[name]
    told = aspect.answerable()
    for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True):
        low, high = (0.85, 1.0) if HAS[name](end) else (0.0, 0.1)
        assert low <= told[row] <= high, (end.id, told[row])
    assert (told[-1] == 0) if told.max() == 0 else (0.25 < told[-1] < 0.75)


@pytest.mark.parametrize("slip", [0.0, 0.02, 0.5])
def test_an_answer_turned_round_is_the_other_answer(matcher: Matcher, slip: float) -> None:
    """With a slip of one half yes and no say the same: nothing."""
    aspect = matcher.aspects["seal"]
    yes, no = option("seal", "washer"), option("seal", "washer", negated=True)
    logs = [aspect.log_said(Evidence(((each, 1.0),), slip=slip), 1) for each in (yes, no)]
    np.testing.assert_allclose(np.exp(logs[0]) + np.exp(logs[1]), 1.0, atol=1e-9)
    if slip == 0.5:
        np.testing.assert_allclose(logs[0], logs[1], atol=1e-9)


@pytest.mark.parametrize(
    ("name", "says", "fits", "does_not"),
    [
        # a cone is said by the half or by the included angle; each may be two or three degrees off
        ("seat_angle", ("seat_angle", "12 deg"), "din24-l/12/male", "flare37/6/male"),
        ("seat_angle", ("seat_angle", "24 deg"), "din24-l/12/male", "din60/12/male"),
        ("seat_angle", ("seat_angle", "74 deg"), "flare37/6/male", "flare45/6/male"),
        ("seat_angle", ("seat_angle", "90 deg"), "flare45/6/male", "flare37/6/male"),
        ("seat_angle", ("seat_angle", "36 deg"), "flare37/6/male", "din24-l/12/male"),  # three times twelve is no angle
        ("dash", ("dash", "6 dash"), "flare37/6/male", "flare37/8/male"),
        ("tube", ("tube_outside_diameter", "12 mm"), "din24-l/12/male", "din24-l/15/male"),
        ("pitch", ("pitch", "18 tpi"), "flare37/6/male", "flare37/8/male"),
        ("flank", ("flank_angle", "55 deg"), "bspt/6/male", "npt/6/male"),
        (
            "crest",
            ("crest", "rounded"),
            "bspt/8/male",
            "npt/8/male",
        ),  # ISO 7-1 rounds them, ASME B1.20.1 cuts them flat
        ("mouth", ("mouth_diameter", "29.4 mm"), "iso6149/27/port", "metric-port/27/port"),  # ISO 6149-1
        ("mouth", ("mouth_diameter", "27.3 mm"), "metric-port/27/port", "iso6149/27/port"),
        ("seal", ("seal", "face_o_ring"), "orfs/8/male", "flare37/8/male"),
        ("nose", ("nose", "ball"), "din24-l/12/female-universal", "din60/12/female"),  # DIN 3863: a ball for both cones
        ("nose", ("nose", "straight"), "din60/12/female", "din24-l/12/female-universal"),
    ],
)
def test_at_its_word_a_reading_fits_what_it_names(
    matcher: Matcher, name: str, says: tuple[str, str], fits: str, does_not: str
) -> None:
    aspect = matcher.aspects[name]
    rows = {end.id: int(row) for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True)}
    for negated in (False, True):
        literal = aspect.literal(option(*says, negated=negated))
        assert literal[rows[fits]] == (not negated)
        assert literal[rows[does_not]] == negated
    likelihood = aspect.log_likelihood([Evidence(((option(*says), 1.0),))])
    assert likelihood[rows[fits]] - likelihood[rows[does_not]] > np.log(5)


def test_at_its_word_a_diameter_is_of_the_side_that_was_said(matcher: Matcher) -> None:
    """Across the crests of each thread, as its tables have them; first and last thread are said of either."""
    aspect = matcher.aspects["diameter"]
    for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True):
        if end.thread is None:
            continue
        limits = end.thread.external_major_mm if end.external else end.thread.internal_minor_mm
        for across_mm in (limits[0] + 0.01, sum(limits) / 2, limits[1] - 0.01):  # anywhere along a taper
            text = f"{across_mm:.2f} mm"
            fits = [bool(aspect.literal(option(f"{side}_diameter", text))[row]) for side in ("outside", "inside")]
            assert fits == [end.external, not end.external], (end.id, text)
            if not end.thread.taper:
                assert aspect.literal(option("first_thread_diameter", text))[row]
        if end.thread.taper and limits[1] - limits[0] > 0.9:  # but the small end is not the large one
            small, large = (f"{limits[0] + 0.1:.2f} mm", f"{limits[1] - 0.1:.2f} mm")
            first, last = (small, large) if end.external else (large, small)
            for place, there, elsewhere in (("first", first, last), ("last", last, first)):
                fits = [bool(aspect.literal(option(f"{place}_thread_diameter", at))[row]) for at in (there, elsewhere)]
                assert fits == [True, False], (end.id, place)


def test_a_dash_said_by_mistake_is_rather_one_beside_it(matcher: Matcher) -> None:
    """Dash 6 is said of a 6; else rather of a 5 or an 8, which stand beside it in the list, than of a 12 or a 2."""
    aspect = matcher.aspects["dash"]
    rows = {end.dash: int(row) for end, row in zip(matcher.ends, aspect.class_of[:-1], strict=True)}
    dashes = sorted(dash for dash in rows if dash is not None)
    six = aspect.probability(option("dash", "6 dash"), None)[:, 0]
    smaller, larger = max(d for d in dashes if d < 6), min(d for d in dashes if d > 6)
    assert six[rows[6]] > 10 * six[rows[smaller]] > 10 * six[rows[2]]
    assert six[rows[smaller]] == pytest.approx(six[rows[larger]]) and six[rows[12]] == pytest.approx(six[rows[2]])


@pytest.mark.parametrize("step", ["0.1", "0.5"])
def test_rounding_is_uncertain_as_an_even_spread_over_its_step(
    matcher: Matcher, model: MeasurementModel, step: str
) -> None:
    """JCGM 100:2008 (GUM), F.2.2.1: the variance of a resolution d is d^2 / 12, and variances add."""
    aspect, resolution = matcher.aspects["profile"], Fraction(step)
    (end,) = (end for end in matcher.ends if end.id == "coupler-a/8/male")
    row, true_mm = int(aspect.class_of[matcher.ends.index(end)]), end.profile_mm[0][1]
    near = [true_mm + n * 0.01 for n in range(-600, 601)]
    values = [
        Option(Measurand.PROFILE_DIAMETER, Quantity(Fraction(x).limit_denominator(1000), Unit.MILLIMETRE, resolution))
        for x in near
    ]
    said = np.array([aspect.probability(value, None)[row] for value in values])
    sd_mm = model.length.profile_sd_mm / np.sqrt(2)  # half of the variance is the piece's, half the reading's
    for state in range(4):  # what this piece may be, in half deviations around the listed value
        weights = said[:, state] - said[:, state].min()  # without what is said by mistake, all over the scale
        weights /= weights.sum()
        mean = float(weights @ np.array(near))
        variance = float(weights @ (np.array(near) - mean) ** 2)
        assert variance == pytest.approx(sd_mm**2 + float(resolution) ** 2 / 12, rel=0.03)
        assert mean == pytest.approx(true_mm + (state - 1.5) * sd_mm, abs=0.02)


def test_an_angle_between_two_leaves_is_read_to_a_degree(matcher: Matcher, model: MeasurementModel) -> None:
    """As above: the reading's variance, and that of a step of one degree."""
    aspect, gauge = matcher.aspects["seat_angle"], model.seat_gauge
    thirty = sorted(gauge.leaves_deg).index(30)
    said = {
        degrees: aspect.probability(option("seat_angle", f"{degrees} deg"), None)[0, thirty] for degrees in (1, 31, 32)
    }
    near, further = said[31] - said[1], said[32] - said[1]  # without what is said by mistake, whatever the angle
    assert np.log(near / further) == pytest.approx((32 - 30) ** 2 / 2 / (gauge.sd_deg**2 + 1 / 12) * 3 / 4, rel=1e-3)


def test_of_two_seat_gauges_beside_the_right_one_the_nearer_is_taken(matcher: Matcher, model: MeasurementModel) -> None:
    """37 is 8 degrees from 45, 60 is 15: their odds fall with the angle that they are off; no other is beside it."""
    aspect, gauge = matcher.aspects["seat_angle"], model.seat_gauge
    fits = sorted(gauge.leaves_deg).index(45)
    said = {
        degrees: aspect.probability(option("seat_angle", f"{degrees} deg"), None)[0, fits] for degrees in (30, 37, 60)
    }
    beside = {degrees: said[degrees] - gauge.gross / len(gauge.leaves_deg) for degrees in said}
    assert beside[30] == pytest.approx(0, abs=1e-6)
    assert beside[37] + beside[60] == pytest.approx(gauge.neighbour, rel=1e-3)
    assert np.log(beside[37] / beside[60]) == pytest.approx((15 - 8) / gauge.neighbour_scale_deg, rel=1e-3)
