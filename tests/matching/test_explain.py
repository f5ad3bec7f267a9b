"""Why, why not, what else: reasons with numbers that a person can check."""

from __future__ import annotations

import pytest

from tests.matching.saying import REFERENCE, said
from voicefit.catalogue import Catalogue
from voicefit.matching import Advisor, Matcher, Posterior, nominal, what_else, why, why_not
from voicefit.matching.explain import recalled
from voicefit.quantities import Quantity, Unit, exact, inches, millimetres
from voicefit.records import Measurand


def test_why_names_the_evidence_in_order_of_weight(matcher: Matcher) -> None:
    posterior = Posterior(matcher, REFERENCE)
    found = why(matcher, posterior)
    assert found is not None
    assert matcher.ends[found.row].id == "flare30-g/6/female"
    weights = [abs(reason.weight_bit) for reason in found.reasons]
    assert weights == sorted(weights, reverse=True)
    assert {reason.reading for reason in found.reasons} == {0, 1, 2}


def test_the_misnamed_side_is_shown_with_the_nominal(matcher: Matcher) -> None:
    """Said outside 15.1, taken as inside; ISO 228-1 gives G3/8 a minor diameter of 14.950 mm."""
    found = why(matcher, Posterior(matcher, REFERENCE))
    assert found is not None
    reason = next(reason for reason in found.reasons if reason.reading == 0)
    assert reason.option.measurand is Measurand.OUTSIDE_DIAMETER
    assert reason.taken_as is Measurand.INSIDE_DIAMETER
    assert reason.nominal == millimetres("14.95")
    assert not reason.fits


def test_a_figure_from_memory_is_known_to_be_one(matcher: Matcher) -> None:
    """Read in manuals: thread and hexagon of 37° dash 6. Recalled: its seat, flange heads and bolts."""
    ends = {end.id: end for end in matcher.ends}
    flare, flange = ends["flare37/6/female"], ends["flange61/16/male"]
    assert [recalled(flare, each) for each in (Measurand.PITCH, Measurand.HEX)] == [False, False]
    assert [recalled(flare, each) for each in (Measurand.SEAT_ANGLE, Measurand.GENDER)] == [True, False]
    assert recalled(flange, Measurand.FLANGE_HEAD_DIAMETER) and recalled(flange, Measurand.BOLT_LONG)
    found = why(matcher, Posterior(matcher, [said("flange_head_diameter", "44.4 mm"), said("gender", "male")]))
    assert found is not None and {reason.reading: reason.recalled for reason in found.reasons} == {0: True, 1: False}


def test_pitch_nineteen_rules_out_series_on_other_pitches(matcher: Matcher) -> None:
    readings = [said("outside_diameter", "16.6 mm"), said("seat_form", "convex"), said("pitch", "19 tpi")]
    found = why(matcher, Posterior(matcher, readings))
    assert found is not None
    pitch = next(reason for reason in found.reasons if reason.reading == 2)
    assert pitch.fits and pitch.nominal == Quantity(exact(19), Unit.THREADS_PER_INCH)
    for series in pitch.rules_out:
        ends = [end for end in matcher.ends if end.series == series and end.thread is not None]
        assert all(end.thread is None or end.thread.tpi != 19 for end in ends if end.dash == 6) or not ends


def test_why_not_answers_for_any_series_by_name(matcher: Matcher, catalogue: Catalogue) -> None:
    posterior = Posterior(matcher, REFERENCE)
    for series in catalogue.series:
        found = why_not(matcher, posterior, series)
        assert found is not None, series
        assert len(found.reasons) == 3
    against = why_not(matcher, posterior, "flare37")
    assert against is not None and against.against is not None
    assert matcher.ends[against.against].id == "flare30-g/6/female"
    angle = next(reason for reason in against.reasons if reason.reading == 2)
    assert angle.weight_bit > 1 and not angle.fits
    assert angle.nominal == Quantity(exact(37), Unit.DEGREE)
    total = posterior.log_likelihood[against.against] - posterior.log_likelihood[against.row]
    assert sum(reason.weight_bit for reason in against.reasons) == pytest.approx(total / 0.6931, rel=0.3)


def test_why_not_of_the_leader_and_of_an_unknown_series(matcher: Matcher) -> None:
    posterior = Posterior(matcher, REFERENCE)
    own = why_not(matcher, posterior, "flare30-g")
    assert own is not None and own.against is None
    assert why_not(matcher, posterior, "no-such-series") is None


def test_why_not_answers_for_one_end_by_its_id(matcher: Matcher) -> None:
    """Not the likeliest of its series but the one that is named: 3/4-16 has 19.05 mm outside (ASME B1.1)."""
    readings = [said("outside_diameter", "14.2 mm"), said("pitch", "18 tpi"), said("seat_angle", "37 deg")]
    found = why_not(matcher, Posterior(matcher, readings), "flare37/8/male")
    assert found is not None and matcher.ends[found.row].id == "flare37/8/male"
    assert found.against is not None and matcher.ends[found.against].id == "flare37/6/male"
    outside = next(reason for reason in found.reasons if reason.reading == 0)
    assert outside.nominal == millimetres("19.05") and not outside.fits and outside.weight_bit > 3


def test_of_a_series_the_size_that_was_measured_is_meant(matcher: Matcher) -> None:
    """A British 3/8 nut was asked about as a flare: the one on 9/16-18, next to it in size, not the commonest."""
    for outside, pitch, row in (("16.6 mm", "19 tpi", "flare37/6"), ("33.0 mm", "11 tpi", "flare37/16")):
        readings = [said("outside_diameter", outside), said("pitch", pitch), said("seat_angle", "30 deg")]
        found = why_not(matcher, Posterior(matcher, readings), "flare37")
        assert found is not None and matcher.ends[found.row].size_id == row


@pytest.mark.parametrize(("angle", "nominal"), [("24 deg", "24"), ("12 deg", "12"), ("30 deg", "24")])
def test_a_cone_is_named_as_the_person_names_it(angle: str, nominal: str, matcher: Matcher) -> None:
    """ISO 8434-1: 24 degrees included. Against "thirty" the included angle is the one to compare."""
    readings = [said("outside_diameter", "17.9 mm"), said("pitch", "1.5 mm"), said("seat_angle", angle)]
    found = why_not(matcher, Posterior(matcher, readings), "din24-l/12/male")
    assert found is not None
    reason = next(reason for reason in found.reasons if reason.reading == 2)
    assert isinstance(reason.nominal, Quantity) and str(reason.nominal.value) == nominal


def test_what_else_gives_the_runner_up_and_the_check_that_separates(advisor: Advisor) -> None:
    posterior = Posterior(advisor.matcher, REFERENCE)
    found = what_else(advisor, posterior)
    assert found is not None and found.check is not None
    assert advisor.matcher.ends[found.row].part == "bspp-cone60/6/female"
    assert found.check.measurand is Measurand.SEAT_FORM


def test_a_reading_that_says_nothing_weighs_nothing(matcher: Matcher) -> None:
    found = why(matcher, Posterior(matcher, [*REFERENCE, said("length", "900 mm")]))
    assert found is not None
    silent = next(reason for reason in found.reasons if reason.reading == 3)
    assert silent.weight_bit == pytest.approx(0.0, abs=1e-9)
    assert silent.nominal is None


@pytest.mark.parametrize(
    ("end_id", "measurand", "expected"),
    [
        ("flare37/6/male", Measurand.OUTSIDE_DIAMETER, millimetres("14.29")),  # 9/16 in
        ("flare37/6/female", Measurand.INSIDE_DIAMETER, millimetres("12.76")),  # 0.5024 in, ASME B1.1
        ("flare37/6/male", Measurand.PITCH, Quantity(exact(18), Unit.THREADS_PER_INCH)),
        ("din24-l/12/male", Measurand.PITCH, millimetres("1.5")),
        ("din24-l/12/male", Measurand.TUBE_OUTSIDE_DIAMETER, millimetres("12")),
        ("din24-l/12/male", Measurand.SEAT_ANGLE, Quantity(exact(12), Unit.DEGREE)),
        ("flare37/6/male", Measurand.THREAD_SIZE, inches("9/16")),
        ("flare37/6/male", Measurand.DASH, Quantity(exact(6), Unit.COUNT)),
        ("npt/8/male", Measurand.TAPER, "tapered"),
        ("npt/8/male", Measurand.FLANK_ANGLE, Quantity(exact(60), Unit.DEGREE)),
        ("npt/8/male", Measurand.SEAT_ANGLE, None),
        ("bspp-cone60/6/female", Measurand.THREAD_SIDE, "internal"),
        ("orfs/6/male", Measurand.SEAL, "face_o_ring"),
        ("flange61/12/male", Measurand.FLANGE_HEAD_DIAMETER, millimetres("38.1")),  # SAE J518
        ("flange61/12/male", Measurand.PITCH, None),
        ("flange61/12/male", Measurand.FLANGE_HEAD_THICKNESS, millimetres("6.73")),  # 0.265 in
        ("flange61/12/male", Measurand.BOLT_LONG, millimetres("47.62")),  # 1.875 in
        ("flange61/12/male", Measurand.BOLT_SHORT, millimetres("22.22")),  # 0.875 in
        ("flange61/12/port", Measurand.FLANGE_HEAD_THICKNESS, None),
        ("coupler-a/8/male", Measurand.PROFILE_DIAMETER, millimetres("20.5")),  # ISO 7241-A (memory)
        ("coupler-a/8/male", Measurand.THREAD_SIZE, None),
        ("flare30-g/6/female", Measurand.HEX, millimetres("22")),  # JIS B 8363
        ("flare37/6/male", Measurand.GENDER, "male"),
        ("flare37/6/male", Measurand.SEAT_FORM, "convex"),
        ("flare37/6/male", Measurand.SERIES, "flare37"),
        ("flare37/6/male", Measurand.THREAD_SYSTEM, "UN"),
        ("flare37/6/male", Measurand.THREAD_SIDE, "external"),
        ("flare37/6/male", Measurand.TAPER, "parallel"),
        ("din24-l/12/male", Measurand.THREAD_SIZE, millimetres("18")),
        ("din24-l/12/male", Measurand.DASH, None),
        ("flare37/6/male", Measurand.LENGTH, None),
    ],
)
def test_nominal_values_are_the_tables(
    end_id: str, measurand: Measurand, expected: object, catalogue: Catalogue
) -> None:
    assert nominal(catalogue.by_id[end_id], measurand) == expected
