"""What is asked next when something is put off, was asked in vain, was said already or does not go together."""

from __future__ import annotations

import pytest

from tests.matching.saying import REFERENCE, said
from tests.matching.test_boundaries import FLARE, changed
from voicefit.catalogue import Catalogue
from voicefit.matching import Advisor, Checks, Matcher, Posterior, Prior, suspects
from voicefit.records import Measurand, Reading

CONVEX = [*FLARE, said("seat_form", "convex"), said("seal", "metal"), said("line", "hydraulic")]
LENGTHS = {"diameter", "outside-diameter", "inside-diameter", "tube", "hex", "flange-head", "bolt-long", "profile"}


def test_what_is_put_off_holds_the_conclusion_back_and_what_cannot_be_told_does_not(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    """37 or 45 degrees: who will look later is waited for; who has looked and cannot tell gets the likelier one, where
    that costs less than to leave it open."""
    posterior = Posterior(matcher, CONVEX)
    angles = frozenset(entry.id for entry in checks.values() if entry.measurand is Measurand.SEAT_ANGLE)
    others = frozenset(checks) - angles
    for left_open_s, concluded in ((1.0, False), (1e9, True)):
        advisor = changed(matcher, checks, catalogue, prior, left_open_s=left_open_s)
        asked = advisor.advise_on(posterior, others)
        assert asked.check is not None and asked.check.measurand is Measurand.SEAT_ANGLE and not asked.identified
        later = advisor.advise_on(posterior, others, put_off=angles)
        assert later.checks == () and not later.identified and later.standoff is not None
        cannot = advisor.advise_on(posterior, others | angles)
        assert cannot.checks == () and cannot.identified == concluded
    one = frozenset({asked.check.id})
    another = advisor.advise_on(posterior, put_off=one)
    assert another.check is not None and another.check.id not in one  # another way to look at it, or another thing


def test_a_standoff_is_the_likeliest_two_of_two_parts(advisor: Advisor, checks: Checks) -> None:
    advice = advisor.advise_on(Posterior(advisor.matcher, CONVEX), frozenset(checks))
    assert advice.standoff is not None
    assert [advisor.matcher.ends[row].id for row in advice.standoff] == ["flare37/8/male", "flare45/8/male"]
    rows = {advisor.matcher.ends[row].id for row in advice.look_alikes}
    assert "flare45/8/male" in rows and "flare37/8/male" not in rows
    assert advice.look_alikes[0] == advice.standoff[1] and set(advice.grave) <= set(advice.look_alikes)
    stake = advisor.stakes.of(Posterior(advisor.matcher, CONVEX))
    shares = [float(stake.part_p[advisor.matcher.part_of[row]]) for row in advice.look_alikes]
    assert shares == sorted(shares, reverse=True) and stake.harm_s > 0


def test_what_was_said_is_dearer_to_ask_again(
    matcher: Matcher, checks: Checks, catalogue: Catalogue, prior: Prior
) -> None:
    """Patience is a cost: where it is great, what nobody has spoken of comes first."""
    readings = [said("seat_angle", "40 deg"), said("outside_diameter", "0.75 in")]
    spoken = {Measurand.SEAT_ANGLE, Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER}
    for again in (1e-6, 1e6):
        advisor = changed(matcher, checks, catalogue, prior, again=again)
        check = advisor.advise(readings).check
        assert check is not None and (check.measurand in spoken) == (again < 1), check.id


def test_worth_is_by_the_second(advisor: Advisor) -> None:
    found = advisor.worth(Posterior(advisor.matcher, FLARE[:1]))
    turn_s = advisor.matcher.model.decision.turn_s
    rates = [check.information_bit / (check.time_s + turn_s) for check in found]
    assert len(found) > 10 and rates == sorted(rates, reverse=True)
    assert [check.information_bit for check in found] != sorted((c.information_bit for c in found), reverse=True)


@pytest.mark.parametrize("count", range(len(CONVEX) + 1))
def test_two_in_one_breath_have_answers_of_two_kinds(count: int, advisor: Advisor) -> None:
    """Nobody is asked for two lengths at once, nor for two things that "yes" would answer."""
    for order in (CONVEX, CONVEX[::-1], [said("shape", "flange"), *FLARE]):
        first, *more = advisor.advise(order[:count]).checks or (None,)
        assert len(more) <= 1
        for second in more:
            assert first is not None and first.yes is None and second.yes is None
            assert first.measurand is not second.measurand and not {first.id, second.id} <= LENGTHS


def test_the_most_doubtful_comes_first(matcher: Matcher) -> None:
    """A pitch that no such thread has against a diameter that is a little small."""
    readings = [said("outside_diameter", "18.7 mm"), said("pitch", "11 tpi"), said("gender", "male")]
    leader = next(row for row, end in enumerate(matcher.ends) if end.id == "flare37/8/male")
    assert suspects(matcher, readings, (0, 1, 2), leader)[0] == 1
    assert set(suspects(matcher, readings, (2, 0), leader)) == {0, 2}


def test_which_side_was_measured_is_asked_where_the_reading_fits_the_other(advisor: Advisor) -> None:
    """Said outside, and it fits inside a nut."""
    advice = advisor.advise(REFERENCE)
    assert advice.contradiction == (0, 1) and advice.check is not None
    assert advice.check.measurand is Measurand.THREAD_SIDE and not advice.again


def test_what_does_not_go_together_is_read_anew_once(advisor: Advisor) -> None:
    """Forty-five degrees on a flat face: there is none. Read again and the same, it stays so, and it is gone on."""
    readings = [said("seat_angle", "45 deg"), said("seat_form", "flat"), *FLARE]
    advice = advisor.advise(readings)
    assert advice.contradiction == (0, 1) and advice.again and len(advice.checks) == 1
    assert advice.check is not None and advice.check.measurand is Measurand.SEAT_FORM
    confirmed = advisor.advise([*readings, said("seat_form", "flat", asked=advice.check.id)])
    assert confirmed.check is not None and not confirmed.again  # the angle neither: what else there is comes first
    assert not {confirmed.check.measurand} & {Measurand.SEAT_FORM, Measurand.SEAT_ANGLE}
    assert confirmed.contradiction and not advisor.advise(FLARE).contradiction and not advisor.advise(FLARE).again


def test_where_there_is_no_thread_no_side_of_it_is_in_doubt(advisor: Advisor) -> None:
    """Inside, said of a flange: what was said of it is read anew, and no side is waited for."""
    flange = said("shape", "flange", asked="flange")
    advice = advisor.advise([flange, said("flange_head_diameter", "50.8 mm"), said("inside_diameter", "32 mm")])
    assert advice.contradiction == (0, 2) and advice.again
    assert advice.check is not None and advice.check.id == "flange"


def test_where_the_two_that_remain_cannot_be_told_apart_nothing_else_is_asked(advisor: Advisor) -> None:
    """A boss on a pipe thread and a stud with a retained O-ring differ by the retaining ring alone."""
    stud = [
        said("gender", "stud"),
        said("outside_diameter", "20.9 mm"),
        said("pitch", "14 tpi"),
        said("seal", "base_o_ring"),
    ]
    first = advisor.advise(stud)
    assert first.check is not None and first.check.id == "retaining-ring" and first.standoff is None
    then = advisor.advise(stud, frozenset({"retaining-ring"}))
    assert not then.checks and then.standoff is not None
    series = {advisor.matcher.ends[row].series for row in then.standoff}
    assert series == {"boss-g", "bspp-port"}


def test_a_flat_ring_around_the_o_ring_settles_it_where_nothing_else_can_be_told(advisor: Advisor) -> None:
    """A burr is taken for an edge, hardly for a ring; a plain shoulder leaves it open."""
    stud = [
        said("gender", "stud"),
        said("outside_diameter", "20.9 mm"),
        said("pitch", "14 tpi"),
        said("seal", "o_ring"),
        said("seat_form", "shoulder"),
    ]
    left_out = frozenset(advisor.checks)
    assert not advisor.advise(stud, left_out).identified
    found = advisor.advise([*stud, said("shoulder_edge", "ring")], left_out)
    assert found.identified
    assert {advisor.matcher.ends[row].id for row in found.variants} == {"bspp-port/8/stud-o-ring"}


def test_what_cannot_be_told_apart_does_not_end_it_while_it_may_be_another(advisor: Advisor) -> None:
    told = [said("gender", "stud"), said("outside_diameter", "20.9 mm"), said("seal", "base_o_ring")]
    assert advisor.advise(told, frozenset({"retaining-ring"})).checks


def test_before_it_is_left_open_what_does_not_go_together_is_asked_once_more(advisor: Advisor, checks: Checks) -> None:
    """A female taper whose flanks were seen both ways. It is said which two readings, one for each of the two ends that
    are left; each question comes twice at most."""

    def not_so(id_: str) -> Reading:
        check = checks[id_].check()
        [option] = [each for each in (check.yes, check.no) if each is not None and each.negated]
        return Reading("", (option,), asked=id_)

    rounded = said("crest", "rounded", "crests")
    readings = [
        *(said("inside_diameter", "23.65 mm"), said("seal", "thread"), said("seat_form", "none", "seat-form")),
        *(not_so("flank-narrow"), rounded, rounded, not_so("flank-narrow"), not_so("flank")),
    ]
    asked: list[str] = []
    while (advice := advisor.advise(readings)).check is not None:
        asked.append(advice.check.id)
        if asked == ["flank"]:
            assert advice.again and advice.standoff is None and not advice.identified
            one, other = (readings[index].options[0] for index in advice.contradiction)
            assert {one.measurand, other.measurand} == {Measurand.FLANK_ANGLE} and one.value != other.value
        answer = rounded if advice.check.id == "crests" else not_so("flank") if advice.check.id == "flank" else None
        if answer is None:
            break
        readings.append(answer)
    assert asked[0] == "flank" and not {"flank", "flank-narrow", "crests"} & set(asked[1:])


def test_what_goes_together_is_asked_once_though_it_is_left_open(advisor: Advisor) -> None:
    """The French cone and the heavy one of one thread, cone and tube: no reading speaks for either, none is doubted."""
    told = [said("outside_diameter", "23.8 mm"), said("seal", "metal"), said("seat_form", "recessed")]
    told += [said("gender", "male"), said("tube_outside_diameter", "16 mm")]
    advice, stake = advisor.advise(told), advisor.stakes.of(posterior := Posterior(advisor.matcher, told))
    assert stake.harm_s >= advisor.matcher.model.harm.harm.left_open_s
    assert not advice.again and not advice.contradiction and not advisor.stakes.at_odds(stake, posterior)
    assert advice.check is None or all(advice.check.measurand not in reading.measurands for reading in told)
