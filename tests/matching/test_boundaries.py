"""Each number that decides has a case on either side of it. The cases are common practice of the trade, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.matching.saying import option, said
from voicefit.catalogue import Catalogue
from voicefit.matching import Advisor, Checks, Matcher, MeasurementModel, Posterior, Prior
from voicefit.matching.aspect import said_length_mm, scale_length_mm
from voicefit.matching.harm import Harms
from voicefit.records import Certainty, Reading

FLARE = [said("outside_diameter", "0.75 in"), said("pitch", "16 tpi"), said("gender", "male")]


def changed(matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior, **numbers: float) -> Advisor:
    """An advisor whose ``decision`` or ``harm`` has other numbers."""
    model = matcher.model
    harm, decision = model.harm, model.decision
    for name, value in numbers.items():
        if hasattr(harm.harm, name):
            harm = harm.model_copy(update={"harm": harm.harm.model_copy(update={name: value})})
        else:
            decision = decision.model_copy(update={name: value})
    model = model.model_copy(update={"harm": harm, "decision": decision})
    return Advisor(Matcher(catalogue, prior, model, checks), checks)


def ids(advisor: Advisor, readings: list[Reading]) -> set[str]:
    return {check.id for check in advisor.worth(Posterior(advisor.matcher, readings))}


@pytest.mark.parametrize("name", ["lets_go_s", "second_trip_s"])
def test_the_worse_a_mistake_the_later_it_is_concluded(
    name: str, matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    readings = [*FLARE, said("seat_form", "convex"), said("seat_angle", "37 deg")]
    little = {"lets_go_s": 100.0, "second_trip_s": 100.0}
    assert changed(matcher, checks, catalogue, prior, **little).advise(readings).identified
    assert not changed(matcher, checks, catalogue, prior, **little | {name: 1e9}).advise(readings).identified


def test_a_check_is_made_where_it_saves_more_than_it_costs(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    """A gauge on the seat tells 37 from 45 degrees: it saves nearly the whole harm. It is concluded without it where it
    costs that much, where nothing is left to be saved, and never where it is better left open."""
    readings = [*FLARE, said("seat_form", "convex")]
    advisor = changed(matcher, checks, catalogue, prior)
    stake = advisor.stakes.of(Posterior(matcher, readings))
    check = advisor.advise(readings).check
    assert check is not None
    open_s, more = {"left_open_s": stake.harm_s + 1}, 1.1 * matcher.model.decision.overdoubt
    for numbers, concluded in (
        ({}, False),
        ({"turn_s": 0.5 * stake.harm_s} | open_s, False),
        ({"turn_s": 0.5 * stake.harm_s, "overdoubt": 4.0} | open_s, True),
        ({"turn_s": stake.harm_s} | open_s, True),
        ({"turn_s": stake.harm_s, "left_open_s": stake.harm_s - 1}, False),
        ({"turn_s": stake.harm_s, "left_open_s": stake.harm_s - 1, "overdoubt": more}, True),
        ({"no_harm_s": stake.harm_s} | open_s, True),
    ):
        assert changed(matcher, checks, catalogue, prior, **numbers).advise(readings).identified is concluded, numbers


@pytest.mark.parametrize(
    ("diameter", "lets_go_s", "concluded"),
    [
        ("7.8 mm", None, False),  # 5/16-24: the 45 degree flare for the same tube has it too (SAE J512, J514)
        ("14.2 mm", None, True),  # 9/16-18: it has not
        ("7.8 mm", 3600.0, True),  # and would it cost an hour and no accident
    ],
)
def test_one_gauge_on_the_seat_is_not_all_that_keeps_two_apart_that_go_together(
    diameter: str,
    lets_go_s: float | None,
    concluded: bool,
    matcher: Matcher,
    checks: Checks,
    catalogue: Catalogue,
    prior: Prior,
) -> None:
    seen = [said("outside_diameter", diameter), said("seal", "metal"), said("seat_form", "convex")]
    numbers = {} if lets_go_s is None else {"lets_go_s": lets_go_s}
    advice = changed(matcher, checks, catalogue, prior, **numbers).advise([*seen, said("seat_angle", "37 deg")])
    assert advice.identified is concluded
    assert concluded or (advice.check is not None and advice.check.id == "seat-gauge")


def test_likely_and_leading_begin_where_they_say(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    readings = FLARE[:2]
    advisor = changed(matcher, checks, catalogue, prior)
    first, second = (p for _, p in Posterior(advisor.matcher, readings).best_parts(2))
    for numbers, found in (
        ({"likely_posterior": first - 0.01}, Certainty.LIKELY),
        ({"likely_posterior": first + 0.01, "leads_posterior": first - 0.01, "leads_by": 1.0}, Certainty.LEADING),
        ({"likely_posterior": first + 0.01, "leads_posterior": first + 0.01}, Certainty.OPEN),
        ({"leads_posterior": 0.01, "leads_by": 0.99 * first / second}, Certainty.LEADING),
        ({"leads_posterior": 0.01, "leads_by": 1.01 * first / second}, Certainty.OPEN),
    ):
        assert changed(matcher, checks, catalogue, prior, **numbers).advise(readings).certainty is found, numbers


def test_a_thread_is_asked_about_from_its_posterior_on(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    posterior = Posterior(matcher, [])
    threaded = float(sum(p for end, p in zip(matcher.ends, posterior.p, strict=False) if end.thread is not None))
    threaded /= 1 - posterior.none
    assert "pitch" in ids(changed(matcher, checks, catalogue, prior, thread_posterior=threaded - 0.01), [])
    assert "pitch" not in ids(changed(matcher, checks, catalogue, prior, thread_posterior=threaded + 0.01), [])
    # the trade: a coupler in the hand has none
    assert "pitch" not in ids(Advisor(matcher, checks), [said("shape", "coupler")])


def test_the_prompt_speaks_of_a_side_from_its_posterior_on(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    readings = [said("thread_side", "external")]
    sure = ids(changed(matcher, checks, catalogue, prior, side_posterior=0.9), readings)
    unsure = ids(changed(matcher, checks, catalogue, prior, side_posterior=0.9999), readings)
    assert "outside-diameter" in sure and "diameter" not in sure
    assert "diameter" in unsure and "outside-diameter" not in unsure


def test_a_flange_is_measured_only_where_there_may_be_one(advisor: Advisor) -> None:
    """A flange by its head and bolts, none of threads, seats or tubes; a thread by none of a flange's checks."""
    flange = ids(advisor, [said("shape", "flange")])
    assert {"flange-head", "bolt-long", "bolt-short"} <= flange
    assert not flange & {"diameter", "pitch", "seat-angle", "seat-form", "tube", "socket", "hex"}
    assert not ids(advisor, FLARE) & {"flange-head", "bolt-long", "bolt-short", "profile", "socket"}
    coupler = ids(advisor, [said("shape", "coupler")])
    assert {"profile", "socket"} <= coupler and not coupler & {"diameter", "seat-angle", "bolt-long", "tube"}


def test_a_leaf_is_tried_where_it_may_fit(matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior) -> None:
    few, many = (
        changed(matcher, checks, catalogue, prior, leaf_posterior=share).worth(Posterior(matcher, FLARE[:1]))
        for share in (0.2, 0.001)
    )
    assert 0 < sum(check.id == "leaf" for check in few) < sum(check.id == "leaf" for check in many)


def test_what_lets_go_is_what_screws_together(matcher: Matcher, model: MeasurementModel) -> None:
    """18 against 19 tpi engages a few turns, 14 against 18 does not; M14 by 1.5 goes where 9/16-18 went."""
    harms = Harms(matcher.ends, matcher.part_of, model.harm)
    part = {end.id: int(matcher.part_of[row]) for row, end in enumerate(matcher.ends)}

    def grave(first: str, second: str) -> bool:
        one, other = bool(harms.grave(part[first])[part[second]]), bool(harms.grave(part[second])[part[first]])
        assert one == other, (first, second)
        return one

    assert grave("flare37/8/male", "flare45/8/male") and grave("flare37/6/male", "orb/6/stud")
    assert grave("orb/6/stud", "iso6149/14/stud")  # 9/16-18 and M14 by 1.5: 1.41 against 1.5 mm, six per cent
    assert grave("flange61/8/male", "flange62/8/male") and not grave("flange61/8/male", "flange61/16/male")
    # SAE J518: 61 at 1 in and 62 at 3/4 in have bolts within 2.4 mm, and heads 3.2 mm apart, which a port has not
    assert grave("flange61/16/port", "flange62/12/port") and not grave("flange61/16/male", "flange62/12/male")
    assert not grave("flare37/8/male", "flare37/8/female")  # two sides of one joint
    assert not grave("flare37/10/male", "iso6149/22/stud")  # 7/8-14 and M22 by 1.5: 17 per cent
    assert not grave("flare37/6/male", "flare37/8/male")
    wide = model.harm.likeness.model_copy(update={"pitch_mismatch": 0.2})
    wider = Harms(matcher.ends, matcher.part_of, model.harm.model_copy(update={"likeness": wide}))
    assert wider.grave(part["flare37/10/male"])[part["iso6149/22/stud"]]


def test_two_in_one_breath_only_where_the_second_is_clear(advisor: Advisor) -> None:
    start = advisor.advise([])
    assert len(start.checks) == 2 and start.check is start.checks[0]
    assert {check.yes for check in start.checks} == {None}  # both are answered by a value
    for readings in (FLARE, [said("shape", "flange"), said("flange_head_diameter", "50.8 mm")]):
        for check in advisor.advise(readings).checks[1:]:
            assert check.yes is None


def test_the_variant_that_was_named_is_the_answer(advisor: Advisor) -> None:
    """A British swivel with a ring in its cone is ordered as the plain one (common practice), but seals by the ring."""
    ends = advisor.matcher.ends
    swivel = [
        said("inside_diameter", "14.95 mm"), said("pitch", "19 tpi"), said("seat_form", "convex"),
        said("seat_angle", "60 deg"), said("gender", "female"), said("flank_angle", "55 deg"),
    ]  # fmt: skip
    ringed = advisor.advise([*swivel, said("seal", "cone_o_ring")])
    assert [ends[row].id for row in ringed.variants] == ["bspp-cone60/6/female-o-ring"]
    unsaid = advisor.advise(swivel)
    assert {ends[row].seal.value for row in unsaid.variants} == {"metal", "cone_o_ring"}


def test_a_contradiction_is_one_or_two_readings(advisor: Advisor) -> None:
    readings = [
        said("outside_diameter", "0.75 in"), said("pitch", "16 tpi"), said("gender", "male"),
        said("seat_angle", "24 deg"), said("tube_outside_diameter", "42 mm"), said("seat_form", "flat"),
    ]  # fmt: skip
    for count in range(2, len(readings) + 1):
        assert len(advisor.advise(readings[:count]).contradiction) <= 2


def test_a_repeated_check_is_again(advisor: Advisor) -> None:
    answer = replace(said("pitch", "19 tpi"), asked="pitch")
    twice = advisor.advise([said("outside_diameter", "0.75 in"), answer])
    assert twice.check is None or twice.again == (twice.check.id == "pitch")


def test_a_finer_reading_is_asked_for_where_it_separates(advisor: Advisor) -> None:
    """Couplers of ISO 7241-B and ISO 16028 at half an inch, 23.5 and 24.5 mm: fifteen sixteenths says neither."""
    coarse = [said("shape", "coupler"), said("gender", "male"), said("profile_diameter", "15/16 in", asked="profile")]
    assert "profile-fine" in ids(advisor, coarse) and "profile" not in ids(advisor, coarse)
    fine = [*coarse, said("profile_diameter", "23.5 mm", asked="profile-fine")]
    assert "profile-fine" not in ids(advisor, fine)
    assert "profile-fine" not in ids(advisor, [*coarse[:2], said("profile_diameter", "23.5 mm", asked="profile")])
    assert "profile-fine" not in ids(advisor, [*coarse, replace(coarse[-1], asked="profile-fine")])  # asked once


@pytest.mark.parametrize(("said_as", "finer"), [("3/4 in", True), ("0.8 in", False), ("19 mm", False)])
def test_only_a_fraction_of_an_inch_was_read_on_a_scale_of_fractions(said_as: str, finer: bool) -> None:
    """ "Three quarters" may have been read in 32nds; "point eight" is a tenth, and no 32nd."""
    (loose_mm, wide), (value_mm, narrow) = (
        said_length_mm(option("outside_diameter", said_as)),
        scale_length_mm(option("outside_diameter", said_as), 1 / 32),
    )
    assert value_mm == loose_mm and (narrow == pytest.approx(25.4 / 32) if finer else narrow == wide)
