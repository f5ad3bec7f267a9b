"""The advisor: what a check is worth and which comes next; when it stops is in ``test_stopping.py``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest

from tests.matching.saying import REFERENCE, Piece, identify, likeliest, option, said, value
from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.matching import Advisor, Checks, Matcher, MeasurementModel, Posterior, Prior, conflict
from voicefit.matching.foresight import Foresight
from voicefit.matching.information import information_bit, mixed_parts, row_entropy_bit
from voicefit.records import ABSENT, Measurand, Option, Reading


@dataclass(frozen=True)
class Few:
    ends: Sequence[CandidateEnd]


def end(catalogue: Catalogue, end_id: str) -> CandidateEnd:
    return next(each for each in catalogue.ends if each.id == end_id)


# ---- information ------------------------------------------------------------------------------------------


def test_information_is_the_mutual_information_of_part_and_answer() -> None:
    """Against the definition, summed over a joint table, with parts that lie in several classes."""
    random = np.random.default_rng(3)
    for _ in range(50):
        n, classes, answers, parts = 40, 6, 5, 9
        class_of = random.integers(classes, size=n)
        part_of = random.integers(parts, size=n)
        table = random.dirichlet(np.ones(answers), size=classes)
        p = random.dirichlet(np.full(n, 0.3))
        joint = np.zeros((parts, answers))
        for k in range(n):
            joint[part_of[k]] += p[k] * table[class_of[k]]
        independent = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
        some = joint > 0
        expected = float((joint[some] * np.log2(joint[some] / independent[some])).sum())
        every = np.arange(classes)
        by_class = np.bincount(class_of, p, minlength=classes)
        found = information_bit(
            p, class_of, by_class, every, table, row_entropy_bit(table), mixed_parts(class_of, part_of)
        )
        assert found == pytest.approx(expected, abs=1e-9)


def test_labels_that_make_no_difference_to_the_order_are_worth_nothing(
    catalogue: Catalogue, prior: Prior, model: MeasurementModel, checks: Checks
) -> None:
    """Two ends that differ in everything but are one part: no check tells anything."""
    first, second = end(catalogue, "flare37/6/male"), end(catalogue, "bspp-cone60/16/female")
    ends = [replace(first, part="one"), replace(second, part="one")]
    matcher = Matcher(Few(ends), prior, model, checks)
    advisor = Advisor(matcher, checks)
    posterior = Posterior(matcher, [said("gender", "male"), said("gender", "male"), said("pitch", "18 tpi")])
    inside = [check for check in advisor.worth(posterior) if check.information_bit > 0.05]
    assert inside == []


def test_what_was_read_already_tells_less_when_it_is_read_again(matcher: Matcher, checks: Checks) -> None:
    """Whoever has taken a leaf for the right one takes it so again: of the same ends a second look tells less."""
    foresight, belief = Foresight(matcher, checks), Posterior(matcher, [said("outside_diameter", "0.56 in")]).p
    for reading in (said("pitch", "18 tpi"), said("seat_angle", "37 deg"), said("seal", "metal")):
        (measurand,) = reading.measurands
        fresh, again = (
            max(
                each.check.information_bit
                for each in foresight.valued(belief, Posterior(matcher, readings), frozenset(), against=against)
                if each.check.measurand is measurand and each.check.yes is None
            )
            for readings, against in (([], ()), ([reading], (0,)))
        )
        assert 0 < again < 0.97 * fresh, measurand


# ---- the next check ---------------------------------------------------------------------------------------


def test_reference_case_asks_for_the_side_or_the_seat(advisor: Advisor) -> None:
    advice = advisor.advise(REFERENCE)
    assert not advice.identified
    assert advice.check is not None
    assert advice.check.measurand in (Measurand.THREAD_SIDE, Measurand.SEAT_FORM)


def test_reference_case_notices_the_contradiction(advisor: Advisor) -> None:
    assert advisor.advise(REFERENCE).contradiction == (0, 1)
    assert advisor.advise(REFERENCE[1:]).contradiction == ()


def test_reference_case_is_identified_after_the_checks_that_separate(advisor: Advisor) -> None:
    says = {
        "gender": "female",
        "inside_diameter": "15.0 mm",
        "pitch": "19 tpi",
        "seat_form": "recessed",
        "seat_angle": "30 deg",
        "seal": "metal",
        "taper": "parallel",
        "flank_angle": "55 deg",
    }
    posterior, advice, asked = identify(advisor, Piece(says), list(REFERENCE))
    assert advice.identified
    assert advisor.matcher.ends[likeliest(posterior)[0]].id == "flare30-g/6/female"
    assert {Measurand.SEAT_FORM} <= {check.measurand for check in asked}
    assert len(asked) <= 8


def test_what_cannot_be_told_is_not_asked(advisor: Advisor) -> None:
    unavailable: set[str] = set()
    for _ in range(40):
        advice = advisor.advise(REFERENCE, frozenset(unavailable))
        if advice.check is None:
            break
        assert advice.check.id not in unavailable
        unavailable.add(advice.check.id)
    assert advice.check is None
    assert advice.standoff is not None
    first, second = advice.standoff
    assert advisor.matcher.part_of[first] != advisor.matcher.part_of[second]


def test_a_standoff_is_the_two_that_no_check_separates(advisor: Advisor) -> None:
    """A 12 mm light against a 10 mm heavy 24 degree cone: one thread (ISO 8434-1), and no tube to be measured."""
    readings = [
        said("outside_diameter", "17.9 mm"),
        said("pitch", "1.5 mm"),
        said("seat_form", "recessed"),
        said("seat_angle", "24 deg"),
        said("gender", "male"),
        said("seal", "cutting_ring"),
    ] * 2
    says = {
        "gender": "male",
        "outside_diameter": "17.9 mm",
        "pitch": "1.5 mm",
        "seat_form": "recessed",
        "seat_angle": "24 deg",
        "seal": "cutting_ring",
        "taper": "parallel",
        "flank_angle": "60 deg",
    }
    _, advice, _ = identify(advisor, Piece(says), readings)
    assert not advice.identified and advice.check is None and advice.standoff is not None
    assert {advisor.matcher.ends[row].part for row in advice.standoff} == {"din24-l/12/male", "din24-s/10/male"}


def test_prompts_fit_the_side_of_the_thread(advisor: Advisor) -> None:
    male = advisor.worth(Posterior(advisor.matcher, [said("gender", "male")]))
    female = advisor.worth(Posterior(advisor.matcher, [said("gender", "female")]))
    assert "outside-diameter" in {check.id for check in male}
    assert "inside-diameter" not in {check.id for check in male}
    assert "inside-diameter" in {check.id for check in female}
    assert "side" not in {check.id for check in male}  # nothing was measured yet


def test_leaves_asked_about_are_those_in_play(advisor: Advisor) -> None:
    posterior = Posterior(advisor.matcher, [said("outside_diameter", "16.6 mm")])
    leaves = [check.slots["leaf"] for check in advisor.worth(posterior) if check.id == "leaf"]
    assert "19 threads_per_inch" not in leaves
    assert any(str(getattr(leaf, "value", "")) == "19" for leaf in leaves)


def test_nothing_is_asked_twice_but_what_contradicts_and_that_once(advisor: Advisor) -> None:
    """Whatever is answered, useless or not: no prompt comes three times, and twice only in dispute."""
    for answers in ("no", "none", "value"):
        readings: list[Reading] = list(REFERENCE)
        counts: dict[str, int] = {}
        for _ in range(60):
            advice = advisor.advise(readings)
            if not advice.checks:
                break
            for check in advice.checks:
                key = check.id + "".join(str(value) for value in check.slots.values())
                counts[key] = counts.get(key, 0) + 1
                assert counts[key] <= 2
                if counts[key] == 2:
                    assert check is not advice.check or advice.again
                    assert advice.contradiction
                option = check.no or said(check.measurand.value, _any(check.measurand)).options[0]
                if answers == "none":
                    option = Option(check.measurand, ABSENT)
                elif answers == "value":
                    option = check.yes or option
                readings.append(Reading("", (option,), asked=check.id))
        assert not advice.checks, (answers, counts)


def test_of_one_thing_one_question_is_asked_once_more(matcher: Matcher, advisor: Advisor, checks: Checks) -> None:
    """Two ways to look at the flanks that contradict each other: either may be asked once more, and then neither."""
    flank, narrow = (checks[each].check() for each in ("flank", "flank-narrow"))
    assert flank.yes is not None and narrow.yes is not None
    readings = [
        *(said("gender", "male"), said("outside_diameter", "20.8 mm"), said("pitch", "14 tpi")),
        *(Reading("", (each.yes,), asked=each.id) for each in (flank, narrow)),
    ]
    foresight, both = Foresight(matcher, checks), {"flank", "flank-narrow"}

    def asked_anew() -> set[str]:
        posterior = Posterior(matcher, readings)
        against = conflict(matcher, readings)
        return both & {v.check.id for v in foresight.valued(posterior.p, posterior, frozenset(), against=against)}

    assert asked_anew() == both
    readings.append(Reading("", (flank.yes,), asked="flank"))
    assert asked_anew() == set()


def test_a_distance_that_may_be_either_sides_leaves_the_less_likely_side_to_be_asked(advisor: Advisor) -> None:
    """57 mm between the bolts of a port is the long side of code 62 rather than either of a square flange's."""
    spacing = Reading("", (option("bolt_long", "57 mm"), option("bolt_short", "57 mm")))
    readings = [said("shape", "flange"), said("body", "housing"), spacing]
    ids = {check.id for check in advisor.worth(Posterior(advisor.matcher, readings))}
    assert "bolt-short" in ids and "bolt-long" not in ids


def test_a_seat_that_both_gauges_fit_is_named_by_either_angle(advisor: Advisor, checks: Checks) -> None:
    """Half the angle laid on without light, and then the included one said: both speak for the 74 degree cone."""
    light = checks["seat-gauge"].check(value("37 deg"))
    assert light.no is not None
    before = [said("gender", "male"), said("outside_diameter", "17.8 mm"), said("pitch", "1.5 mm")]
    before.append(Reading("", (light.no,), asked=light.id))
    after = [*before, said("seat_angle", "74 deg", asked="seat-angle")]
    (_, first), (_, then) = (Posterior(advisor.matcher, some).best_parts()[0] for some in (before, after))
    best = advisor.matcher.ends[Posterior(advisor.matcher, after).best_parts()[0][0]]
    assert best.id == "cone74-m/18/male"
    assert then > first


def _any(measurand: Measurand) -> str:
    return {
        Measurand.PITCH: "14 tpi",
        Measurand.SEAT_ANGLE: "45 deg",
        Measurand.SEAT_FORM: "flat",
        Measurand.SEAL: "washer",
        Measurand.GENDER: "port",
        Measurand.TAPER: "tapered",
        Measurand.LINE: "air_brake",
    }.get(measurand, "22.2 mm")


def test_nobody_is_asked_for_the_side_of_a_thread_where_there_is_none(advisor: Advisor) -> None:
    coupler = [said("shape", "coupler"), said("profile_diameter", "20.5 mm"), said("inside_diameter", "20.5 mm")]
    asked = {check.measurand for check in advisor.worth(Posterior(advisor.matcher, coupler))}
    assert Measurand.THREAD_SIDE not in asked
    threaded = Posterior(advisor.matcher, REFERENCE)
    assert Measurand.THREAD_SIDE in {check.measurand for check in advisor.worth(threaded)}


def test_inside_said_again_and_again_is_one_misunderstanding(matcher: Matcher) -> None:
    """Who takes inside for outside takes it so each time: five such answers do not outvote three of "male"."""
    shared = [said("shape", "coupler"), said("profile_diameter", "20.5 mm")]
    posterior = Posterior(matcher, [*shared, *[said("gender", "male")] * 3, *[said("thread_side", "internal")] * 5])
    assert matcher.ends[posterior.best_parts(1)[0][0]].id == "coupler-a/8/male"


def test_the_prompt_speaks_of_the_side_that_is_known(advisor: Advisor) -> None:
    """Also where what is to be excluded lies on the other side: a flare said to be outside is not measured inside."""
    readings = [
        said("outside_diameter", "21.8 mm"),
        said("seat_form", "convex"),
        said("seat_angle", "60 deg"),
        said("seat_form", "convex"),
        said("seal", "metal"),
        said("seat_angle", "60 deg"),
        said("gender", "male"),
    ]
    for count in range(1, len(readings) + 1):
        check = advisor.advise(readings[:count]).check
        assert check is None or check.id != "inside-diameter"


def test_a_piece_without_a_thread_is_not_asked_for_one(advisor: Advisor) -> None:
    staple = [said("shape", "staple"), said("gender", "male"), said("profile_diameter", "23.9 mm")]
    asked = {check.measurand for check in advisor.worth(Posterior(advisor.matcher, staple))}
    assert asked and not asked & {
        Measurand.PITCH,
        Measurand.LAST_THREAD_DIAMETER,
        Measurand.THREAD_SIDE,
        Measurand.TAPER,
    }


def test_a_flange_told_by_its_head_alone_is_told_on_by_thickness_and_bolts(advisor: Advisor) -> None:
    """ISO 6162-2 and JIS B 2291 (dimensions from memory): two heads of 54 mm, of which one is twice as thick. Nobody
    has said that it is a flange: no thread is that wide and flat."""
    advice = advisor.advise([said("outside_diameter", "53.9 mm"), said("seat_form", "flat")])
    assert not advice.identified
    assert advice.check is not None
    assert advice.check.id == "flange-thickness"


def test_who_has_no_thread_before_them_is_not_asked_for_one(matcher: Matcher, advisor: Advisor) -> None:
    """Common practice, no source: a flange is a head or a port, a coupler's half goes in or takes the other in."""
    flange = [said("shape", "flange"), said("flange_head_diameter", "50.8 mm")]
    coupler = [said("shape", "coupler"), said("profile_diameter", "20.5 mm")]
    for readings, check in ((flange, "port"), (coupler, "socket")):
        worth = {each.id for each in advisor.worth(Posterior(matcher, readings))}
        assert check in worth
        assert not worth & {"gender", "pitch", "taper"}
