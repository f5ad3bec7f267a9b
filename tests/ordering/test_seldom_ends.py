"""Ends that are met seldom: they are told from their look-alikes, mate with their own alone, are ordered and drawn.

What they are is from memory: common practice of Japanese, Korean and Chinese machines and of gear pumps; code 62 over
dash 32: ISO 6162-2, later editions. No test here holds a figure against print: none was found.
"""

from __future__ import annotations

import pytest

from tests.matching.saying import Piece, identify, said
from voicefit.catalogue.ends import Basis, CandidateEnd
from voicefit.dialogue.names import Names
from voicefit.matching import Advisor, Matcher, Posterior, load_checks, load_model, load_prior
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.mating import Obstacle
from voicefit.ordering.naming import end_name
from voicefit.ordering.outline import outline
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip_csv import to_csv
from voicefit.records import Gender
from voicefit.resources import grammar_folder, read_texts

SELDOM = ("boss-g", "cone74-m", "face-m", "flange-pump")


@pytest.fixture(scope="module")
def advisor(ordering: Ordering, data: dict[str, str]) -> Advisor:
    checks = load_checks(read_texts(grammar_folder(), ".toml"))
    return Advisor(Matcher(ordering.catalogue, load_prior(data), load_model(data), checks), checks)


def in_hand(end: CandidateEnd) -> dict[str, str]:
    """All that can be told of a piece, as sizes and pitch are measured on it."""
    says = {"gender": str(end.gender), "seat_form": str(end.seat_form), "line": "hydraulic", "shape": str(end.shape)}
    says["body"] = "housing" if end.gender == "port" else "loose"
    if end.carries_seal or end.gender == "port":
        says["seal"] = str(end.seal)
    if end.flange is not None:
        return says | {f"bolt_{side}": f"{getattr(end.flange, f'bolt_{side}_mm'):.1f} mm" for side in ("long", "short")}
    thread = end.thread
    assert thread is not None
    flank = "55 deg" if thread.flank_angle_deg == 55 else "60 deg"
    says |= {"taper": "parallel", "nose": "straight", "flank_angle": flank}
    says["pitch"] = f"{float(thread.tpi):g} tpi" if thread.tpi is not None else f"{thread.pitch_mm:g} mm"
    if end.external:
        says["outside_diameter"] = f"{sum(thread.external_major_mm) / 2:.1f} mm"
        says["shoulder_edge"] = end.around_shoulder or "plain"
    else:
        says["inside_diameter"] = f"{sum(thread.internal_minor_mm) / 2:.1f} mm"
    if end.seat_half_angle_deg is not None:
        says["seat_angle"] = f"{2 * end.seat_half_angle_deg:g} deg"
    return says


def concluded(advisor: Advisor, says: dict[str, str]) -> CandidateEnd | None:
    """What is named in the end, all checks answered; ``None`` where nothing is."""
    first = [said(name, says[name]) for name in ("outside_diameter", "inside_diameter", "bolt_long") if name in says]
    posterior, advice, _ = identify(advisor, Piece(says), first)
    return advisor.matcher.ends[posterior.best_parts(1)[0][0]] if advice.identified else None


# Each with the look-alike in whose place it would be taken if it were not there, or that would be taken for it.
PAIRS = [
    ("boss-g/6/stud", "bspp-port/6/stud-o-ring"),  # a ring lies around the British O-ring: ISO 1179-3 (memory)
    ("boss-g/12/stud", "bspp-port/12/stud-o-ring"),
    ("boss-g/6/port", "bspp-port/6/port"),  # a chamfer at the mouth, or a flat spot face
    ("boss-g/16/port", "bspp-port/16/port"),
    ("cone74-m/18/male", "flare30-m/6/male"),  # M18x1.5 both
    ("cone74-m/27x2/male", "flare37/12/male"),  # M27x2 against 1-1/16-12
    ("cone74-m/27x2/female", "flare37/12/female"),
    ("cone74-m/33/male", "flare37/16/male"),  # M33x2 against 1-5/16-12
    ("cone74-m/30x1.5/female", "flare30-m/12/female"),
    ("cone74-m/22/male", "din24-l/15/male"),
    ("cone74-m/16/female", "din60/10/female"),
    ("face-m/14/male", "orfs/4/male"),  # M14x1.5 against 9/16-18
    ("face-m/30x2/male", "orfs/12/male"),  # M30x2 against 1-3/16-12
    ("face-m/45/male", "din24-l/35/male"),
]


@pytest.mark.parametrize(("seldom", "other"), PAIRS)
def test_look_alikes_are_told_apart(seldom: str, other: str, advisor: Advisor, ordering: Ordering) -> None:
    for end in map(ordering.end, (seldom, other)):
        found = concluded(advisor, in_hand(end))
        assert found is None or found.part == end.part, found
    found = concluded(advisor, in_hand(ordering.end(seldom)))
    assert found is not None and found.id == seldom


@pytest.mark.parametrize(("seldom", "other"), PAIRS)
def test_naming_one_for_the_other_is_weighed_as_grave(
    seldom: str, other: str, advisor: Advisor, ordering: Ordering
) -> None:
    """Where one screws on in the other's place, it is worth a check: as ``data/harm.toml`` has it."""
    matcher = advisor.matcher
    rows = {end.id: row for row, end in enumerate(matcher.ends)}
    grave = advisor.stakes.harms.grave(int(matcher.part_of[rows[seldom]]))
    assert grave[int(matcher.part_of[rows[other]])]
    assert refused(ordering, mate_of(ordering, seldom), other) or refused(ordering, mate_of(ordering, other), seldom)


def mate_of(ordering: Ordering, end: str) -> CandidateEnd:
    return ordering.rules.of(ordering.end(end)).mates[0]


def refused(ordering: Ordering, end: CandidateEnd, other: str) -> bool:
    return other in {each.end.id for each in ordering.rules.of(end).refusals}


@pytest.mark.parametrize(("circle", "square"), [("51", "8"), ("55", "12")])
@pytest.mark.parametrize("gender", ["male", "port"])
def test_a_bolt_circle_alone_concludes_no_square_flange(
    circle: str, square: str, gender: str, advisor: Advisor, ordering: Ordering
) -> None:
    """51 mm: holes 36.1 mm apart, and 36 on a square flange of half an inch; 55 mm: 38.9, and 40 on that of 3/4."""
    pump, flange = ordering.end(f"flange-pump/{circle}/{gender}"), ordering.end(f"flange-square/{square}/{gender}")
    found = concluded(advisor, in_hand(pump))
    assert found is None or found.id == pump.id
    if gender == "male":
        assert flange.flange is not None
        side = {"flange_head_diameter": f"{flange.flange.head_diameter_mm:g} mm"}
        thick = {"flange_head_thickness": f"{flange.flange.head_thickness_mm:g} mm"}
        for told in (side, thick):
            found = concluded(advisor, in_hand(flange) | told)
            assert found is not None and found.id == flange.id
        # Of a thickness that the square one does not have, it is the other: its own is not known, and may be any.
        posterior = Posterior(
            advisor.matcher,
            [said(what, text) for what, text in (in_hand(pump) | {"flange_head_thickness": "15 mm"}).items()],
        )
        assert advisor.matcher.ends[posterior.best_parts(1)[0][0]].series == "flange-pump"


@pytest.mark.parametrize("circle", ["30", "35", "40"])
def test_a_gear_pump_is_known_by_its_bolts(circle: str, advisor: Advisor, ordering: Ordering) -> None:
    for gender in ("male", "port"):
        end = ordering.end(f"flange-pump/{circle}/{gender}")
        assert end.flange is not None and end.flange.bolt_long_mm * 2**0.5 == pytest.approx(float(circle))
        assert concluded(advisor, in_hand(end)) == end


def test_they_mate_with_their_own_alone(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        if end.series in SELDOM or end.size_id in ("flange62/40", "flange62/48"):
            mating = ordering.rules.of(end)
            assert [mate.size_id for mate in mating.mates] == [end.size_id], end.id
            assert not mating.conditional
    refused = {each.end.id: each.reason for each in ordering.rules.of(ordering.end("boss-g/6/stud")).refusals}
    assert refused["bspp-port/6/port"] is Obstacle.STANDARD


@pytest.mark.parametrize(
    ("end", "first"),
    [
        ("cone74-m/27x2/male", "flare37/12/female"),  # M27x2 in 1-1/16-12, on the same seat
        ("cone74-m/33/male", "flare37/16/female"),
        ("flare37/14/female", "cone74-m/30x2/male"),
        ("face-m/30x2/male", "orfs/12/female"),
        ("flare30-m/6/male", "cone74-m/18/female"),  # the same thread, another angle
    ],
)
def test_what_is_hardest_to_see_is_warned_of_first(end: str, first: str, ordering: Ordering) -> None:
    """Common practice, no source: slip and reply name few, and these are the ones that look right."""
    found = [refusal.end.id for refusal in ordering.rules.of(ordering.end(end)).refusals]
    assert first in found[:2], found[:4]


def test_the_boss_has_its_p_ring(ordering: Ordering) -> None:
    """G3/8: P14, 13.8 x 2.4 mm; JIS B 2401 (memory)."""
    stud = ordering.end("boss-g/6/stud")
    assert stud.o_ring == "P14" and stud.carries_seal
    ring = ordering.catalogue.orings["P14"]
    assert (ring.inside_diameter_mm, ring.section_mm) == (13.8, 2.4)


# What is not known of them is not said: no pressure, torque, bore.
@pytest.mark.parametrize("series", SELDOM)
def test_slip_name_and_outline(series: str, ordering: Ordering) -> None:
    names = Names(ordering.catalogue)
    spoken = {}
    for end in ordering.catalogue.ends:
        if end.series != series:
            continue
        assert end.basis is Basis.MEMORY and not (end.torque or end.pressure or end.hex_mm)
        slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end.id, ()),)))
        (item,) = slip.ends
        assert item.id == end.id and item.count == 1 and not item.pressure
        assert end_name(end) in to_csv(slip)
        drawn = outline(end, ordering.catalogue.orings)
        assert drawn.width_mm > 0 and drawn.height_mm > 0
        said_so = names.end(end)
        assert len(said_so.split()) <= 14 and end.id not in said_so
        assert spoken.setdefault(said_so, end.id) == end.id
    assert spoken
    assert {end.gender for end in ordering.catalogue.ends if end.series == series} <= set(Gender)


# Ends that are in no table: what they look like is recalled only so far. None of them may be taken for a look-alike.
OUTSIDE = [
    {"gender": "male", "outside_diameter": "15.9 mm", "pitch": "1.5 mm", "seat_form": "none", "seal": "bore_o_ring"},
    {"shape": "flange", "gender": "port", "bolt_long": "43.8 mm", "bolt_short": "43.8 mm", "seal": "flange_o_ring"},
]


@pytest.mark.parametrize("says", OUTSIDE, ids=["test point on M16x1.5", "gear pump on a circle of 62 mm"])
def test_what_is_not_here_is_not_taken_for_a_look_alike(says: dict[str, str], advisor: Advisor) -> None:
    body = "housing" if says["gender"] == "port" else "loose"
    assert concluded(advisor, {"taper": "parallel", "flank_angle": "60 deg", "body": body, **says}) is None
