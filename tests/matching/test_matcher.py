"""The matcher: what must hold for any readings, and the reference case."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.matching.saying import REFERENCE, likeliest, one_of, option, said
from voicefit.catalogue import Catalogue
from voicefit.errors import BadInput
from voicefit.matching import (
    Advisor,
    Checks,
    Matcher,
    MeasurementModel,
    Posterior,
    Prior,
    conflict,
    is_check,
    reach,
    why,
)
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Measurand, Option, Reading

READINGS = [
    said("outside_diameter", "9/16 in"),
    said("outside_diameter", "14.1 mm"),
    said("inside_diameter", "15.1 mm"),
    said("first_thread_diameter", "0.53 in"),
    said("last_thread_diameter", "0.55 in"),
    said("pitch", "18 tpi"),
    said("pitch", "1.5 mm"),
    said("seat_angle", "37 deg"),
    said("seat_angle", "60 deg"),
    said("seat_form", "convex"),
    said("seal", "metal"),
    said("gender", "male"),
    said("thread_side", "internal"),
    said("taper", "parallel"),
    said("flank_angle", "55 deg"),
    said("nose", "ball"),
    said("shape", "threaded"),
    said("hex", "11/16 in"),
    said("tube_outside_diameter", "10 mm"),
    said("dash", "6 dash"),
    said("thread_size", "9/16 in"),
    said("thread_system", "UN"),
    said("series", "flare37"),
    said("country", "japan"),
    said("hose_bore", "3/8 in"),
    one_of(option("outside_diameter", "18 mm"), option("inside_diameter", "18 mm"), option("pitch", "18 tpi", -1.0)),
    one_of(option("hose_bore", "5/8 in"), option("outside_diameter", "5/8 in")),
]
some_readings = st.lists(st.sampled_from(READINGS), max_size=7)


@settings(max_examples=60, deadline=None)
@given(readings=some_readings, seed=st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(readings: list[Reading], seed: object, matcher: Matcher) -> None:
    shuffled = list(readings)
    seed.shuffle(shuffled)  # type: ignore[attr-defined]  # a Random
    np.testing.assert_allclose(Posterior(matcher, readings).log_p, Posterior(matcher, shuffled).log_p, atol=1e-9)


@settings(max_examples=40, deadline=None)
@given(readings=some_readings, more=st.sampled_from(READINGS))
def test_a_reading_is_undone_by_leaving_it_out(readings: list[Reading], more: Reading, matcher: Matcher) -> None:
    before = Posterior(matcher, readings)
    Posterior(matcher, [*readings, more])
    np.testing.assert_array_equal(Posterior(matcher, readings).log_p, before.log_p)


@settings(max_examples=60, deadline=None)
@given(readings=some_readings)
def test_a_posterior_is_a_distribution(readings: list[Reading], matcher: Matcher) -> None:
    posterior = Posterior(matcher, readings)
    assert np.isfinite(posterior.log_p).all()
    assert posterior.p.sum() == pytest.approx(1.0)
    assert posterior.part_p.sum() == pytest.approx(1.0)
    assert posterior.none == pytest.approx(posterior.p[-1])
    for index, reading in enumerate(readings):
        weights = posterior.option_weights(index)
        assert weights.shape == (len(reading.options),)
        assert weights.sum() == pytest.approx(1.0)


@pytest.mark.parametrize("readings", [[], [READINGS[0]], [READINGS[11], READINGS[5]]])
def test_a_part_is_led_by_its_likeliest_end_and_parts_come_likeliest_first(
    readings: list[Reading], matcher: Matcher
) -> None:
    posterior = Posterior(matcher, readings)
    for part in range(len(matcher.parts)):
        rows = np.flatnonzero(matcher.part_of[:-1] == part)
        assert posterior.leader(part) == rows[np.argmax(posterior.p[rows])]
    parts = posterior.best_parts(len(matcher.parts))
    shares = [share for _, share in parts]
    assert shares == sorted(shares, reverse=True) and sum(shares) == pytest.approx(1 - posterior.none)
    assert {int(matcher.part_of[row]) for row, _ in parts} == set(range(len(matcher.parts)))
    assert posterior.best_parts(3) == parts[:3] and posterior.best_parts() == parts[:1]


def test_the_posterior_is_bayes_rule(matcher: Matcher) -> None:
    """Of readings of different aspects the likelihoods multiply."""
    readings = [said("outside_diameter", "9/16 in"), said("pitch", "18 tpi"), said("seat_form", "convex")]
    product = matcher.log_prior + sum(matcher.log_likelihood(reading) for reading in readings)
    product -= np.log(np.exp(product - product.max()).sum()) + product.max()
    np.testing.assert_allclose(Posterior(matcher, readings).log_p, product, atol=1e-9)


@pytest.mark.parametrize("text", ["9/16 in", "0.562 in", "14.25 mm"])
def test_repeating_a_reading_sharpens_and_never_beyond_what_stays_wrong(text: str, matcher: Matcher) -> None:
    """Each repeat moves the evidence the same way, and less each time: mistakes that last bound it."""
    reading = said("outside_diameter", text)
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    steps = [matcher.joint_log_likelihood([reading] * n) for n in range(5)]
    evidence = [float(s[rows["flare37/6/male"]] - s[rows["flare37/8/male"]]) for s in steps]
    gains = np.diff(evidence)
    assert (gains > 0).all()
    assert gains[-1] < gains[0]


@pytest.mark.parametrize(
    ("measurand", "text", "true", "other"),
    [
        ("tube_outside_diameter", "12 mm", "din24-l/12/male", "din24-l/15/male"),
        ("profile_diameter", "20.5 mm", "coupler-a/8/male", "coupler-flat/8/male"),
        ("bolt_long", "52.4 mm", "flange61/16/male", "flange61/20/male"),
        ("bolt_circle", "58.6 mm", "flange61/16/male", "flange61/20/male"),
    ],
)
def test_a_length_read_again_the_same_says_little_more(
    measurand: str, text: str, true: str, other: str, matcher: Matcher
) -> None:
    """A caliper rounds the same way each time: five readings are not five proofs."""
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    once, often = (matcher.joint_log_likelihood([said(measurand, text)] * n) for n in (1, 5))
    first, all_of_them = (float(each[rows[true]] - each[rows[other]]) for each in (once, often))
    assert 2 < first <= all_of_them < 1.5 * first


@pytest.mark.parametrize(
    ("circle", "size"),
    [
        ("58.6 mm", "flange61/16"),  # SAE J518: bolts 2-1/16 by 1-1/32 in
        ("63.5 mm", "flange62/16"),  # SAE J518: 2-1/4 by 1-3/32 in; a long side of 63.5 mm would be near dash 20
        ("56.6 mm", "flange-square/12"),  # JIS B 2291: a square of 40 mm
        ("40 mm", "flange-pump/40"),  # it goes by its circle: common practice, no source
    ],
)
def test_a_circle_of_bolts_goes_through_all_four_and_is_no_side(circle: str, size: str, matcher: Matcher) -> None:
    posterior = Posterior(matcher, [said("shape", "flange"), said("bolt_circle", circle)])
    assert matcher.ends[posterior.best_parts(1)[0][0]].id.startswith(f"{size}/")


def test_repeated_leaf_is_bounded_by_the_leaf_that_lastingly_seems_to_fit(matcher: Matcher) -> None:
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    many = matcher.joint_log_likelihood([said("pitch", "18 tpi")] * 30)
    lasting = float(many[rows["npt/4/male"]] - many[rows["bspt/4/male"]])
    assert np.log(30) < lasting < np.log(1e4)


def test_first_and_last_thread_together_decide_taper(matcher: Matcher) -> None:
    """ASME B1.20.1: 1/2-14 NPT grows from 0.816 to 0.840 in; a straight thread does not."""

    def tapered(readings: list[Reading]) -> float:
        posterior = Posterior(matcher, [said("gender", "male"), said("pitch", "14 tpi"), *readings])
        is_tapered = [end.thread is not None and bool(end.thread.taper) for end in matcher.ends]
        return float(posterior.p[:-1][is_tapered].sum())

    growing = [said("first_thread_diameter", "0.816 in"), said("last_thread_diameter", "0.840 in")]
    straight = [said("first_thread_diameter", "0.820 in"), said("last_thread_diameter", "0.821 in")]
    assert tapered(growing) > 0.9
    assert tapered(straight) < 0.1
    assert 0.1 < tapered([growing[0]]) < 0.9  # one of the two alone leaves it open


# ---- the reference case -----------------------------------------------------------------------------------


def test_reference_case_leads_with_the_female_on_pipe_thread(matcher: Matcher) -> None:
    """Outside 19/32 in, 19 tpi, 30 degrees: ISO 228-1 gives G3/8-19 a minor diameter of 14.950 mm (0.589 in), and no
    19 tpi male measures that outside. Said outside, measured inside."""
    posterior = Posterior(matcher, REFERENCE)
    best = matcher.ends[posterior.best_parts(1)[0][0]]
    assert (best.series, best.dash, best.nominal, best.gender.value) == ("flare30-g", 6, "3/8", "female")
    assert best.thread is not None and best.thread.designation == "G3/8"
    assert likeliest(posterior)[0] == posterior.best_parts(1)[0][0]


def test_the_same_slip_is_found_for_other_sizes_and_series(matcher: Matcher) -> None:
    """No special case: a side misnamed is found wherever the other side does not exist. ISO 228-1, ASME B1.1."""
    pipe = [said("pitch", "19 tpi"), said("seat_angle", "30 deg")]
    unified = [said("pitch", "18 tpi"), said("seat_angle", "37 deg")]
    for readings, series, dash in (
        ([said("outside_diameter", "11.5 mm"), *pipe], "flare30-g", 4),
        ([said("inside_diameter", "16.6 mm"), *pipe, said("seat_form", "convex")], "flare30-g", 6),
        ([said("outside_diameter", "0.50 in"), *unified], "flare37", 6),
    ):
        posterior = Posterior(matcher, readings)
        best = matcher.ends[posterior.best_parts(1)[0][0]]
        assert (best.series, best.dash) == (series, dash)
        said_outside = readings[0].options[0].measurand is Measurand.OUTSIDE_DIAMETER
        assert (best.gender.value == "female") is said_outside


# ---- what was left unsaid ---------------------------------------------------------------------------------


def test_an_unsaid_unit_is_settled_by_the_ends(matcher: Matcher) -> None:
    bare = one_of(option("outside_diameter", "18 mm"), option("outside_diameter", "18 in"))
    posterior = Posterior(matcher, [bare, said("pitch", "1.5 mm")])
    taken, weight = posterior.option(0)
    assert taken.value == Quantity(exact(18), Unit.MILLIMETRE, exact(1))
    assert weight > 0.99


def test_an_ambiguous_number_is_settled_by_another_reading(matcher: Matcher) -> None:
    """ "Nineteen" may be a pitch or a diameter; a second reading of the same thing leaves the other."""
    bare = one_of(option("pitch", "19 tpi"), option("outside_diameter", "19 mm"))
    assert Posterior(matcher, [bare, said("outside_diameter", "16.6 mm")]).option(0)[0].measurand is Measurand.PITCH
    posterior = Posterior(matcher, [bare, said("pitch", "16 tpi"), said("seat_angle", "37 deg")])
    assert posterior.option(0)[0].measurand is Measurand.OUTSIDE_DIAMETER


def test_half_and_included_angle_are_both_heard(matcher: Matcher) -> None:
    """37 degrees to the axis is 74 included; 60 included is 30 to the axis (common practice of naming)."""
    thread = [said("outside_diameter", "9/16 in"), said("pitch", "18 tpi"), said("gender", "male")]
    for angle in ("37 deg", "74 deg"):
        best = Posterior(matcher, [*thread, said("seat_angle", angle)]).best_parts(1)[0][0]
        assert matcher.ends[best].series == "flare37"
    pipe = [said("outside_diameter", "16.6 mm"), said("pitch", "19 tpi"), said("gender", "male")]
    posterior = {a: Posterior(matcher, [*pipe, said("seat_angle", a)]) for a in ("30 deg", "60 deg")}
    flare = next(row for row, end in enumerate(matcher.ends) if end.id == "flare30-g/6/male")
    cone = next(row for row, end in enumerate(matcher.ends) if end.id == "bspp-cone60/6/male")
    assert posterior["30 deg"].p[flare] > posterior["30 deg"].p[cone] / 3
    assert posterior["60 deg"].p[cone] > 3 * posterior["60 deg"].p[flare]


def test_alternatives_for_the_next_words_are_weighed_by_how_they_fit(matcher: Matcher) -> None:
    """ "Fifteen" against "fifty" millimetres inside, when the pitch is nineteen."""
    known = [said("pitch", "19 tpi")]
    fifteen, fifty = [said("inside_diameter", "15 mm")], [said("inside_diameter", "50 mm")]
    weights = matcher.weigh(known, [fifteen, fifty, []])
    assert weights[0] - weights[1] > np.log(20)
    assert weights[2] == pytest.approx(0.0)
    longer = [*fifteen, said("seat_angle", "30 deg")]
    assert matcher.weigh(known, [longer])[0] > weights[0] - np.log(3)  # more words are not at a loss


def test_what_says_nothing_of_an_end_changes_nothing(matcher: Matcher) -> None:
    silent = [said("pressure", "250 bar"), said("length", "900 mm"), said("elbow_angle", "90 deg")]
    for reading in silent:
        np.testing.assert_array_equal(matcher.log_likelihood(reading), 0.0)
    np.testing.assert_allclose(Posterior(matcher, silent).log_p, Posterior(matcher, []).log_p)


def test_country_and_claims_are_weak(matcher: Matcher) -> None:
    """A machine's country must never outvote a measurement."""
    measured = [said("outside_diameter", "16.6 mm"), said("pitch", "19 tpi"), said("seat_form", "convex")]
    for country in ("germany", "america", "france"):
        best = Posterior(matcher, [*measured, said("country", country)]).best_parts(1)[0][0]
        assert matcher.ends[best].id == "flare30-g/6/male"


@pytest.mark.parametrize(
    ("hose", "dash"),
    [
        (said("hose_bore", "1/2 in"), 8),
        (said("hose_bore", "19 mm"), 12),
        (said("hose_outside_diameter", "19.5 mm"), 6),  # EN 853 2SN DN 10: 19.7 mm at most, from memory
        (said("hose_outside_diameter", "36.2 mm"), 16),  # EN 853 1SN DN 25: 36.6 mm at most, from memory
    ],
)
def test_a_hose_speaks_for_ends_of_its_size_and_concludes_nothing(hose: Reading, dash: int, matcher: Matcher) -> None:
    posterior = Posterior(matcher, [hose])
    by_dash = {
        d: max(posterior.log_likelihood[row] for row, end in enumerate(matcher.ends) if end.dash == d)
        for d in (4, 6, 8, 12, 16, 20)
    }
    assert max(by_dash, key=lambda d: by_dash[d]) == dash
    assert posterior.log_likelihood[:-1].max() - posterior.log_likelihood[:-1].min() < np.log(200)
    assert not is_check(hose)
    np.testing.assert_allclose(Posterior(matcher, [hose] * 3).log_p, posterior.log_p)


def test_many_ambiguous_readings_still_end(matcher: Matcher) -> None:
    bare = [
        one_of(option("pitch", f"{n} tpi"), option("outside_diameter", f"{n} mm"), option("inside_diameter", f"{n} mm"))
        for n in (18, 19, 18, 19, 18, 19, 18, 19)
    ]
    assert Posterior(matcher, bare).p.sum() == pytest.approx(1.0)


# ---- none of these ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "readings",
    [
        [said("outside_diameter", "76.2 mm"), said("pitch", "27 tpi"), said("shape", "threaded")] * 2,
        [said("outside_diameter", "25.0 mm"), said("pitch", "0.75 mm")] * 2,
        [said("inside_diameter", "100 mm"), said("inside_diameter", "100 mm"), said("pitch", "8 tpi")],
    ],
)
def test_nothing_fits_is_a_result(readings: list[Reading], matcher: Matcher) -> None:
    assert Posterior(matcher, readings).none > 0.5


# ---- bad readings -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bad", "names"),
    [
        (Reading("hm", ()), "no option"),
        (said("outside_diameter", "19 tpi"), "not a length"),
        (said("pitch", "30 deg"), "not a pitch"),
        (said("seat_angle", "5 mm"), "not an angle"),
        (said("outside_diameter", "0 mm"), "not above zero"),
        (said("pitch", "0 tpi"), "not above zero"),
        (said("outside_diameter", "wide"), "not a quantity"),
        (said("seat_form", "crooked"), "none of convex"),
        (said("thread_side", "beside"), "neither internal nor external"),
        (said("thread_size", "30 deg"), "not a length"),
        (one_of(Option(Measurand.PITCH, Quantity(exact(18), Unit.THREADS_PER_INCH), float("nan"))), "finite weight"),
    ],
)
def test_a_bad_reading_is_named(bad: Reading, names: str, matcher: Matcher) -> None:
    with pytest.raises(BadInput, match=names):
        Posterior(matcher, [said("gender", "male"), bad])


def test_an_empty_catalogue_has_only_none(
    prior: Prior, model: MeasurementModel, catalogue: Catalogue, checks: Checks
) -> None:
    class Empty:
        ends = catalogue.ends[:0]

    matcher = Matcher(Empty(), prior, model)
    posterior = Posterior(matcher, REFERENCE)
    advice = Advisor(matcher, checks).advise(REFERENCE)
    assert advice.nothing_fits and advice.checks == () and not advice.identified
    assert conflict(matcher, REFERENCE) == () == reach(matcher, REFERENCE) and why(matcher, posterior) is None
    assert posterior.none == pytest.approx(1.0)
    assert posterior.best_parts() == []
