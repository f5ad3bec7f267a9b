"""The pairs that an expert never trusts without a second check: the wrong one is not concluded before that check.

Each scenario (``pairs.py``) gives the readings that both share, several times over, then the check that separates them.
"""

from __future__ import annotations

import pytest

from tests.matching.look_alikes import look_alikes
from tests.matching.pairs import PAIRS, Pair
from tests.matching.saying import said
from voicefit.matching import Advisor, Matcher, Posterior
from voicefit.records import Measurand


def part_of(matcher: Matcher, end_id: str) -> int:
    return int(matcher.part_of[next(row for row, end in enumerate(matcher.ends) if end.id == end_id)])


def test_there_are_pairs_for_every_kind_of_look_alike() -> None:
    """Each line of what the trade never trusts, by the two series (common practice, no source)."""
    series = {frozenset((pair.true.split("/")[0], pair.other.split("/")[0])) for pair in PAIRS}
    for line in (
        "flare37 flare45",
        "flare37 flare30-g",
        "flare37 flare30-m",
        "flare30-g flare30-m",
        "flare30-g bspp-cone60",
        "orb bspp-port",
        "orb iso6149",
        "bspp-port iso6149",
        "flare37 orb",
        "npt bspt",
        "npsm bspp-cone60",
        "npsm flare30-g",
        "din24-l din24-s",
        "din24-l din60",
        "flange61 flange62",
        "flange61 flange-square",
    ):
        assert frozenset(line.split()) in series, line
    assert len({(pair.true, pair.other) for pair in PAIRS}) == len(PAIRS) >= 55


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.true} against {pair.other}")
def test_not_concluded_before_the_separating_check(pair: Pair, advisor: Advisor) -> None:
    matcher = advisor.matcher
    true, other = part_of(matcher, pair.true), part_of(matcher, pair.other)
    for times in (1, 2, 3):
        posterior = Posterior(matcher, pair.shared * times)
        advice = advisor.advise_on(posterior)
        assert not advice.identified, [matcher.ends[row].id for row, _ in posterior.best_parts(3)]
        assert advice.check is not None or advice.standoff is not None
    posterior = Posterior(matcher, (*pair.shared, *pair.telling, *pair.telling))
    best = int(matcher.part_of[posterior.best_parts(1)[0][0]])
    assert best == true, posterior.best_parts(4)
    assert posterior.part_p[true] > 10 * posterior.part_p[other]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.true} against {pair.other}")
def test_the_advisor_finds_a_check_that_separates(pair: Pair, advisor: Advisor) -> None:
    posterior = Posterior(advisor.matcher, pair.shared)
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


def test_a_lost_ring_and_a_sealing_edge_are_told_apart_by_the_edge(matcher: Matcher, advisor: Advisor) -> None:
    """An ISO 6149 stud that lost its ring looks like metal on metal; DIN 3852 form B has an edge (memory)."""
    seen = [
        said("outside_diameter", "13.9 mm"), said("pitch", "1.5 mm"), said("gender", "stud"), said("taper", "parallel"),
        said("seat_form", "shoulder"), said("seal", "metal"), said("seal", "metal"),
    ]  # fmt: skip
    worth = [check.id for check in advisor.worth(Posterior(matcher, seen))]
    assert "edge" in worth
    edge = Posterior(matcher, [*seen, said("shoulder_edge", "edge")])
    plain = Posterior(matcher, [*seen, said("shoulder_edge", "plain"), said("shoulder_edge", "plain")])
    ratio = [
        _of(matcher, each, "metric-port/14/stud-edge") / _of(matcher, each, "iso6149/14/stud") for each in (edge, plain)
    ]
    assert ratio[0] > 100 > ratio[1]


def test_what_is_in_a_housing_is_a_port_whatever_it_is_called(matcher: Matcher) -> None:
    """Common practice, no source: an internal thread is called female, in a block as well as in a nut."""
    called = Posterior(matcher, [said("inside_diameter", "12.5 mm"), said("pitch", "1.5 mm"), said("gender", "female")])
    there = Posterior(matcher, [*called.readings, said("body", "housing")])
    ports = [row for row, end in enumerate(matcher.ends) if end.gender.value == "port"]
    assert called.p[ports].sum() < 0.5 < 0.8 < there.p[ports].sum()


def _of(matcher: Matcher, posterior: Posterior, end: str) -> float:
    row = next(row for row, each in enumerate(matcher.ends) if each.id == end)
    return float(posterior.p[row])


def test_the_french_nose_is_the_universal_one_where_thread_and_tube_are_the_same(matcher: Matcher) -> None:
    """One thread, tube and 24 degree cone, and a round nose on both: the universal female serves for the French one.

    At 16 mm the heavy series has the same thread and tube, but not the same pressure: that stays apart. Common
    practice, no source.
    """
    ends = {end.id: end for end in matcher.ends}
    for tube in (8, 10, 12, 15):
        french, universal = ends[f"gaz24/{tube}/female"], ends[f"din24-l/{tube}/female-universal"]
        assert french.part == universal.part
        assert (french.thread, french.tube_od_mm, french.seat_half_angle_deg) == (
            universal.thread,
            universal.tube_od_mm,
            universal.seat_half_angle_deg,
        )
    assert ends["gaz24/16/male"].part != ends["din24-s/16/male"].part
    assert ends["gaz24/18/female"].part == "gaz24/18/female"  # M27 against M26
