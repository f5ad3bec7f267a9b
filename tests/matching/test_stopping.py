"""When the advisor stops: what is identified, what is not, and what is said of readings that do not fit."""

from __future__ import annotations

from tests.matching.saying import one_of, option, said
from voicefit.catalogue import Catalogue
from voicefit.matching import Advisor, Checks, Matcher, MeasurementModel, Posterior, Prior, conflict, reach
from voicefit.records import Measurand, Reading

SETTLED = [
    said("outside_diameter", "0.75 in"),
    said("pitch", "16 tpi"),
    said("seat_form", "convex"),
    said("seat_angle", "37 deg"),
    said("seal", "metal"),
    said("gender", "male"),
]


def test_never_identified_by_prior_odds(
    catalogue: Catalogue, prior: Prior, model: MeasurementModel, checks: Checks
) -> None:
    """However a shop's prior is tilted, what no check excluded is within reach."""
    tilted = prior.model_copy(update={"series": {**prior.series, "flare37": 1e6}})
    matcher = Matcher(catalogue, tilted, model, checks)
    advisor = Advisor(matcher, checks)
    readings = [reading for reading in SETTLED if Measurand.SEAT_ANGLE not in reading.measurands] * 3
    posterior = Posterior(matcher, readings)
    assert posterior.best_parts(1)[0][1] > 0.99
    advice = advisor.advise_on(posterior)
    assert not advice.identified
    assert "flare45/8/male" in {matcher.ends[row].id for row in advice.look_alikes}


def test_never_identified_by_claims(advisor: Advisor) -> None:
    claims = [
        said("series", "flare37"),
        said("dash", "8 dash"),
        said("thread_size", "3/4 in"),
        said("country", "america"),
    ]
    assert not advisor.advise([*claims * 3, said("gender", "male")]).identified


def test_no_conclusion_rests_on_one_doubtful_reading(advisor: Advisor) -> None:
    """One flank reading is wrong one time in eight, by the model: it does not tell NPT from the British taper."""
    shared = [
        said("outside_diameter", "21.1 mm"), said("pitch", "14 tpi"), said("taper", "tapered"), said("seal", "thread"),
        said("gender", "male"), said("seat_form", "none"),
    ]  # fmt: skip
    assert not advisor.advise([*shared, said("flank_angle", "60 deg", asked="flank")]).identified


def test_identified_needs_the_posterior_and_the_exclusion(advisor: Advisor) -> None:
    """Along a job the conclusion comes once, with a sure posterior, and no check is asked after it."""
    readings: list[Reading] = []
    concluded = False
    for reading in SETTLED * 3:
        readings.append(reading)
        posterior = Posterior(advisor.matcher, readings)
        advice = advisor.advise_on(posterior)
        if advice.identified:
            concluded = True
            assert posterior.best_parts(1)[0][1] >= 0.99
            assert advice.checks == () and advice.look_alikes == ()
        else:
            assert advice.check is not None
    assert concluded


def test_four_that_agree_are_enough_where_a_mistake_costs_an_hour(advisor: Advisor) -> None:
    """What else it could be plainly does not fit: an hour to the counter and back is at stake, and no accident."""
    nut = [said("outside_diameter", "1.749 in"), said("seal", "cutting_ring"), said("seat_form", "recessed")]
    half = [said("inside_diameter", "13/16 in"), said("seal", "bore_o_ring"), said("shape", "coupler", "coupler")]
    for readings in ([*nut, said("pitch", "2 mm")], [*half, said("gender", "female", "socket")]):
        assert not advisor.advise(readings[:3]).identified
        assert advisor.advise(readings).identified


def test_nothing_fits_is_said(advisor: Advisor) -> None:
    advice = advisor.advise([said("outside_diameter", "25.0 mm"), said("pitch", "0.75 mm")] * 2)
    assert advice.nothing_fits and not advice.identified
    assert advice.contradiction


def denied(measurand: str, category: str) -> Reading:
    return one_of(option(measurand, category, negated=True))


def test_a_contradiction_is_the_fewest_readings_that_do_not_fit(matcher: Matcher) -> None:
    fits = [said("outside_diameter", "9/16 in"), said("pitch", "18 tpi"), said("seat_angle", "37 deg")]
    assert conflict(matcher, fits) == ()
    assert conflict(matcher, [*fits, said("pitch", "28 tpi")]) == (1, 3)
    assert conflict(matcher, [said("outside_diameter", "120 mm"), *fits]) == (0,)
    assert conflict(matcher, []) == ()


def test_the_reach_is_what_the_checks_leave(matcher: Matcher) -> None:
    sizes = [len(reach(matcher, SETTLED[:n])) for n in range(len(SETTLED) + 1)]
    assert sizes[0] == len(matcher.parts) > 100 * sizes[-1]


def test_a_stud_called_male_contradicts_nothing(matcher: Matcher) -> None:
    """Common practice, no source: whoever holds an external thread calls it male."""
    stud = [said("seal", "base_o_ring"), said("gender", "male")]
    assert conflict(matcher, stud) == ()
    assert conflict(matcher, [*stud, said("gender", "stud")]) == ()
    assert conflict(matcher, [said("seal", "base_o_ring"), said("gender", "female"), said("gender", "male")]) != ()


def test_what_is_not_seen_where_the_mate_has_it_contradicts_nothing(matcher: Matcher) -> None:
    """The O-ring of a flat face joint sits in the male (ISO 8434-3): a swivel without one is whole. A male without one
    has lost it, which is worth a word."""
    swivel = [said("inside_diameter", "15/16 in"), said("gender", "female"), said("seat_form", "flat")]
    for seal in ("face_o_ring", "o_ring"):
        assert conflict(matcher, [*swivel, denied("seal", seal)]) == ()
    seals = matcher.aspect(Measurand.SEAL)
    fits = seals.fits(option("seal", "face_o_ring", negated=True))[seals.class_of[:-1]]
    by_id = {end.id: bool(fit) for end, fit in zip(matcher.ends, fits, strict=True)}
    assert by_id["orfs/10/female"] and not by_id["orfs/10/male"]
    assert conflict(matcher, [said("gender", "port"), denied("gender", "port")]) != ()


def test_metric_and_tapered_go_together(matcher: Matcher) -> None:
    """DIN 158 has metric taper threads."""
    readings = [said("thread_system", "M"), said("taper", "tapered"), said("pitch", "1.5 mm"), said("gender", "male")]
    assert conflict(matcher, [*readings, said("outside_diameter", "18.1 mm")]) == ()
