"""The pairs that an expert never trusts without a second check: the wrong one is not concluded before that check.

The pairs are common practice of the trade, no source; the values are basic ones of ASME B1.1, ISO 228-1, ISO 724.
Each scenario gives the readings that both share, several times over, then the check that separates them.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from tests.matching.saying import said
from voicefit.matching import Advisor, Matcher, look_alikes
from voicefit.records import Measurand, Reading


@dataclass(frozen=True)
class Pair:
    """``shared`` : what fits both; ``telling`` : what then speaks for ``true`` alone."""

    true: str
    other: str
    shared: tuple[Reading, ...]
    telling: tuple[Reading, ...]


def un(diameter: str, pitch: str, *more: Reading) -> tuple[Reading, ...]:
    return (said("outside_diameter", f"{diameter} in"), said("pitch", f"{pitch} tpi"), *more)


def metric(diameter: str, pitch: str, *more: Reading) -> tuple[Reading, ...]:
    return (said("outside_diameter", f"{diameter} mm"), said("pitch", f"{pitch} mm"), *more)


OUT, IN, METAL = said("seat_form", "convex"), said("seat_form", "recessed"), said("seal", "metal")
MALE, FEMALE = said("gender", "male"), said("gender", "female")
SHOULDER, STUD = said("seat_form", "shoulder"), said("gender", "stud")

FLARES = [
    Pair(f"flare45/{dash}/male", f"flare37/{dash}/male", un(d, p, OUT, METAL, MALE), (said("seat_angle", "45 deg"),))
    for dash, d, p in (
        (2, "0.3125", "24"),
        (3, "0.375", "24"),
        (4, "0.4375", "20"),
        (5, "0.5", "20"),
        (8, "0.75", "16"),
        (10, "0.875", "14"),
    )
]
PAIRS = [
    *FLARES,
    # 37 against 30 degree flare: three threads that look alike by eye
    Pair(
        "flare37/6/male",
        "flare30-m/4/male",
        (said("outside_diameter", "14.0 mm"), OUT, METAL, MALE),
        (said("pitch", "18 tpi"), said("seat_angle", "37 deg")),
    ),
    # 30 degree flare on pipe thread against metric
    Pair(
        "flare30-g/8/male",
        "flare30-m/8/male",
        (said("seat_angle", "30 deg"), OUT, METAL, MALE),
        (said("outside_diameter", "20.9 mm"), said("pitch", "14 tpi")),
    ),
    # 30 degree flare against 60 degree recess: a half angle of 30 either way
    Pair(
        "flare30-g/6/female",
        "bspp-cone60/6/female",
        (said("inside_diameter", "15.0 mm"), said("pitch", "19 tpi"), said("seat_angle", "30 deg"), METAL, FEMALE),
        (IN,),
    ),
    Pair(
        "bspp-cone60/6/female",
        "flare30-g/6/female",
        (said("inside_diameter", "15.0 mm"), said("pitch", "19 tpi"), said("seat_angle", "30 deg"), METAL, FEMALE),
        (OUT,),
    ),
    # straight threads with a ring or washer at the base: boss, British, metric
    Pair(
        "orb/10/stud",
        "iso6149/22/stud",
        (said("outside_diameter", "22.0 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "14 tpi"),),
    ),
    Pair(
        "iso6149/22/stud",
        "orb/10/stud",
        (said("outside_diameter", "22.0 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "1.5 mm"),),
    ),
    Pair(
        "iso6149/22/stud", "metric-port/22/stud", metric("22.0", "1.5", SHOULDER, STUD), (said("seal", "base_o_ring"),)
    ),
    Pair(
        "bspp-port/16/stud",
        "iso6149/33/stud",
        (said("outside_diameter", "33.2 mm"), SHOULDER, STUD),
        (said("seal", "washer"), said("pitch", "11 tpi")),
    ),
    # flare male against boss stud: same UN thread
    Pair("flare37/8/male", "orb/8/stud", un("0.75", "16"), (OUT, said("seat_angle", "37 deg"), METAL)),
    Pair("orb/8/stud", "flare37/8/male", un("0.75", "16"), (SHOULDER, said("seal", "base_o_ring"), STUD)),
    # NPT against British taper
    Pair(
        "npt/8/male",
        "bspt/8/male",
        (
            said("outside_diameter", "21.1 mm"),
            said("pitch", "14 tpi"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
        ),
        (said("flank_angle", "60 deg"), said("last_thread_diameter", "21.5 mm")),
    ),
    Pair(
        "bspt/6/male",
        "npt/6/male",
        (
            said("outside_diameter", "16.8 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "19 tpi"), said("flank_angle", "55 deg")),
    ),
    Pair(
        "npt/16/male",
        "bspt/16/male",
        (
            said("outside_diameter", "33.1 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "11.5 tpi"), said("flank_angle", "60 deg")),
    ),
    Pair(
        "bspt/2/male",
        "npt/2/male",
        (
            said("outside_diameter", "9.8 mm"),
            said("taper", "tapered"),
            said("seal", "thread"),
            MALE,
            said("seat_form", "none"),
        ),
        (said("pitch", "28 tpi"), said("flank_angle", "55 deg")),
    ),
    # NPSM against British and Japanese G-thread females
    Pair(
        "npsm/6/female",
        "bspp-cone60/6/female",
        (said("inside_diameter", "15.3 mm"), OUT, METAL, FEMALE, said("seat_angle", "60 deg")),
        (said("pitch", "18 tpi"), said("flank_angle", "60 deg")),
    ),
    # near threads
    Pair(
        "flare37/10/male",
        "flare30-m/8/male",
        (said("outside_diameter", "22.1 mm"), OUT, METAL, MALE),
        (said("pitch", "14 tpi"), said("seat_angle", "37 deg")),
    ),
    Pair(
        "din24-l/8/male",
        "flareless24/6/male",
        (said("outside_diameter", "14.1 mm"), IN, MALE, said("seat_angle", "24 deg")),
        (said("pitch", "1.5 mm"), said("tube_outside_diameter", "8.0 mm")),
    ),
    Pair(
        "din24-l/10/male",
        "flareless24/6/male",
        (IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("outside_diameter", "15.9 mm"), said("pitch", "1.5 mm"), said("tube_outside_diameter", "10.0 mm")),
    ),
    Pair(
        "iso6149/27/stud",
        "orb/12/stud",
        (said("outside_diameter", "26.9 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "2 mm"),),
    ),
    Pair(
        "orb/16/stud",
        "iso6149/33/stud",
        (said("outside_diameter", "33.2 mm"), SHOULDER, STUD, said("seal", "base_o_ring")),
        (said("pitch", "12 tpi"),),
    ),
    # one thread, two tubes
    Pair(
        "din24-l/12/male",
        "din24-s/10/male",
        metric("17.9", "1.5", IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("tube_outside_diameter", "12.0 mm"),),
    ),
    Pair(
        "din24-s/10/male",
        "din24-l/12/male",
        metric("17.9", "1.5", IN, MALE, said("seat_angle", "24 deg"), said("seal", "cutting_ring")),
        (said("tube_outside_diameter", "10.0 mm"),),
    ),
    # 24 against 60 degree cone, metric
    Pair(
        "din60/12/male",
        "din24-l/12/male",
        metric("17.9", "1.5", IN, MALE, said("tube_outside_diameter", "12.0 mm")),
        (said("seat_angle", "60 deg"), METAL),
    ),
    # code 61 against 62 at dash 8: head diameters 30.2 and 31.8
    Pair(
        "flange61/8/male",
        "flange62/8/male",
        (said("flange_head_diameter", "31.0 mm"), said("shape", "flange"), said("seal", "flange_o_ring"), MALE),
        (said("flange_head_thickness", "6.7 mm"), said("bolt_long", "38.1 mm"), said("bolt_short", "17.5 mm")),
    ),
    # square against split flange
    Pair(
        "flange61/16/male",
        "flange-square/16/male",
        (said("shape", "flange"), said("seal", "flange_o_ring"), MALE),
        (said("flange_head_diameter", "44.4 mm"), said("bolt_long", "52.4 mm"), said("bolt_short", "26.2 mm")),
    ),
]


def part_of(matcher: Matcher, end_id: str) -> int:
    return int(matcher.part_of[next(row for row, end in enumerate(matcher.ends) if end.id == end_id)])


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.true} against {pair.other}")
def test_not_concluded_before_the_separating_check(pair: Pair, advisor: Advisor) -> None:
    matcher = advisor.matcher
    true, other = part_of(matcher, pair.true), part_of(matcher, pair.other)
    for times in (1, 2, 3):
        posterior = matcher.posterior(pair.shared * times)
        advice = advisor.advise_on(posterior)
        assert not advice.identified, [matcher.ends[row].id for row, _ in posterior.best(3)]
        assert advice.check is not None or advice.standoff is not None
    posterior = matcher.posterior((*pair.shared, *pair.telling, *pair.telling))
    best = int(matcher.part_of[posterior.best_parts(1)[0][0]])
    assert best == true, posterior.best(4)
    assert posterior.part_p[true] > 10 * posterior.part_p[other]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.true} against {pair.other}")
def test_the_advisor_finds_a_check_that_separates(pair: Pair, advisor: Advisor) -> None:
    posterior = advisor.matcher.posterior(pair.shared)
    rows = [next(row for row, end in enumerate(advisor.matcher.ends) if end.id == i) for i in (pair.true, pair.other)]
    check = advisor.separating(posterior, rows[0], rows[1])
    assert check is not None
    assert check.information_bit > 0.1


@pytest.mark.parametrize(
    ("first", "second", "tells"),
    [
        ("flare37/8/male", "flare45/8/male", Measurand.SEAT_ANGLE),
        ("flare30-g/6/female", "bspp-cone60/6/female", Measurand.SEAT_FORM),
        ("flare37/8/male", "orb/8/stud", Measurand.SEAT_FORM),
        ("npt/8/male", "bspt/8/male", Measurand.FLANK_ANGLE),
        ("iso6149/22/stud", "orb/10/stud", Measurand.PITCH),
        ("din24-l/12/male", "din24-s/10/male", Measurand.TUBE_OUTSIDE_DIAMETER),
        ("din24-l/12/male", "din60/12/male", Measurand.SEAT_ANGLE),
        ("iso6149/27/stud", "orb/12/stud", Measurand.PITCH),
        ("bspp-port/16/stud", "orb/16/stud", Measurand.PITCH),
    ],
)
def test_look_alikes_are_computed_from_the_tables(first: str, second: str, tells: Measurand, matcher: Matcher) -> None:
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    pairs = {(pair.first, pair.second): pair for pair in look_alikes(matcher, rows[first])}
    pair = pairs[min(rows[first], rows[second]), max(rows[first], rows[second])]
    assert pair.overlap > 0.3
    assert tells in pair.told_by


def test_look_alikes_are_of_one_side_and_of_two_parts(matcher: Matcher) -> None:
    pairs = list(look_alikes(matcher))
    assert len(pairs) > 1000
    assert len({(pair.first, pair.second) for pair in pairs}) == len(pairs)
    for pair in pairs:
        first, second = matcher.ends[pair.first], matcher.ends[pair.second]
        assert pair.first < pair.second
        assert first.part != second.part
        assert first.external == second.external or None in (first.external, second.external)
