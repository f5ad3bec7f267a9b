"""Looks that tell what one question asked again cannot: a port's mouth, the face around it, the print of an edge,
a thread's crests, bolts across the corners."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.matching.saying import option, said
from voicefit.matching import Advisor, Matcher, Posterior
from voicefit.records import Reading

UNSEEN = frozenset({"seal", "port-chamfer"})  # nobody can tell what seals it
M27 = [said("gender", "port"), said("body", "housing"), said("inside_diameter", "25.1 mm"), said("pitch", "2 mm")]
G38 = [said("gender", "port"), said("body", "housing"), said("inside_diameter", "15.1 mm"), said("pitch", "19 tpi")]


def worth(advisor: Advisor, readings: Sequence[Reading]) -> set[str]:
    return {check.id for check in advisor.worth(Posterior(advisor.matcher, readings))}


def leader(matcher: Matcher, readings: Sequence[Reading]) -> tuple[str, float]:
    [(row, share)] = Posterior(matcher, readings).best_parts(1)
    return matcher.ends[row].id, share


@pytest.mark.parametrize("readings", [M27, G38])
def test_where_the_seal_cannot_be_seen_the_mouth_is_measured(advisor: Advisor, readings: list[Reading]) -> None:
    assert "mouth" in {check.id for check in advisor.advise(readings, UNSEEN).checks}


@pytest.mark.parametrize(
    ("readings", "mouth", "end"),
    [
        (M27, "29.4 mm", "iso6149/27/port"),  # ISO 6149-1: 29.4 mm for M27x2
        (M27, "1-5/32 in", "iso6149/27/port"),
        (M27, "27.4 mm", "metric-port/27/port"),
        (G38, "18.6 mm", "boss-g/6/port"),  # the ring P14 of JIS B 2401: 13.8 x 2.4 mm, from memory
        (G38, "17.1 mm", "bspp-port/6/port"),
    ],
)
def test_the_mouth_tells_a_port_for_an_o_ring_from_any_other(
    matcher: Matcher, readings: list[Reading], mouth: str, end: str
) -> None:
    found, _ = leader(matcher, [*readings, said("mouth_diameter", mouth)])
    assert found == end


def test_no_chamfer_speaks_against_an_o_ring(matcher: Matcher) -> None:
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    plain = matcher.log_likelihood(said("mouth_diameter", "absent"))
    assert plain[rows["metric-port/27/port"]] > plain[rows["iso6149/27/port"]] + 1


def test_a_mouth_for_an_o_ring_can_nearly_always_be_told_and_any_other_mostly(matcher: Matcher) -> None:
    aspect = matcher.aspects["mouth"]
    told = aspect.answerable()[aspect.class_of[:-1]]
    for end, share in zip(matcher.ends, told, strict=True):
        low, high = (0.9, 1.0) if end.ring_in_mouth else (0.6, 0.9) if end.external is False else (0.0, 0.1)
        assert low <= share <= high, end.id


def test_a_mouth_that_is_cut_otherwise_or_measured_to_the_spot_face_rules_nothing_out_for_good(
    matcher: Matcher,
) -> None:
    """33 mm fits no port of M27: it says nothing of which of them it is."""
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    logs = matcher.log_likelihood(said("mouth_diameter", "33.5 mm"))
    assert abs(logs[rows["metric-port/27/port"]] - logs[rows["iso6149/27/port"]]) < 1
    both = matcher.joint_log_likelihood([said("mouth_diameter", "29.4 mm")] * 10)
    assert both[rows["iso6149/27/port"]] - both[rows["metric-port/27/port"]] < 8


def test_only_a_port_has_its_mouth_measured(advisor: Advisor) -> None:
    nut = [
        said("gender", "female"),
        said("body", "loose"),
        said("inside_diameter", "15.1 mm"),
        said("seat_form", "convex"),
    ]
    male = [said("gender", "male"), said("outside_diameter", "16.5 mm")]
    assert "mouth" in worth(advisor, M27[:3])
    assert "mouth" not in worth(advisor, nut) | worth(advisor, male)


def test_crests_are_looked_at_after_the_flanks(advisor: Advisor) -> None:
    """1/2-14 NPT and R 1/2 differ in the flanks alone: ASME B1.20.1 cuts its crests flat, ISO 7-1 rounds them."""
    pipe = [
        said("outside_diameter", "21.1 mm"),
        said("pitch", "14 tpi"),
        said("taper", "tapered"),
        said("seal", "thread"),
    ]
    assert "crests" not in worth(advisor, pipe)
    assert "crests" in worth(advisor, [*pipe, said("flank_angle", "60 deg")])


@pytest.mark.parametrize(
    ("crest", "end", "other"), [("rounded", "bspt/8/male", "npt/8/male"), ("flat", "npt/8/male", "bspt/8/male")]
)
def test_crests_settle_flanks_that_were_seen_both_ways(matcher: Matcher, crest: str, end: str, other: str) -> None:
    rows = {each.id: row for row, each in enumerate(matcher.ends)}
    flanks = [said("flank_angle", "60 deg"), said("flank_angle", "55 deg")]
    logs = matcher.joint_log_likelihood([*flanks, said("crest", crest)])
    assert logs[rows[end]] - logs[rows[other]] > 1.5


def test_bolts_are_measured_across_the_corners_after_a_side(advisor: Advisor) -> None:
    flange = [said("shape", "flange"), said("gender", "male")]
    assert "bolt-circle" not in worth(advisor, flange)
    sides = [said("bolt_long", "1-17/32 in"), said("bolt_short", "1-17/32 in")]
    assert "bolt-circle" in worth(advisor, [*flange, *sides])


def test_who_cannot_tell_what_runs_in_a_line_is_asked_what_it_ends_at(advisor: Advisor) -> None:
    """A port of M16x1.5 for a washer is hydraulic, or of an air brake (ISO 4039, from memory)."""
    port = [
        said("body", "housing"),
        said("inside_diameter", "14.4 mm"),
        said("pitch", "1.5 mm"),
        said("seal", "washer"),
    ]
    unable: frozenset[str] = frozenset()
    asked = []
    while (check := advisor.advise(port, unable).check) is not None and len(asked) < 12:
        asked.append(check.id)
        unable |= {check.id}
    assert asked.index("line-end") > asked.index("line")


M22 = [said("gender", "port"), said("body", "housing"), said("inside_diameter", "20.5 mm"), said("pitch", "1.5 mm")]
NO_CHAMFER = Reading("", (option("seal", "base_o_ring", negated=True),), asked="port-chamfer")


def faced(is_so: bool) -> Reading:
    return Reading("", (option("seat_form", "shoulder", negated=not is_so),), asked="spot-face")


def ratio(matcher: Matcher, readings: Sequence[Reading], end: str, other: str) -> float:
    """Log odds of two ends."""
    rows = {each.id: row for row, each in enumerate(matcher.ends)}
    logs = matcher.joint_log_likelihood(readings)
    return float(logs[rows[end]] - logs[rows[other]])


def test_the_face_around_the_mouth_tells_a_port_for_a_taper_from_one_for_a_washer(
    matcher: Matcher, advisor: Advisor
) -> None:
    """ISO 9974-1 has a spot face for the washer; DIN 3852-1 form Z, for a tapered stud, has none (memory)."""
    port = [*M22, said("seat_form", "none"), NO_CHAMFER]
    assert "spot-face" in worth(advisor, port)
    taper, washer = "metric-taper/22/port", "metric-port/22/port"
    before = ratio(matcher, port, taper, washer)
    assert ratio(matcher, [*port, faced(False)], taper, washer) > before + 2
    assert ratio(matcher, [*port, faced(True)], taper, washer) < before - 0.7


def test_a_spot_face_that_was_called_no_seat_is_found_when_it_is_asked_about(matcher: Matcher) -> None:
    """What it is called is a habit, which says nothing of whether it is there."""
    ends = "metric-port/22/port", "metric-taper/22/port"
    for called in ("none", "flat", "shoulder"):
        told = [*M22, said("seat_form", called)]
        gain = ratio(matcher, [*told, faced(True)], *ends) - ratio(matcher, told, *ends)
        assert gain == pytest.approx(ratio(matcher, [faced(True)], *ends), abs=1e-9)


def test_only_a_port_is_asked_for_the_face_around_its_mouth(advisor: Advisor) -> None:
    nut = [said("gender", "female"), said("body", "loose"), said("inside_diameter", "20.5 mm")]
    assert "spot-face" not in worth(advisor, nut)


def test_an_edge_that_was_not_felt_is_looked_for_by_its_print(matcher: Matcher, advisor: Advisor) -> None:
    """G 1 1/2 with an edge (ISO 1179-4) against an O-ring boss whose ring is lost."""
    stud = [
        said("gender", "stud"),
        said("outside_diameter", "47.5 mm"),
        said("pitch", "11 tpi"),
        said("seal", "metal"),
        said("seat_form", "shoulder"),
    ]
    assert "edge-mark" not in worth(advisor, stud)
    stud.append(Reading("", (option("shoulder_edge", "edge", negated=True),), asked="edge"))
    assert "edge-mark" in worth(advisor, stud)
    print_ = Reading("", (option("shoulder_edge", "edge"),), asked="edge-mark")
    ends = "bspp-port/24/stud-edge", "boss-g/24/stud"
    assert ratio(matcher, [*stud, print_], *ends) > ratio(matcher, stud, *ends) + 2
